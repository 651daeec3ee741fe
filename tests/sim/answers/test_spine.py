"""Other shafts from Python."""

import pytest

import vireton

INCH = 0.0254


@pytest.fixture(scope="module")
def shafts():
    return vireton.compare_shafts(vireton.load(), [0.3 * INCH, "0.6 in"], draws=8)


def test_rows_are_flat_and_in_the_units_of_their_keys(shafts):
    first, second = shafts.rows()
    assert (first["spine_in"], second["spine_in"]) == pytest.approx((0.3, 0.6))
    assert first["rest_up_yaw_rate_rad_s"] == pytest.approx(float(shafts[0].yaw_rate.nominal[1]))
    assert first["push_per_buckling_push"] < second["push_per_buckling_push"]
    assert not any(isinstance(value, dict) for value in first.values())


def test_where_the_sideways_answer_passes_through_nothing(shafts):
    (found,) = shafts.to_dict()["sideways_yaw_rate_is_zero_at"]
    assert 0.3 < found["spine_in"] < 0.6


def test_the_picture_holds_one_curve_for_each_point():
    both = vireton.compare_shafts(
        vireton.load(), "0.3,0.4 in", points="100,125 gr", lengths="28 in", draws=8
    )
    assert len(both.shafts) == 4
    assert both.figure("metric").axes


def test_a_shaft_too_light_for_the_bow_is_a_caution():
    with pytest.warns(vireton.Caution, match=r"point 1 gr, length 28\.5 in: DANGER"):
        vireton.compare_shafts(vireton.load(), "0.3 in", points="1 gr", draws=8)


def test_what_cannot_be_is_refused():
    with pytest.raises(vireton.InputProblem, match=r"spines: 0\.3 m is outside"):
        vireton.compare_shafts(vireton.load(), 0.3)
