"""Arrows side by side: question, answer, JSON."""

from dataclasses import replace

import pytest

import vireton
from vireton.answers.compare import CompareArrows
from vireton.setup import template_text
from vireton.units.display import METRIC, US

GRAIN = 6.479891e-5


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "bow.toml"
    path.write_text(template_text(), encoding="utf-8")
    return path


@pytest.fixture
def edited(tmp_path):
    """The template with some text replaced; every piece must occur in it."""

    def edit(*changes):
        text = template_text()
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        path = tmp_path / "edited.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return edit


@pytest.fixture(scope="module")
def vanes(pytestconfig):
    """Three and four vanes."""
    path = pytestconfig.rootpath / "examples" / "mill_bow.toml"
    return vireton.compare_arrows(path, vary="vanes.count=3,4", distances="20,60 yd", draws=8)


def test_json_of_three_and_four_vanes(vanes):
    answer = vanes.to_dict()
    assert (answer["schema"], answer["reference"]) == (1, "bore")
    assert answer["compared_with"] == "vanes.count 3"
    assert answer["crosswind_mph"] == pytest.approx(10.0)
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
    # ft·lbf = gr·fps²/450 437, from the definitions of grain, pound-force and g
    expected = four["figures"]["mass_grains"] * row["speed_fps"] ** 2 / 450_437
    assert row["kinetic_energy_ft_lbf"] == pytest.approx(expected, rel=1e-5)
    share = four["figures"]["static_margin_percent_of_length"]
    assert share == pytest.approx(four["figures"]["static_margin_in"] / 28.5 * 100.0, rel=1e-9)


def test_a_table_has_a_row_an_arrow_and_a_distance(vanes):
    rows = vanes.rows()
    assert [(row["label"], row["distance_yd"]) for row in rows] == [
        (f"vanes.count {count}", pytest.approx(far)) for count in (3, 4) for far in (20, 60)
    ]
    assert rows[3]["mass_grains"] - rows[0]["mass_grains"] == pytest.approx(6.5)
    assert rows[3]["drop_in_verdict"] == "higher"
    assert repr(vanes) == "<Comparison of vanes.count 3, vanes.count 4>"


def test_words_and_tables(vanes):
    said = " ".join(vanes.words(US))
    for words in (
        "each against the first, vanes.count 3", "vanes.count 4: 6.5 gr heavier", "at 60 yd",
        "no clear difference: ", "although two brackets overlap", "Shoot bare shafts close",
    ):  # fmt: skip
        assert words in said, words
    assert "none:" not in said
    figures, apart = vanes.tables(METRIC)
    assert (figures.title, apart.title) == ("figures", "differences from vanes.count 3")
    assert figures.heads == ("", "vanes.count 3", "vanes.count 4")
    assert apart.heads == ("", "vanes.count 4")
    names = [row[0] for row in figures.cells]
    for name in ("mass, g", "drag coefficient", "energy at 54.86 m, J", "drop at 18.29 m, cm"):
        assert name in names
    assert any(row[1].endswith("≈") for row in apart.cells)


def test_the_picture_tells_the_clear_differences_and_no_key_of_the_file(vanes):
    picture = vanes.figure()
    (axes,) = picture.axes
    said = [text.get_text() for text in axes.texts]
    shares = [abs(bar.get_width()) for bar in axes.patches]
    assert shares == sorted(shares, reverse=True)
    four = vanes[1]
    clear = [one for one in said if one]
    assert len(clear) == len(shares) > 5
    assert any("gr heavier" in one for one in clear)
    # 6.5 gr of a vane's mass, see above
    heavier = next(k for k, one in enumerate(clear) if "heavier" in one)
    mass = float(vanes[0].figures["mass"].nominal)
    assert shares[heavier] == pytest.approx(float(four.differences["mass"].nominal) / mass)
    words = " ".join(text.get_text() for text in picture.texts)
    assert "vanes count 4" in words and "vanes.count" not in words
    assert "steady spin" in words.split("No clear difference:")[1]


def test_a_picture_without_any_clear_difference_says_so(file):
    both = vireton.compare_arrows(file, vary="vanes.turn=left,right", distances="40 yd", draws=8)
    words = " ".join(text.get_text() for text in both.figure().texts)
    assert "NO CLEAR DIFFERENCE" in words


def test_left_and_right_vanes_differ_in_nothing_clear(file):
    both = vireton.compare_arrows(file, vary="vanes.turn=left,right", distances="40 yd", draws=8)
    left, right = both.to_dict()["variants"]
    assert (left["spin_direction"], right["spin_direction"]) == ("left", "right")
    said = {
        value
        for found in (right["figures"], *right["rows"])
        for key, value in found.items()
        if key.endswith("_verdict")
    }
    assert said == {"no_clear_difference"}


def test_of_more_than_four_only_what_is_clear_is_read(file):
    five = vireton.compare_arrows(
        file, vary="vanes.length=1.5,1.75,2,2.25,2.5 in", distances="60 yd", draws=8
    )
    assert [len(table.heads) - 1 for table in five.tables(US)] == [5, 4]
    assert not any(line.startswith("no clear difference:") for line in five.words(US))


def test_setups_may_be_given_as_they_are():
    setup = vireton.load()
    more = replace(setup.parts.vanes, count=4)
    both = vireton.compare_arrows(
        setup, replace(setup, parts=replace(setup.parts, vanes=more)), distances="60 yd", draws=8
    )
    assert both[1].verdict("settling_distance") == "lower"
    assert [one.contender.label.rsplit(" ", 1)[1] for one in both.arrows] == ["(1)", "(2)"]


def test_two_files_keep_their_own_speeds(file, edited):
    fast = edited(("280 fps", "290 fps"), ('name = "Mill bow with Maple 340"', 'name = "fast"'))
    both = vireton.compare_arrows(file, fast, distances="20 yd", draws=16)
    assert [one.contender.label for one in both.arrows] == ["Mill bow with Maple 340", "fast"]
    figures = both.to_dict()["variants"][1]["figures"]
    assert figures["launch_speed_fps"] == pytest.approx(290.0)
    assert figures["launch_speed_fps_verdict"] == "higher"
    assert any("its own measured speed" in line for line in both.words(US))


def test_the_same_file_twice_is_labeled_by_its_path(file):
    asked = CompareArrows.read({"setups": [file, file]})
    assert {label for _, label, _ in asked.variants} == {str(file)}


def test_two_bows_are_named(pytestconfig):
    folder = pytestconfig.rootpath / "examples"
    both = vireton.compare_arrows(
        folder / "mill_bow.toml", folder / "orchard_bow.toml", distances="20 yd", draws=8
    )
    said = " ".join(both.words(US))
    assert "DIFFERENT BOWS" in said
    assert "Orchard bow" in said


def test_a_weighed_arrow_says_what_is_carried_over(edited):
    weighed = edited(('# mass = "415 gr"', 'mass = "420 gr"'))
    both = vireton.compare_arrows(weighed, vary="point.mass=100,125 gr", distances="20 yd", draws=8)
    assert any("carried over" in note for note in both.to_dict()["notes"])
    masses = [float(one.figures["mass"].nominal) / GRAIN for one in both.arrows]
    assert masses == pytest.approx([420.0, 445.0])


def test_light_arrows_are_cautions_of_their_own(edited):
    light = edited(('mass_per_length = "9.6 gr/in"', 'mass_per_length = "5 gr/in"'))
    with pytest.warns(vireton.Caution, match="^point.mass 60 gr: DANGER"):
        both = vireton.compare_arrows(
            light, vary="point.mass=60,200 gr", distances="20 yd", draws=8
        )
    told = both.to_dict()
    assert "DANGER" in told["variants"][0]["warnings"][0]
    assert told["variants"][1]["warnings"] == []
    assert all(one.startswith("point.mass 60 gr: DANGER") for one in told["warnings"])


def test_a_light_broadhead_is_named_too(pytestconfig, tmp_path):
    text = (pytestconfig.rootpath / "examples" / "mill_broadhead.toml").read_text(encoding="utf-8")
    start = text.index("[arrow.broadhead]")
    light = text[:start] + text[start:].replace('mass = "100 gr"', 'mass = "20 gr"', 1)
    light = light.replace('minimum_arrow_mass = "5 gr/lbf"', 'minimum_arrow_mass = "6 gr/lbf"')
    assert light != text
    file = tmp_path / "light.toml"
    file.write_text(light, encoding="utf-8")
    asked = CompareArrows.read({"setups": [file], "vary": ["vanes.count=3,4"]})
    assert [one[:21] for one in asked.warnings] == [
        "vanes.count 3: DANGER",
        "vanes.count 4: DANGER",
    ]


def test_figures_that_an_arrow_does_not_have_are_explained():
    setup = vireton.load()
    bare = replace(setup, parts=replace(setup.parts, vanes=None))
    heavier = replace(bare.parts, point=replace(bare.parts.point, mass=125 * GRAIN))
    both = vireton.compare_arrows(bare, replace(bare, parts=heavier), distances="20 yd", draws=8)
    said = " ".join(both.words(US))
    assert "cannot tell: length of one swing, settled after" in said
    assert "none: an arrow that does not swing" in said
    figures = both.to_dict()["variants"][1]["figures"]
    assert figures["yaw_wavelength_yd"] is None
    assert figures["yaw_wavelength_yd_verdict"] == "cannot_tell"


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({}, "one arrow alone"),
        ({"vary": "vanes.count=3"}, "one arrow alone"),
        ({"vary": "vanes.count=1,3"}, "1 is outside 2 to 6"),
        ({"vary": "vanes.cuont=3,4"}, "is no key .* did you mean"),
        ({"vary": "sight_in=20,30yd"}, "changes nothing here"),
        ({"vary": "vanes.mass=1:2 gr,3 gr"}, "vanes.mass"),
        ({"vary": "vanes.count=3,4", "distances": "1500 yd"}, "never reaches"),
    ],
)
def test_what_cannot_be_compared_is_refused(given, says, file):
    with pytest.raises(vireton.InputProblem, match=says):
        vireton.compare_arrows(file, draws=8, **given)


def test_nothing_at_all_and_a_sweep_without_a_file_are_refused():
    with pytest.raises(vireton.InputProblem, match="one arrow alone"):
        vireton.compare_arrows(draws=8)
    with pytest.raises(vireton.InputProblem, match="reads the setup's file"):
        vireton.compare_arrows(vireton.load(), vary="vanes.count=3,4")


def test_more_arrows_than_a_picture_shows_are_refused_before_anything_is_shot(file):
    many = CompareArrows.read({"setups": [file], "vary": ["vanes.mass=1,2,3,4,5,6,7,8,9 gr"]})
    with pytest.raises(vireton.InputProblem, match=r"9 arrows .* at most 8"):
        many.demand_drawable()
