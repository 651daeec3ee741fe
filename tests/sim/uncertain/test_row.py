"""What a row says of itself: in the schema, in a new setup file."""

from dataclasses import replace

import pytest

from demo import MAPLE, MILL
from vireton.uncertain.inputs import INPUTS
from vireton.uncertain.row import FACTOR, Input, Pieces
from vireton.units.kinds import Band, Number

PIECES = Pieces(MILL, MAPLE)
ROWS = {one.key: one for one in INPUTS}
PLAIN = Input("pull", "how it pulls", lambda one, value: one, says="How it pulls")
BAND = Band(Number(0.0, 2.0, 1.0), like="[0.5, 1.5]")


def test_a_row_of_its_own_number_tells_where_that_is():
    row = replace(PLAIN, kind=BAND, own="bow.pull", usual=lambda one: (0.0, 1.0), says="0 to that")
    assert row.description == "Of bow.pull; without it 0 to that"
    assert (
        row.template_line == "# pull = [0.5, 1.5]                   # of bow.pull; else 0 to that"
    )
    assert row.written is None
    assert row.usual_range(PIECES) == (0.0, 1.0)


def test_a_row_of_no_number_has_its_example_for_a_range():
    row = replace(PLAIN, kind=BAND)
    assert row.description == "How it pulls"
    assert row.template_line == f"{'pull = [0.5, 1.5]':37} # how it pulls"
    assert row.written == [0.5, 1.5]
    assert row.usual_range(PIECES) == (0.5, 1.5)


def test_a_long_line_keeps_its_comment_apart():
    row = replace(PLAIN, key="pull" * 10, kind=BAND)
    assert row.template_line.endswith("pull = [0.5, 1.5] # how it pulls")


def test_a_coefficient_is_of_the_best_estimate():
    assert ROWS["vane_lift"].description == "Lift of the vanes, of the model's best estimate"
    assert ROWS["vane_lift"].template_line.endswith("# lift of the vanes")
    assert ROWS["shaft_damping"].description.endswith("of critical damping")


def test_factors_are_told_from_other_bands():
    assert ROWS["shaft_stiffness"].is_factor
    assert ROWS["vane_lift"].kind.item is FACTOR
    assert not ROWS["shaft_damping"].is_factor
    assert not ROWS["vane_angle"].is_factor


def test_a_row_without_range_or_kind_is_refused():
    assert PLAIN.template_line == ""
    with pytest.raises(ValueError, match="pull has neither"):
        PLAIN.usual_range(PIECES)
