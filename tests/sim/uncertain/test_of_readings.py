"""How far readings may be off that a setup file holds: only where they are, and felt by a shot."""

from dataclasses import replace

import pytest

from demo import CONDITIONS, INCH, MAPLE, MILL, POUND, SIGHT
from vireton.bow.bow import DrawCurve
from vireton.rig import assemble_rig, vary
from vireton.uncertain.inputs import plausible_ranges
from vireton.uncertain.of_readings import OF_READINGS
from vireton.uncertain.row import Pieces

STEPS = [INCH * (i + 1) for i in range(20)]
POINTS = tuple((at, min(60.0, 12.0 * (i + 1)) * POUND) for i, at in enumerate(STEPS))
READ = replace(MILL, draw_curve=DrawCurve(points=(*POINTS, (MILL.power_stroke, 12 * POUND))))
BALANCED = replace(MAPLE, measured_balance=17.0 * INCH)


def test_they_count_only_where_there_is_a_reading():
    keys = {one.key for one in OF_READINGS}
    assert not keys & set(plausible_ranges(Pieces(MILL, MAPLE)))
    assert keys <= set(plausible_ranges(Pieces(READ, BALANCED)))


@pytest.mark.parametrize("key", [one.key for one in OF_READINGS])
def test_every_row_is_felt_by_a_shot(key):
    rest = replace(READ.rest, offset_right=1e-3, offset_up=1e-3)
    rig = assemble_rig(replace(READ, rest=rest), BALANCED, CONDITIONS, SIGHT)
    low, high = plausible_ranges(Pieces(READ, BALANCED))[key]
    one, other = (vary(rig, {key: end}) for end in (low, high))
    assert one.launch(one.fletched) != other.launch(other.fletched)


@pytest.mark.parametrize("key", [one.key for one in OF_READINGS])
def test_where_there_is_nothing_to_shift_nothing_changes(key):
    row = next(one for one in OF_READINGS if one.key == key)
    assert row.change(Pieces(MILL, MAPLE), 1e-3) == Pieces(MILL, MAPLE)


@pytest.mark.parametrize("by", [-1.0, -0.125, 0.125, 1.0])
def test_shifted_readings_still_rise_to_full_draw(by):
    points = OF_READINGS[0].change(Pieces(READ, MAPLE), by * INCH).bow.draw_curve.points
    places = [at for at, _ in points]
    assert places == sorted(set(places))
    assert places[0] > 0.0
    assert points[-1] == READ.draw_curve.points[-1]
