"""Walk-back points from Python."""

import math

import pytest

import vireton
from vireton.job import create_log


def test_probabilities_add_up_and_rows_hold_what_was_seen(pytestconfig):
    found = vireton.read_walkback(pytestconfig.rootpath / "examples" / "mill_log.toml")
    assert sum(found.weighed.probabilities.values()) == pytest.approx(1.0)
    assert found.to_dict()["verdict"] == found.weighed.verdict
    rows = found.rows()
    assert [row["right_in"] * 0.0254 for row in rows] == pytest.approx(list(found.weighed.seen))
    assert set(rows[0]) >= {"distance_yd", "windage_in", "cant_in", "wind_in", "yaw_rate_in"}
    assert found.weighed.verdict in repr(found)
    sizes, told = found.weighed.sizes, found.to_dict()["sizes"]
    assert told["windage"]["value_mrad"] == pytest.approx(1e3 * sizes["windage"][0])
    assert math.radians(told["cant"]["value_deg"]) == pytest.approx(sizes["cant"][0])
    # a mile is 1609.344 m by definition
    assert told["wind"]["sd_mph"] * 1609.344 / 3600.0 == pytest.approx(sizes["wind"][1])
    assert told["yaw_rate"]["sd_rad_s"] == pytest.approx(sizes["yaw_rate"][1])
    units = {"windage": "mrad", "cant": "deg", "wind": "mph", "yaw_rate": "rad_s"}
    for name, unit in units.items():
        assert set(told[name]) == {f"value_{unit}", f"sd_{unit}"}
    assert found.figure("metric").axes


def test_a_log_without_points_says_how_to_add_them(tmp_path, pytestconfig):
    log = tmp_path / "log.toml"
    create_log(log, pytestconfig.rootpath / "examples" / "mill_bow.toml")
    with pytest.raises(vireton.InputProblem, match="two distances or more, it has 0"):
        vireton.read_walkback(log)
