"""Places of a setup file's arrows are the flights that every other command flies."""

from dataclasses import replace

import numpy as np
import pytest

from demo import INCH, RANGES, YARD, mill_rig
from vireton.flight.flight import Wind
from vireton.kernel.start import START
from vireton.report.from_setup import cases_of_rig
from vireton.report.tables import Reach, look_up, measured_errors, tabulate

FAR = np.array([20.0, 40.0, 60.0]) * YARD
STEP = INCH / 32
MPH = 0.44704
RIG = mill_rig()
RIGHT, LEFT = cases_of_rig(RIG, RANGES, FAR, draws=12)
#: The side to which the demo bow's own nose turns.
OWN = LEFT
STILL = np.zeros((1, 3))


def shot(kind, right, up, wind, rig=RIG):
    """The same by the way of ``vireton fly``."""
    blown = replace(rig, conditions=replace(rig.conditions, wind=Wind(towards_right=wind)))
    flight = blown.shoot(getattr(rig, kind), FAR, right, up)
    return np.column_stack([flight.right, flight.up])


@pytest.mark.parametrize("kind", ["fletched", "bare"])
@pytest.mark.parametrize(
    "setting", [(0.0, 0.0, 0.0), (2 * STEP, -3 * STEP, 0.0), (-STEP, STEP, 4.0), (0.0, 0.0, -6.0)]
)
def test_places_are_those_of_fly(kind, setting):
    landed = OWN.places(kind, np.array([setting]))[0]
    assert landed == pytest.approx(shot(kind, *setting), abs=1e-6)


def test_the_likelier_side_is_the_trades():
    assert (RIGHT.nose, LEFT.nose) == (1, -1)
    assert RIGHT.weight + LEFT.weight == pytest.approx(1.0)
    # rest right brings the bare shaft back left in 3 bows of 4, and its nose with it
    assert LEFT.weight == pytest.approx(0.75, abs=0.12)


def test_both_ways_agree_until_the_rest_moves_aside():
    for kind in ("fletched", "bare"):
        setting = np.array([[0.0, 2 * STEP, 3.0]])
        assert RIGHT.places(kind, setting) == pytest.approx(LEFT.places(kind, setting), abs=1e-9)


def test_the_other_way_sends_the_bare_shaft_to_the_other_side_of_the_fletched():
    move = np.array([[STEP, 0.0, 0.0]])
    apart = [
        (case.places("bare", move) - case.places("fletched", move))[0, :, 0]
        - (case.places("bare", STILL) - case.places("fletched", STILL))[0, :, 0]
        for case in (RIGHT, LEFT)
    ]
    assert (apart[0] > apart[1]).all()
    # the group as a whole goes with the rest either way
    for case in (RIGHT, LEFT):
        assert case.places("fletched", move)[0, 0, 0] > 0.5 * INCH


def test_moving_the_rest_the_other_way_mirrors_the_places():
    moves = np.array([[STEP, 0.0, 0.0], [-STEP, 0.0, 0.0]])
    landed = OWN.places("bare", moves)
    # not to the last digit: the vanes' spin leans a little to one side
    assert landed[0, :2, 0] == pytest.approx(-landed[1, :2, 0], abs=2e-3)


def test_without_uncertainty_nothing_is_spread():
    exact = {"vane_lift": (1.0, 1.0)}
    case = max(cases_of_rig(RIG, exact, FAR, draws=4), key=lambda one: one.weight)
    for seen in ("fletched", "bare", "apart"):
        assert np.abs(case.covariances(seen, np.array([[0.0, STEP, 0.0]]))).max() < (2e-4) ** 2


def test_the_covariance_is_that_of_real_flights_of_the_plausible_bows():
    setting = np.array([[0.0, 2 * STEP, 0.0]])
    # launched and flown one by one
    off = [
        shot("bare", 0.0, 2 * STEP, 0.0, rig) - shot("bare", 0.0, 2 * STEP, 0.0)
        for rig in OWN.drawn
    ]
    by_hand = np.einsum("dna,dnb->nab", np.array(off), np.array(off)) / len(off)
    found = OWN.covariances("bare", setting)[0]
    assert found == pytest.approx(by_hand, rel=0.02, abs=1e-7)


def test_the_plausible_bows_of_a_case_answer_to_its_side():
    # with both sides among them the spread would hold the other case as well
    tied = {"brace_tension": (1.0, 1.2)}  # about where this bow's answer turns round
    cases = cases_of_rig(RIG, tied, FAR, draws=8)
    assert 0.0 < np.mean([rig_turns_right(rig) for rig in cases[0].drawn]) < 1.0
    gains = [
        np.array([shape.by_right[START.index("yaw_rate")] for shape in case._shapes["fletched"]])
        for case in cases
    ]
    assert (gains[0] > 0.0).all()
    assert gains[1] == pytest.approx(-gains[0])


def rig_turns_right(rig):
    still, moved = (rig.launch(rig.fletched, right).yaw_rate for right in (0.0, STEP))
    return moved > still


def test_the_spread_holds_about_nine_of_ten_of_other_plausible_bows():
    case = cases_of_rig(RIG, RANGES, FAR)[0]
    others = cases_of_rig(RIG, RANGES, FAR, draws=100, seed=9)[0].drawn
    move = (0.0, 2 * STEP)
    covariance = case.covariances("bare", np.array([[*move, 0.0]]))[0]
    for k in range(len(FAR)):
        half = 1.645 * np.sqrt(covariance[k, 1, 1])
        middle = shot("bare", *move, 0.0)[k, 1]
        off = [abs(shot("bare", *move, 0.0, rig)[k, 1] - middle) for rig in others]
        assert 0.75 < np.mean(np.array(off) <= half) < 0.98


def test_a_rig_without_vanes_has_only_the_bare_shaft():
    naked = replace(RIG, fletched=RIG.bare)
    assert cases_of_rig(naked, RANGES, FAR, draws=2)[0].kinds == ("bare",)


def test_the_stated_error_of_the_tables_holds_against_flights():
    wide = np.arange(-4, 5) * STEP
    reach = Reach(wide, wide, np.arange(-15.0, 15.1, 2.5) * MPH)
    tables = tabulate([OWN], reach, FAR, 0.01 * INCH)
    for kind in ("fletched", "bare"):
        found = measured_errors(tables, 0, OWN, kind, 300, seed=77)
        assert (found <= tables.errors).all(), (kind, found / INCH, tables.errors / INCH)
    assert tables.errors[0] < 0.05 * INCH
    # single flights, by another way than the one that filled the tables
    for right, up, wind in ((1, 7, 3.1), (8, 0, -6.2), (4, 4, 1.0)):
        move = (float(reach.right[right]), float(reach.up[up]))
        off = look_up(tables, 0, "bare", right, up, wind) - shot("bare", *move, wind)
        assert (np.abs(off).max(axis=1) <= tables.errors).all()
