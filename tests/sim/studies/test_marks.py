"""Sight geometry and elevations, against an independent sight-in and closed forms."""

import math
from dataclasses import replace

import numpy as np
import pytest

from bodies import launch_state
from demo import CONDITIONS, FPS, INCH, MAPLE, MILL, SIGHT, YARD, mill_rig
from vireton.bow.arrow import assemble
from vireton.flight.flight import Wind, prepare
from vireton.flight.sighting import NotSightedError, sight_in
from vireton.kernel.door import rates
from vireton.rig import assemble_rig
from vireton.studies.marks import Marksman, Peep, Trial, with_drag

RADIUS = 33 * INCH
WHERE = np.array([10.0, 20.0, 40.0, 80.0]) * YARD
NOMINAL = Trial(RADIUS, 280 * FPS)
TRUE_DRAW = 27.25 * INCH  # 29 in AMO less 1.75 in: the nock at full draw behind the grip


def test_the_line_of_sight_turns_about_the_peep():
    peep = Peep(0.12, 0.69)
    for elevation in (0.01, 0.03, 0.08):
        aim = peep.aim(elevation, 0.002)
        # in the bow: from the peep a line that falls by the elevation passes the grip at ``height``
        assert aim.height + peep.behind * math.tan(elevation) == pytest.approx(0.12, rel=1e-14)
        assert (aim.elevation, aim.windage) == (elevation, 0.002)


def test_elevations_are_those_of_the_sight_in():
    rig = mill_rig()
    found = Marksman(rig, RADIUS, 20 * YARD).elevations(WHERE, NOMINAL)
    # half way between peep and pin the line of sight is 3.5 in above the arrow at 20 yd
    above = 3.5 * INCH + 0.5 * RADIUS * math.tan(found[1])
    for distance, elevation in zip(WHERE, found, strict=True):
        height = above - TRUE_DRAW * math.tan(elevation)
        aim = sight_in(
            rig.fletched, rig.launch(rig.fletched), CONDITIONS, distance, height, MILL.brace_height
        )
        # the height follows the elevation of the last digits: a few 1e-7 m on the target
        assert elevation == pytest.approx(aim.elevation, abs=2e-8)


def test_a_higher_line_of_sight_needs_more_elevation_close_up():
    marksman = Marksman(mill_rig(), RADIUS, 20 * YARD)
    plain = marksman.elevations(WHERE, NOMINAL)
    higher = marksman.elevations(WHERE, replace(NOMINAL, height=0.01))
    assert higher - plain == pytest.approx(0.01 / (WHERE + TRUE_DRAW), rel=0.02)


def test_slower_or_draggier_arrows_need_more():
    marksman = Marksman(mill_rig(), RADIUS, 20 * YARD)
    plain = marksman.elevations(WHERE, NOMINAL)
    slower = marksman.elevations(WHERE, replace(NOMINAL, speed=270 * FPS))
    draggier = marksman.elevations(WHERE, replace(NOMINAL, drag=1.3))
    assert (slower > plain).all()
    assert (np.diff(draggier - plain) > 0.0).all()


@pytest.mark.parametrize("drag_coefficient", [None, 2.0])
@pytest.mark.parametrize("factor", [0.7, 1.0, 1.9])
def test_the_factor_is_on_all_drag_of_straight_flight(factor, drag_coefficient):
    straight = assemble(replace(MAPLE, vanes=replace(MAPLE.vanes, offset=0.0)))
    body = prepare(straight, 85.0, replace(CONDITIONS, drag_coefficient=drag_coefficient))
    slowing = [rates(launch_state(85.0), one)[3] for one in (body, with_drag(body, factor))]
    assert slowing[1] == pytest.approx(factor * slowing[0], rel=1e-12)


def test_a_given_drag_coefficient_is_found_again():
    # 2m ln(V0/V)/(ρ S x), flat fire with constant drag; the vanes' own lift adds a little
    straight = replace(MAPLE, vanes=replace(MAPLE.vanes, offset=0.0))
    rig = assemble_rig(
        replace(MILL, launch_model="rigid"),
        straight,
        replace(CONDITIONS, drag_coefficient=2.0),
        SIGHT,
    )
    marksman = Marksman(rig, RADIUS, 20 * YARD)
    assert marksman.drag_coefficient(60 * YARD, NOMINAL) == pytest.approx(2.0, rel=0.02)
    doubled = marksman.drag_coefficient(60 * YARD, replace(NOMINAL, drag=2.0))
    assert doubled == pytest.approx(4.0, rel=0.02)


def test_wind_and_slope_of_the_setup_do_not_count():
    odd = replace(CONDITIONS, wind=Wind(4.0, 5.0), slope=0.3)
    rig = assemble_rig(MILL, MAPLE, odd, SIGHT, cant=0.1)
    found = Marksman(rig, RADIUS, 20 * YARD).elevations(WHERE, NOMINAL)
    plain = Marksman(mill_rig(), RADIUS, 20 * YARD).elevations(WHERE, NOMINAL)
    assert found == pytest.approx(plain, abs=1e-8)


def test_out_of_range_says_so():
    with pytest.raises(NotSightedError):
        Marksman(mill_rig(), RADIUS, 20 * YARD).elevations(np.array([1500.0]), NOMINAL)
