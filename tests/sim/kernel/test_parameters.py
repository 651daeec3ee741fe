"""The record of a flight's numbers: plain floats, and nothing switched on by default."""

import numpy as np
import pytest

from bodies import FLETCHED, TWO_BLADES, launch_state
from vireton.kernel.door import rates
from vireton.kernel.parameters import Parameters, roll_matters


def test_every_default_is_a_float() -> None:
    """An int would make the compiler build a second kernel."""
    wrong = [name for name, value in Parameters()._asdict().items() if type(value) is not float]
    assert wrong == []


def test_by_default_only_gravity_acts() -> None:
    state = launch_state(60.0, yaw=0.1, yaw_rate=3.0, spin=40.0)
    state[9:12] = 0.0
    out = rates(state, Parameters())
    np.testing.assert_array_equal(out[0:3], state[3:6])
    np.testing.assert_array_equal(out[3:13], [0.0, -9.80665, 0.0] + [0.0] * 7)
    # the reference vector is fixed in the body and turns with it
    np.testing.assert_allclose(out[13:], 40.0 * np.cross(state[6:9], state[13:16]), atol=1e-14)


SWITCHED_OFF = {
    "vane_count": "vane_slope vane_position vane_offset_sine",
    "base_factor": "",
    "point_slope": "point_position",
    "point_drag": "",
    "crossflow_factor": "crossflow_growth",
}


@pytest.mark.parametrize("switch", SWITCHED_OFF)
def test_zero_switches_its_term_off(switch: str) -> None:
    """With the switch at zero its other fields no longer matter; with it on, they do."""
    state = launch_state(yaw=0.03, yaw_rate=2.0, spin=100.0)
    on, off = rates(state, FLETCHED), rates(state, FLETCHED._replace(**{switch: 0.0}))
    assert np.abs(on - off).max() > 1e-3
    for field in SWITCHED_OFF[switch].split():
        changed = FLETCHED._replace(**{field: 1.1 * getattr(FLETCHED, field)})
        assert np.abs(rates(state, changed) - on).max() > 1e-6, field
        np.testing.assert_array_equal(rates(state, changed._replace(**{switch: 0.0})), off)


def test_no_field_is_dead() -> None:
    """Each number changes the right-hand side of some body in some wind."""
    state = launch_state(yaw=0.2, yaw_rate=2.0, spin=100.0, up_angle=0.02)
    state[1] = 0.5
    windy = TWO_BLADES._replace(
        inertia_across_other=1.9e-3,
        gravity_x=0.3,
        gravity_right=0.2,
        wind_x=-1.0,
        wind_right=3.0,
        wind_exponent=0.14,
        wind_reference_height=2.0,
        launch_height=1.5,
        transition_reynolds=3e6,
        transition_sine_squared=0.05,
        constant_area=3e-5,
        constant_length=6e-3,
        constant_drag=0.1,
        constant_lift_slope=2.0,
        constant_moment_slope=-5.0,
        constant_damping=-100.0,
    )
    # two vanes stand where they stand; more are a ring
    two = windy._replace(vane_count=2.0, vane_cosine=0.6, vane_sine=0.8)
    backwards = launch_state(yaw=np.pi - 0.2, yaw_rate=2.0, spin=100.0)
    dead = []
    for name in windy._fields:
        body = two if name in ("vane_cosine", "vane_sine") else windy
        changed = body._replace(**{name: 1.05 * getattr(body, name)})
        moved = [np.abs(rates(s, changed) - rates(s, body)).max() for s in (state, backwards)]
        if not max(moved) > 1e-9:
            dead.append(name)
    assert dead == []


def test_roll_matters_for_two_of_a_kind_and_for_unequal_inertias_only() -> None:
    assert not roll_matters(FLETCHED)
    assert not roll_matters(FLETCHED._replace(blade_count=3.0, blade_area=1e-4))
    assert roll_matters(TWO_BLADES)
    assert roll_matters(FLETCHED._replace(vane_count=2.0))
    assert roll_matters(FLETCHED._replace(inertia_across_other=1.8e-3))
