"""``vireton compare``: arrows side by side."""

import json

import pytest


@pytest.fixture
def compared(vireton, setup_file):
    def call(*options):
        done = vireton("compare", setup_file, "--json", "--draws", "8", *options)
        assert done.code == 0, done.err
        return json.loads(done.out)

    return call


def test_json_of_three_and_four_vanes(compared):
    answer = compared("--vary", "vanes.count=3,4", "--distances", "20,60 yd")
    assert answer["schema"] == 1
    assert answer["reference"] == "bore"
    assert answer["compared_with"] == "vanes.count 3"
    three, four = answer["variants"]
    assert three["figures"]["mass_grains_difference"] == 0.0
    assert four["figures"]["mass_grains_difference"] == pytest.approx(6.5)
    assert four["figures"]["mass_grains_verdict"] == "higher"
    assert four["figures"]["yaw_wavelength_yd_verdict"] == "lower"
    assert three["figures"]["steady_spin_rev_s_verdict"] == "no_clear_difference"
    assert [row["distance_yd"] for row in four["rows"]] == [20.0, 60.0]
    row = four["rows"][1]
    for key in ("speed_fps", "kinetic_energy_ft_lbf", "drop_in", "drift_in", "yaw_rate_shift_in"):
        low, high = row[f"{key}_range"]
        assert low <= row[key] <= high
        low, high = row[f"{key}_difference_range"]
        assert low <= row[f"{key}_difference"] <= high
        first = three["rows"][1][key]
        assert row[f"{key}_difference"] == pytest.approx(row[key] - first, abs=1e-9)
    assert row["speed_fps_verdict"] == "lower"
    assert row["yaw_rate_shift_mrad_per_rad_s"] == pytest.approx(
        row["yaw_rate_shift_in"] / (60.0 * 36.0) / 0.1 * 1e3
    )


def test_energy_is_grains_times_speed_squared(compared):
    # ft·lbf = gr·fps²/450 437, from the definitions of grain, pound-force and g
    for one in compared("--vary", "point.mass=100,125 gr")["variants"]:
        for row in one["rows"]:
            expected = one["figures"]["mass_grains"] * row["speed_fps"] ** 2 / 450_437
            assert row["kinetic_energy_ft_lbf"] == pytest.approx(expected, rel=1e-5)


def test_left_and_right_vanes_differ_in_nothing_clear(compared):
    left, right = compared("--vary", "vanes.turn=left,right")["variants"]
    assert (left["spin_direction"], right["spin_direction"]) == ("left", "right")
    said = {value for key, value in right["figures"].items() if key.endswith("_verdict")}
    said |= {v for row in right["rows"] for key, v in row.items() if key.endswith("_verdict")}
    assert said == {"no_clear_difference"}


def test_words_tables_and_cautions(vireton, setup_file):
    done = vireton("compare", setup_file, "--vary", "vanes.count=3,4", "--draws", "8")
    assert done.code == 0, done.err
    for words in (
        "each against the first, vanes.count 3", "vanes.count 4: 6.5 gr heavier", "at 60 yd",
        "no clear difference: ", "differences from vanes.count 3", "speed at 40 yd, fps",
        "although two brackets overlap", "≈", "Shoot bare shafts close",
    ):  # fmt: skip
        assert words in " ".join(done.out.split()), words
    assert max(len(line.rstrip()) for line in done.out.splitlines()) <= 110


def test_four_variants_fit_and_more_become_several_tables(vireton, setup_file):
    done = vireton(
        "compare", setup_file, "--vary", "vanes.length=1.5,1.75,2,2.25,2.5 in", "--draws", "8"
    )
    assert done.out.count("figures\n") + done.out.count("figures  ") == 2
    assert max(len(line.rstrip()) for line in done.out.splitlines()) <= 110


def test_metric(vireton, setup_file):
    done = vireton(
        "compare", setup_file, "--vary", "vanes.count=3,4", "--units", "metric", "--draws", "8"
    )
    for words in ("mass, g", "speed at 60 m, m/s", "energy at 20 m, J", "drop at 40 m, cm"):
        assert words in done.out


def test_two_files_keep_their_own_speeds(vireton, setup_file, edited):
    fast = edited(("280 fps", "290 fps"), ('name = "Mill bow with Maple 340"', 'name = "fast"'))
    done = vireton("compare", setup_file, fast, "--json", "--draws", "16")
    one, other = json.loads(done.out)["variants"]
    assert one["label"] != other["label"]
    assert other["figures"]["launch_speed_fps"] == pytest.approx(290.0)
    assert other["figures"]["launch_speed_fps_verdict"] == "higher"


def test_two_bows_are_named(vireton, pytestconfig):
    folder = pytestconfig.rootpath / "examples"
    done = vireton("compare", folder / "mill_bow.toml", folder / "orchard_bow.toml", "--draws", "8")
    assert done.code == 0, done.err
    assert "DIFFERENT BOWS" in done.out
    assert "Orchard bow" in done.out


def test_the_same_file_twice_is_labeled_by_its_path(vireton, setup_file):
    done = vireton("compare", setup_file, setup_file, "--json", "--draws", "8")
    labels = {one["label"] for one in json.loads(done.out)["variants"]}
    assert labels == {str(setup_file)}


def test_a_weighed_arrow_says_what_is_carried_over(compared, vireton, edited):
    weighed = edited(('# mass = "415 gr"', 'mass = "420 gr"'))
    done = vireton("compare", weighed, "--vary", "point.mass=100,125 gr", "--json", "--draws", "8")
    answer = json.loads(done.out)
    assert any("carried over" in note for note in answer["notes"])
    masses = [one["figures"]["mass_grains"] for one in answer["variants"]]
    assert masses == pytest.approx([420.0, 445.0])


def test_light_arrows_are_named_before_any_result(vireton, edited):
    light = edited(('mass_per_length = "9.6 gr/in"', 'mass_per_length = "4 gr/in"'))
    done = vireton("compare", light, "--vary", "point.mass=60,100 gr", "--json", "--draws", "8")
    assert "DANGER" in done.err
    assert "point.mass 60 gr" in done.err
    assert "DANGER" in json.loads(done.out)["variants"][0]["warnings"][0]


def test_figures_that_an_arrow_does_not_have_are_explained(vireton, setup_file, tmp_path):
    lines = setup_file.read_text(encoding="utf-8").split("\n")
    start = lines.index("[arrow.vanes]")
    end = next(i for i in range(start + 1, len(lines)) if lines[i].startswith("["))
    bare = tmp_path / "bare.toml"
    bare.write_text("\n".join(lines[:start] + lines[end:]), encoding="utf-8")
    options = ("--vary", "point.mass=100,125 gr", "--distances", "20 yd", "--draws", "8")
    done = vireton("compare", bare, *options)
    assert done.code == 0, done.err
    said = " ".join(done.out.split())
    assert "cannot tell: length of one swing, settled after" in said
    assert "none: an arrow that does not swing" in said
    assert "none:" not in vireton("compare", setup_file, *options).out
    answer = json.loads(vireton("compare", bare, *options, "--json").out)
    figures = answer["variants"][1]["figures"]
    assert figures["yaw_wavelength_yd"] is None
    assert figures["yaw_wavelength_yd_verdict"] == "cannot_tell"


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "compare.png"
    done = vireton(
        "compare", setup_file, "--vary", "vanes.count=3,4", "--draws", "8", "--plot", picture
    )
    assert done.code == 0, done.err
    assert picture.stat().st_size > 20_000


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], ["alone", "--vary"]),
        (["--vary", "vanes.count=3"], ["alone"]),
        (["--vary", "vanes.count=1,3"], ["1 is outside 2 to 6"]),
        (["--vary", "vanes.lenght=2,3in"], ["did you mean"]),
        (["--vary", "sight_in=20,30yd"], ["changes nothing here"]),
        (["--vary", "vanes.mass=1:2 gr,3 gr"], ["vanes.mass"]),
        (["--vary", "vanes.count=3,4", "--distances", "1900 m"], ["never reaches"]),
        (["--vary", "vanes.count=3,4", "--plot", "x.doc"], [".png"]),
        (["--vary", "vanes.mass=1,2,3,4,5,6,7,8,9 gr", "--plot", "x.png"], ["at most 8"]),
    ],
)
def test_bad_options(vireton, setup_file, tmp_path, monkeypatch, options, words):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    done = vireton("compare", setup_file, "--draws", "8", *options)
    assert done.code == 2, done.out
    assert done.out == ""
    assert "Traceback" not in done.err
    for word in words:
        assert word in done.err
    assert sorted(tmp_path.iterdir()) == before
