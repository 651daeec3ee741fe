import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vireton.plots import FlightCurve, RestCurve, ShiftBand

ZEROS = np.zeros(3)
X = np.array([1.0, 2.0, 3.0])


def flat_shift(points=3):
    return ShiftBand(*(np.zeros(points) for _ in range(6)))


def test_curves_keep_the_arrays_they_are_given():
    curve = FlightCurve("bare", X, ZEROS, ZEROS, ZEROS, ZEROS)
    assert curve.distance is X
    assert curve.label == "bare"


def test_the_side_of_a_move_is_open_unless_the_caller_knows_better():
    assert RestCurve("up", X, flat_shift(), flat_shift(), flat_shift()).sideways_open


@pytest.mark.parametrize("name", ["right", "up", "yaw", "pitch"])
def test_an_array_of_another_length_is_refused_by_name(name):
    arrays = dict.fromkeys(("right", "up", "yaw", "pitch"), ZEROS) | {name: np.zeros(2)}
    with pytest.raises(ValueError, match=rf"bare: {name} has shape \(2,\).*\(3,\)"):
        FlightCurve("bare", X, **arrays)


def test_infinity_is_refused_and_nan_is_not():
    with pytest.raises(ValueError, match="yaw holds an infinite value"):
        FlightCurve("bare", X, ZEROS, ZEROS, np.array([0.0, np.inf, 0.0]), ZEROS)
    FlightCurve("bare", X, ZEROS, ZEROS, np.array([0.0, np.nan, np.nan]), ZEROS)


@pytest.mark.parametrize(
    ("distance", "says"),
    [
        ([1.0, 1.0, 2.0], "must rise"),
        ([3.0, 2.0, 1.0], "must rise"),
        ([1.0, 2.0, np.nan], "finite number of meters"),
        ([1.0, 2.0, np.inf], "finite number of meters"),
    ],
)
def test_distances_rise_and_are_finite(distance, says):
    with pytest.raises(ValueError, match=says):
        FlightCurve("bare", np.array(distance), ZEROS, ZEROS, ZEROS, ZEROS)
    with pytest.raises(ValueError, match=says):
        RestCurve("up", np.array(distance), flat_shift(), flat_shift(), flat_shift())


def test_a_table_is_no_curve():
    with pytest.raises(ValueError, match=r"shape \(n,\)"):
        FlightCurve("bare", np.zeros((3, 2)), ZEROS, ZEROS, ZEROS, ZEROS)


@pytest.mark.parametrize("which", ["fletched", "bare", "separation"])
def test_every_shift_of_a_move_is_checked(which):
    shifts = {name: flat_shift() for name in ("fletched", "bare", "separation")}
    with pytest.raises(ValueError, match=f"up 1/32, {which}: right has shape"):
        RestCurve("up 1/32", X, **shifts | {which: flat_shift(2)})


@given(
    st.sampled_from(["right", "up"]), st.sampled_from(["low", "high"]), st.floats(1e-9, 1.0)
)  # fmt: skip
@settings(deadline=None)
def test_a_band_that_leaves_out_its_own_value_is_refused(axis, end, by):
    arrays = {f"{a}{e}": np.zeros(3) for a in ("right", "up") for e in ("", "_low", "_high")}
    wrong = np.array([0.0, 0.0, by if end == "low" else -by])
    shift = ShiftBand(**arrays | {f"{axis}_{end}": wrong})
    with pytest.raises(ValueError, match=f"bare: {axis} lies outside its own band"):
        RestCurve("up", X, flat_shift(), shift, flat_shift())


def test_a_value_without_a_band_is_fine():
    none = np.full(3, np.nan)
    RestCurve("up", X, flat_shift(), ShiftBand(ZEROS, ZEROS, none, none, none, none), flat_shift())
