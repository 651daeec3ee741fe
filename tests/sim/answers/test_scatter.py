"""Groups, hits and what they come from, as an answer."""

import sys
from types import SimpleNamespace

import numpy as np
import pytest

import vireton
from vireton.answers.scatter import ScatterShots, _watched
from vireton.setup import parse_setup, template_text
from vireton.units.display import METRIC, US

FEW = {"arrows": 512, "draws": 8}
OFF = {
    "aim": "0 mrad", "yaw_rate": "0 rad/s", "pitch_rate": "0 rad/s", "yaw": "0 deg",
    "pitch": "0 deg", "speed": "0 fps", "gust": "0 mph", "mass": "0 gr", "spine": "0 in",
}  # fmt: skip


@pytest.fixture(scope="module")
def shots():
    return vireton.scatter_shots(vireton.load(), "20,60 yd", **FEW)


@pytest.fixture
def setup_file(tmp_path):
    path = tmp_path / "bow.toml"
    path.write_text(template_text(), encoding="utf-8")
    return path


def said(shots, display=US):
    return " ".join(shots.words(display))


def test_json(shots):
    found = shots.to_dict()
    assert (found["arrows"], found["target_in"]) == (512, 8.0)
    assert found["scatter_sd"]["aim_right_mrad"] == pytest.approx(1000.0 / 720.0)
    near, far = found["groups"]["fletched"]
    assert near["distance_yd"] == pytest.approx(20.0)
    assert near["sd_right_in"] == pytest.approx(1.0, abs=0.1)
    assert near["hit_probability"] > far["hit_probability"] > 0.2
    assert far["ellipse_95"]["long_half_axis_in"] > far["ellipse_95"]["short_half_axis_in"]
    for row in (near, far):
        low, high = row["hit_probability_range"]
        assert low <= row["hit_probability"] <= high
        assert row["sd_up_in_error"] > 0.0
        for side in ("right", "up", "both"):
            assert sum(row[f"variance_shares_{side}"].values()) == pytest.approx(1.0, abs=1e-9)
    assert [(row["arrow"], round(row["distance_yd"])) for row in shots.rows()] == [
        ("fletched", 20), ("fletched", 60), ("bare", 20), ("bare", 60),
    ]  # fmt: skip
    assert shots["bare"].sd.value[0, 0] == pytest.approx(
        0.0254 * found["groups"]["bare"][0]["sd_right_in"]
    )


def test_tables_tell_groups_hits_and_sources(shots):
    fletched, size, bare, _, come_from = shots.tables(US)
    assert (fletched.title, bare.title) == ("fletched", "bare")
    assert fletched.heads == ("at", "hits", "center right, in", "center up, in")
    assert size.heads == ("at", "group, in", "spread right, in", "spread up, in")
    assert shots.words(US)[0].startswith("inside a circle of 8 in, each distance with its own pin:")
    assert [row[0] for row in bare.cells] == ["20 yd", "60 yd"]
    assert "at 60 yd" in come_from.title
    assert "aim, left and right" in come_from.cells[0]
    assert come_from.cells[-1][0] == "several together"
    for words in ("8 in", "512 arrows", "2 of 3 shots", "not ours to say", "never dry-fire"):
        assert words in said(shots), words
    assert shots.tables(METRIC)[1].heads[2] == "spread right, cm"
    assert " in at" not in said(shots, METRIC)


def test_what_is_given_replaces_the_setups_scatter():
    text = template_text()
    own = '[scatter]\ngust_across = "3 mph"\nyaw = "0 deg"\n'
    setup = parse_setup(text.replace("# [scatter]\n", own))
    found = vireton.scatter_shots(
        setup, "20yd", aim="0.5 in at 20 yd", speed="2 fps", yaw_rate=0.3, pitch_rate="0 rad/s",
        pitch="0.2 deg", mass="2 gr", spine="0 in", **FEW,
    ).to_dict()  # fmt: skip
    used = found["scatter_sd"]
    assert used["gust_across_mph"] == pytest.approx(3.0)
    assert used["aim_up_mrad"] == used["aim_right_mrad"] == pytest.approx(500.0 / 720.0)
    assert (used["yaw_deg"], used["pitch_rate_rad_s"], used["spine_in"]) == (0.0, 0.0, 0.0)
    assert (used["yaw_rate_rad_s"], used["pitch_deg"]) == pytest.approx((0.3, 0.2))
    assert (used["speed_fps"], used["mass_grains"]) == pytest.approx((2.0, 2.0))
    shares = found["groups"]["bare"][0]["variance_shares_both"]
    assert "spine" not in shares
    assert "yaw_rate" in shares
    gusty = ScatterShots.read({"setup": setup, "gust": "2 mph"}).spread
    assert gusty.gust_across == gusty.gust_along == pytest.approx(2 * 0.44704)


def test_wind_moves_the_middle_and_is_named():
    shots = vireton.scatter_shots(vireton.load(), "40yd", wind="10 mph from 9", **FEW)
    assert shots.to_dict()["groups"]["fletched"][0]["center_right_in"] > 1.0
    assert "steady wind 10 mph toward the right, aim not corrected for wind" in said(shots)


def test_nothing_that_differs_is_a_single_hole_and_one_axis_leaves_the_other_without_shares():
    hole = vireton.scatter_shots(vireton.load(), "20yd", **OFF, **FEW)
    assert "shot with these SDs: nothing" in said(hole)
    assert len(hole.tables(US)) == 4
    speed = vireton.scatter_shots(vireton.load(), "20yd", **(OFF | {"speed": "2 fps"}), **FEW)
    name, sideways, up, *_ = speed.tables(US)[-1].cells[0]
    assert (name, sideways) == ("speed", "–")
    assert up == "100"


def test_sideways_is_marked_open_where_the_bow_pushes_aside():
    aside = template_text().replace('offset_right = "0 in"', 'offset_right = "1/32 in"')
    assert aside != template_text()
    shots = vireton.scatter_shots(parse_setup(aside), "20yd", **FEW)
    assert all(table.heads[2].endswith("↔") for table in shots.tables(US)[:4:2])


def test_more_precision_than_allowed_says_how_many_arrows():
    shots = vireton.scatter_shots(
        vireton.load(), "20yd", precision="0.05 %", most=2048, draws=8
    )  # fmt: skip
    assert not shots.to_dict()["precision_reached"]
    assert "not as sure as asked" in said(shots)
    assert "--most" in said(shots)


def test_vary_shoots_every_value_with_the_same_shots(setup_file):
    varied = vireton.scatter_shots(setup_file, "20yd", vary="vanes.count=3,4", **FEW)
    found = varied.to_dict()
    labels = ["vanes.count 3", "vanes.count 4"]
    assert [one["label"] for one in found["variants"]] == labels
    alone = vireton.scatter_shots(setup_file, "20yd", **FEW).to_dict()
    assert {**found["variants"][0], "label": alone["label"]} == alone
    assert [row["label"] for row in varied.rows()] == [labels[0]] * 2 + [labels[1]] * 2
    words = varied.words(US)
    assert words.index(labels[0]) < words.index(labels[1])
    with pytest.raises(vireton.InputProblem, match="--plot draws one set-up"):
        varied.figure()
    with pytest.raises(vireton.InputProblem, match="this one has none"):
        vireton.scatter_shots(vireton.load(), vary="vanes.count=3,4")


def test_the_picture_of_more_distances_than_panels():
    shots = vireton.scatter_shots(vireton.load(), "20:90:10yd", arrows=256, draws=8)
    assert len(shots.figure("metric").axes) == 6
    assert repr(shots).endswith(": 256 arrows of each kind>")


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("aim", "1 in"), ("aim", "1 yd at 1 yd"), ("aim", 0.06), ("speed", "100 fps"),
        ("gust", "-1 mph"), ("target", "0 in"), ("precision", "2"), ("yaw_rate", "1 deg"),
        ("mass", "31 gr"), ("arrows", 100), ("distances", 20),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(name, value):
    with pytest.raises(vireton.InputProblem, match=f"^{name}: "):
        vireton.scatter_shots(vireton.load(), **{name: value})


def test_arrows_too_heavy_for_their_shaft_are_refused():
    with pytest.raises(vireton.InputProblem):
        vireton.scatter_shots(vireton.load(), mass="29 gr", **FEW)


def test_a_cluster_that_is_not_there(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(vireton.InputProblem, match=r"vireton\[cluster\]"):
        vireton.scatter_shots(vireton.load(), "20yd", cluster="tcp://127.0.0.1:1", **FEW)


def test_an_address_that_cannot_be_is_told_before_anything_is_shot():
    with pytest.raises(vireton.InputProblem, match=r"cluster: .* begins with ftp://"):
        ScatterShots.read({"setup": vireton.load(), "cluster": "ftp://192.0.2.7:8786"})


def test_a_cluster_gives_the_very_same_numbers():
    distributed = pytest.importorskip("distributed")
    here = vireton.scatter_shots(vireton.load(), "20yd", **FEW)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
    ) as cluster:
        there = vireton.scatter_shots(
            vireton.load(), "20yd", cluster=cluster.scheduler_address, **FEW
        )
    assert there.to_dict() == here.to_dict()


def test_it_tells_how_many_arrows_were_shot_and_stops_telling_when_stopped():
    told, ended = [], []

    def progress(items, doing):
        told.append(doing)
        try:
            yield from items
        finally:
            ended.append(doing)

    def runner(cases, blocks):
        for block in blocks:
            if block.count == 0:
                raise KeyboardInterrupt
            yield block.count

    run = _watched(runner, progress)
    blocks = [SimpleNamespace(count=count) for count in (512, 1024)]
    assert list(run([], blocks)) == [512, 1024]
    with pytest.raises(KeyboardInterrupt) as stopped:
        list(run([], [SimpleNamespace(count=0)]))
    # ended by the way out itself, not when the traceback is let go
    assert stopped.tb is not None
    assert ended == told == ["0 arrows shot", "1,536 arrows shot"]


def test_groups_are_the_same_whoever_watches(shots):
    asked = {"setup": vireton.load(), "distances": "20,60 yd", **FEW}
    watched = ScatterShots.read(asked).answer(lambda items, _doing: iter(items))
    assert np.array_equal(watched["bare"].sd.value, shots["bare"].sd.value)
