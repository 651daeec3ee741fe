import pytest

from vireton.plots.scales import DEGREE, scale


def test_us_is_yards_and_inches():
    # exact by definition: International Yard and Pound Agreement 1959, 1 yd = 0.9144 m = 36 in
    us = scale("us")
    assert (us.far, us.far_size, us.small, us.small_size) == ("yd", 0.9144, "in", 0.0254)


def test_metric_is_meters_and_centimeters():
    metric = scale("metric")
    assert (metric.far, metric.far_size, metric.small, metric.small_size) == ("m", 1.0, "cm", 0.01)


def test_a_half_turn_has_180_degrees():
    assert pytest.approx(3.141592653589793, abs=1e-15) == 180.0 * DEGREE


def test_another_system_is_refused_with_the_two_that_there_are():
    with pytest.raises(ValueError, match="'imperial' is not known; it is 'us' or 'metric'"):
        scale("imperial")
