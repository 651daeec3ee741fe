"""Walk-back points from Python."""

import math
from dataclasses import replace

import pytest

import vireton
from vireton.answers.walkback import WalkBack
from vireton.bow.setting import BowSetting
from vireton.job import NewRound, append_round, create_log
from vireton.tuning.observations import WalkbackPoint, group_of_center

INCH, YARD = 0.0254, 0.9144


@pytest.fixture
def log(tmp_path, pytestconfig):
    path = tmp_path / "log.toml"
    create_log(path, pytestconfig.rootpath / "examples" / "mill_bow.toml")
    return path


def walked(*inches, **told):
    return tuple(
        WalkbackPoint((20 + 20 * k) * YARD, x * INCH, **told) for k, x in enumerate(inches)
    )


def test_probabilities_add_up_and_rows_hold_what_was_seen(pytestconfig):
    found = vireton.read_walkback(pytestconfig.rootpath / "examples" / "mill_log.toml")
    assert sum(found.weighed.probabilities.values()) == pytest.approx(1.0)
    told = found.to_dict()
    assert told["verdict"] == found.weighed.verdict
    assert told["half_width_60yd_in"] * INCH == pytest.approx(found.weighed.half_width_far)
    assert told["words"].startswith(found.line().partition(": ")[2])
    rows = found.rows()
    assert [row["right_in"] * INCH for row in rows] == pytest.approx(list(found.weighed.seen))
    assert set(rows[0]) >= {"distance_yd", "windage_in", "cant_in", "wind_in", "yaw_rate_in"}
    assert {(row["count"], row["spread_in"]) for row in told["points"]} == {(1, None)}
    assert found.weighed.verdict in repr(found)
    sizes, told = found.weighed.sizes, told["sizes"]
    assert told["windage"]["value_mrad"] == pytest.approx(1e3 * sizes["windage"][0])
    assert math.radians(told["cant"]["value_deg"]) == pytest.approx(sizes["cant"][0])
    # a mile is 1609.344 m by definition
    assert told["wind"]["sd_mph"] * 1609.344 / 3600.0 == pytest.approx(sizes["wind"][1])
    assert told["yaw_rate"]["sd_rad_s"] == pytest.approx(sizes["yaw_rate"][1])
    units = {"windage": "mrad", "cant": "deg", "wind": "mph", "yaw_rate": "rad_s"}
    for name, unit in units.items():
        assert set(told[name]) == {f"value_{unit}", f"sd_{unit}"}
    assert found.figure("metric").axes


def test_a_log_without_points_says_how_to_add_them(log):
    with pytest.raises(vireton.InputProblem, match=r"two distances or more .*, it has 0"):
        vireton.read_walkback(log)


def test_points_from_before_a_move_do_not_count_and_that_is_said(log):
    append_round(log, NewRound(walked(3.0, 6.0, 9.0, count=3)))
    first = vireton.read_walkback(log)
    assert first.question.left_out == 0
    append_round(log, NewRound(walked(0.0, 0.0, 0.0, count=3), move=BowSetting(INCH / 32)))
    second = vireton.read_walkback(log)
    assert first.weighed.there > 5.0 * INCH
    assert second.weighed.verdict == "nothing"
    assert second.question.left_out == 3
    said = " ".join(second.words(vireton.answers.walkback.US))
    assert "3 points from before the rest was moved do not count" in said


def test_the_groups_of_the_log_tell_scatter_and_launch(log):
    append_round(log, NewRound(walked(1.5, 3.0, 4.5, count=3)))
    alone = vireton.read_walkback(log)
    assert alone.question.launch is None
    pair = tuple(
        group_of_center(arrow, 20 * YARD, (0.0, 0.0), 5, 0.5 * INCH)
        for arrow in ("bare", "fletched")
    )
    append_round(log, NewRound(pair))
    known = vireton.read_walkback(log)
    assert known.weighed.spread.sd < alone.weighed.spread.sd
    # bare and fletched together: hardly a launch, so it is the sight
    assert known.weighed.probabilities["yaw_rate"] < 0.5 * alone.weighed.probabilities["yaw_rate"]
    assert known.weighed.probabilities["windage"] > alone.weighed.probabilities["windage"]


def test_arrows_of_one_distance_stand_in_one_column(log):
    append_round(log, NewRound((*walked(0.0, 1.0), *walked(2.0, 3.0, count=3))))
    question = WalkBack.read({"log": log})
    found = question.answer()
    table = found.tables(vireton.answers.walkback.US)[0]
    assert table.heads[3:] == ("20 yd", "40 yd")
    # one arrow and the middle of three at each
    assert table.cells[-1][3:] == ("+1.5", "+2.5")
    assert replace(found).line().startswith("Walk-back 20 to 40 yd: ")
