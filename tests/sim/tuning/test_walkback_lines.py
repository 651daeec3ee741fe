"""The lines of the causes, against closed forms where there are any."""

from dataclasses import replace

import numpy as np
import pytest

from demo import INCH, YARD, mill_rig
from vireton.flight.flight import Wind
from vireton.tuning.belief import Belief
from vireton.tuning.loop import Tuner
from vireton.tuning.observations import Tear, WalkbackPoint, group_of_center
from vireton.tuning.rounds import Round
from vireton.tuning.walkback_lines import AT_WORK, CAUSES, drops, lines_of, responses, sighted
from vireton.units.problems import InputProblem

RIG = mill_rig()
FAR = np.array([10, 20, 30, 40, 50, 60]) * YARD


def test_windage_is_a_straight_line_from_the_bow():
    line = responses(RIG, FAR)["windage"]
    np.testing.assert_allclose(line[:-1], FAR, rtol=1e-4)
    assert line[-1] == pytest.approx(0.0, abs=1e-6)  # both arrows alike


def test_cant_with_one_pin_is_the_bore_line_turned_about_the_line_of_sight():
    # a bow that is tipped by c shows c times the bore line's height above the line of sight
    line = responses(RIG, FAR)["cant"][:-1]
    slope, start = np.polyfit(FAR, line, 1)
    assert start == pytest.approx(-RIG.sight.height_above_arrow, rel=0.02)
    # the bore line less its dip by the arrow's own launch angle: what the pin adds at 20 yd
    assert slope == pytest.approx(RIG.aim.elevation, rel=0.05)
    np.testing.assert_allclose(line, start + slope * FAR, atol=0.1 * INCH)


def test_cant_that_was_there_when_the_sight_was_set_leaves_next_to_nothing():
    unit = responses(RIG, FAR)
    left = unit["cant"][:-1] - unit["cant"][1] * unit["windage"][:-1] / unit["windage"][1]
    # 2° at 60 yd: twice the sight's height times the cant
    assert np.radians(2.0) * left[-1] == pytest.approx(
        2.0 * np.radians(2.0) * RIG.sight.height_above_arrow, rel=0.05
    )


def test_wind_bends_away_and_launch_does_not():
    unit = responses(RIG, FAR)
    bend = {name: unit[name][5] / unit[name][1] / 3.0 for name in CAUSES}
    assert bend["windage"] == pytest.approx(1.0, abs=1e-4)
    assert bend["yaw_rate"] == pytest.approx(1.0, abs=0.05)
    assert bend["wind"] > 2.0
    assert unit["wind"][5] > 0.0
    # nose right goes right, the bare shaft farther
    assert unit["yaw_rate"][1] > 0.0
    assert unit["yaw_rate"][-1] > unit["yaw_rate"][1]


@pytest.mark.parametrize(("cause", "size"), [("cant", 0.08), ("wind", 3.0)])
def test_lines_are_those_of_flights_of_other_sizes(cause, size):
    faulty = {
        "cant": replace(RIG, aim=replace(RIG.aim, cant=size)),
        "wind": replace(RIG, conditions=replace(RIG.conditions, wind=Wind(towards_right=size))),
    }[cause]
    shown = faulty.shoot(RIG.fletched, FAR).right - RIG.shoot(RIG.fletched, FAR).right
    np.testing.assert_allclose(shown, size * responses(RIG, FAR)[cause][:-1], atol=0.1 * INCH)


def test_drops_are_those_of_the_one_pin():
    found = drops(mill_rig(sight=replace(RIG.sight, sight_in=None)), FAR)
    assert found[1] == pytest.approx(0.0, abs=1e-6)
    assert found[0] > 0.0
    assert np.all(np.diff(found[1:]) < 0.0)
    assert sighted(RIG) is RIG


def test_what_was_ruled_out_at_a_shot_does_not_act():
    lines = lines_of(RIG, FAR)
    acting = lines.acting(
        [WalkbackPoint(20.0, 0.0), WalkbackPoint(20.0, 0.0, level=True, calm=True)]
    )
    assert acting.tolist() == [[1, 1, 1, 1], [1, 0, 0, 1]]
    assert lines.at([30.0 * YARD, 60.0 * YARD]) == [2, 5]
    assert lines.at_work.tolist() == [AT_WORK] * 4


def test_the_rest_of_the_log_tells_of_the_launch():
    tuner = Tuner.of(RIG, {}, INCH / 32)

    def told(inches):
        groups = (
            group_of_center("fletched", 20 * YARD, (0.0, 0.0), 6, 0.5 * INCH),
            group_of_center("bare", 20 * YARD, (inches * INCH, 0.0), 6, 0.5 * INCH),
        )
        return lines_of(RIG, FAR, tuner.turn([Round(1, observations=groups)]).belief)

    right, none = told(3.0), told(0.0)
    # bare lands right of fletched: the nose turned right, and so the fletched arrow went right too
    assert right.mean[5] > 1.0 * INCH
    assert abs(none.mean[5]) < 0.5 * INCH
    assert right.mean[-1] == pytest.approx(3.0 * INCH, abs=1.0 * INCH)
    # far less open than the usual doubt
    open_ = np.sqrt(np.sum(none.modes[5, none.owner == 3] ** 2))
    assert open_ < abs(lines_of(RIG, FAR).modes[5, 3])
    assert none.at_work[3] > AT_WORK


def test_draws_of_the_launch_that_do_not_carry_so_far_tell_nothing(monkeypatch):
    tuner = Tuner.of(RIG, {}, INCH / 32)
    tears = (Tear("bare", 6 * 0.3048, 0.003, 0.002),)
    belief = tuner.turn([Round(1, observations=tears)]).belief
    whole = Belief.turned
    lost = np.zeros(len(belief.theta), bool)
    monkeypatch.setattr(
        Belief,
        "turned",
        lambda self, *given: np.where(lost[:, None], np.nan, whole(self, *given)),
    )
    usual = lines_of(RIG, FAR, belief)
    lost[::7] = True
    assert lines_of(RIG, FAR, belief).mean == pytest.approx(usual.mean, abs=0.5 * INCH)
    lost[:] = True
    with pytest.raises(InputProblem, match="hardly any arrow carries to 55 m"):
        lines_of(RIG, FAR, belief)
