"""A broadhead against the field point, as an answer."""

import math
from dataclasses import replace

import pytest

import vireton
from vireton.answers.broadhead import AimBroadhead, angle_cell, rate_cell
from vireton.answers.table import Span
from vireton.units.display import METRIC, US

INCH = 0.0254
QUICK = {"distances": "20,40 yd", "draws": 8}
STRAIGHT = {"yaw": "0 deg", "pitch": "0 deg", "pitch_rate": "0 rad/s", "yaw_rate": "0 rad/s"}


@pytest.fixture(scope="module")
def setup(pytestconfig):
    return vireton.load(pytestconfig.rootpath / "examples" / "mill_broadhead.toml")


@pytest.fixture(scope="module")
def aim(setup):
    return vireton.aim_broadhead(setup, **QUICK)


def test_json_and_its_ranges(aim):
    found = aim.to_dict()
    assert (found["reference"], found["warnings"], found["broadhead"]["blades"]) == ("sight", [], 3)
    assert found["broadhead_static_margin_in"] < found["point_static_margin_in"]
    assert found["vanes"]["distance_yd"] == pytest.approx(40.0)
    assert 1.0 < found["vanes"]["height_factor_to_halve"] < 2.0
    banded = [key for key in found["rows"][0] if f"{key}_range" in found["rows"][0]]
    assert len(banded) == 6
    for row in aim.rows():
        for key in banded:
            low, high = row[f"{key}_range"]
            assert low <= row[key] <= high


def test_a_launch_error_opens_what_the_sensitivity_says(setup):
    launches = (STRAIGHT, STRAIGHT | {"yaw_rate": "0.02 rad/s"}, STRAIGHT | {"yaw": "0.1 deg"})
    still, turning, aside = (
        vireton.aim_broadhead(setup, **QUICK, **one).rows() for one in launches
    )
    for rows, key, error in (
        (turning, "separation_per_yaw_rate_in_s_per_rad", 0.02),
        (aside, "separation_per_yaw_in_per_deg", 0.1),
    ):
        for before, after in zip(still, rows, strict=True):
            opened = after["separation_right_in"] - before["separation_right_in"]
            assert opened == pytest.approx(error * before[key], rel=0.05)


def test_the_table_is_for_people(aim):
    (table,), said = aim.tables(US), " ".join(aim.words(US))
    assert table.heads[1:4] == ("right in", "up in", "nose turn that opens 1 in, rad/s")
    assert [row[0] for row in table.cells] == ["20 yd", "40 yd"]
    for words in (
        "3 blades 1.06 in across",
        "center of pressure behind the balance point",
        "broadhead against field point at 40 yd: ",
        "4 vanes instead of 3",
        "razor-sharp",
        "backstop",
    ):
        assert words in said, words
    assert "nan" not in said
    assert "nose turn that opens 1 cm, rad/s" in aim.tables(METRIC)[0].heads
    assert "2.70 cm across" in " ".join(aim.words(METRIC))


def test_sideways_is_marked_open_where_the_rest_pushes_aside(setup, aim):
    assert not aim.sideways_open
    rest = replace(setup.bow.rest, offset_right=INCH / 32)
    moved = replace(setup, bow=replace(setup.bow, rest=rest))
    pushed = vireton.aim_broadhead(moved, "40 yd", draws=8)
    assert "↔" in pushed.tables(US)[0].heads[1]
    assert "right or left, this bow must show you" in " ".join(pushed.words(US))


def test_a_head_that_planes_is_warned_of_before_anything_is_said(setup):
    low = replace(setup.parts.vanes, height=setup.parts.vanes.height / 4)
    planing = replace(setup, parts=replace(setup.parts, vanes=low))
    with pytest.warns(vireton.Caution, match="PLANES"):
        found = vireton.aim_broadhead(planing, **QUICK)
    assert "PLANES" in found.to_dict()["warnings"][0]
    # one that is stable by itself, but not with all plausible bows
    lowish = replace(low, height=setup.parts.vanes.height * 0.82)
    maybe = replace(setup, parts=replace(setup.parts, vanes=lowish))
    question = AimBroadhead.read({"setup": maybe, "distances": "20 yd", "draws": 8})
    assert "may plane" in question.warnings[0]


def test_what_cannot_be_is_refused(setup):
    with pytest.raises(vireton.InputProblem, match=r"\[arrow\.broadhead\]"):
        vireton.aim_broadhead(vireton.load(), **QUICK)
    with pytest.raises(vireton.InputProblem, match="never reaches"):
        vireton.aim_broadhead(setup, "1900 yd", draws=8)


def test_the_picture(aim):
    titles = [axes.get_title(loc="left").split(",")[0] for axes in aim.figure("metric").axes]
    # this bow sends both straight: sideways there is nothing to see
    assert titles[0] == "Up and down" and titles[1].startswith("What a nose") and len(titles) == 2
    assert repr(aim) == "<BroadheadAim of Mill bow: 2 distances>"


def per(nominal, low, high, size=INCH):
    return Span(nominal * size, low * size, high * size)


@pytest.mark.parametrize(
    ("per_rate", "said"),
    [
        (per(4.0, 2.0, 8.0), "0.2 (0.1 to 0.5)"),
        (per(-4.0, -8.0, -2.0), "0.2 (0.1 to 0.5)"),  # either way it is a size
        (per(1.0, -0.5, 2.0), "over 0.5, or never"),
        (per(0.0, 0.0, 0.0), "over 20"),
        (per(0.01, 0.005, 0.02), "over 20"),
        (per(0.03, 0.01, 0.2), "over 5.0"),
        (per(1.0, 0.02, 2.0), "1.0 (0.5 and up)"),
        (per(500.0, 50.0, 1000.0), "under 0.01"),
        (per(math.nan, math.nan, math.nan), "?"),
    ],
)
def test_the_rate_that_opens_an_inch(per_rate, said):
    assert rate_cell(per_rate, US) == said


def test_a_centimeter_needs_less_and_an_angle_is_in_degrees():
    assert rate_cell(per(4.0, 4.0, 4.0, 0.01), METRIC) == "0.25 (0.25 to 0.25)"
    per_degree = per(0.5, 0.25, 1.0, INCH / math.radians(1.0))
    assert angle_cell(per_degree, US) == "2.0 (1.0 to 4.0)"


def test_where_the_arrows_do_not_get_to_vanes_are_not_compared(setup):
    aim = vireton.aim_broadhead(setup, **QUICK, vanes_at="1500 yd")
    said = " ".join(aim.words(US))
    assert "not both arrows get to 1500 yd" in said
    assert "nan" not in said
    assert aim.to_dict()["vanes"]["height_factor_to_halve"] is None


def test_what_the_warnings_rest_on_is_worked_out_once_and_shown(setup):
    shown = []

    def progress(items, doing):
        shown.append((len(items), doing))
        return items

    question = AimBroadhead.read({"setup": setup, **QUICK})
    question.prepare(progress)
    assert shown == [(9, "shooting")]
    assert question.warnings == ()
    question.answer(progress)
    assert len(shown) == 1
