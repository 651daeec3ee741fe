"""Friction, transition and drag areas against their sources."""

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from bodies import BARE, FLETCHED
from vireton.aerodynamics.body import (
    axial_drag_areas,
    laminar_friction,
    turbulent_friction,
    turbulent_share,
)
from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

# Flat plate, one side, mean: laminar 1.328/√Re (Blasius), turbulent 0.455/(log₁₀ Re)^2.58 (Prandtl
# and Schlichting); figures derived from the two equations, to six decimals.
PLATE = {1e6: (0.001328, 0.004471), 2e6: (0.000939, 0.003940), 1e7: (0.000420, 0.003004)}


@pytest.mark.parametrize("reynolds", PLATE)
def test_flat_plate_table(reynolds: float) -> None:
    laminar, turbulent = PLATE[reynolds]
    assert laminar_friction(reynolds) == pytest.approx(laminar, abs=5e-7)
    assert turbulent_friction(reynolds) == pytest.approx(turbulent, abs=5e-7)


def test_the_ratio_of_polynomials_is_the_turbulent_formula() -> None:
    """Within 4e-8 over all that an arrow can reach; sane outside, where its share is none."""
    for reynolds in np.geomspace(1e5, 5e7, 200):
        exact = 0.455 / np.log10(reynolds) ** 2.58
        assert turbulent_friction(reynolds) == pytest.approx(exact, rel=4e-8)
    low = [turbulent_friction(reynolds) for reynolds in np.geomspace(1e2, 1e5, 50)]
    assert (np.diff(low) < 0.0).all() and low[0] < 0.1


def test_turbulent_friction_agrees_with_schlichtings_chart() -> None:
    """Re 1e5 to 1e9: 0.0072, 0.0021 and 0.0016 at 1e5, 1e8 and 1e9 (from memory, ±2 %)."""
    for reynolds, expected in ((1e5, 0.0072), (1e8, 0.00213), (1e9, 0.00157)):
        assert turbulent_friction(reynolds) == pytest.approx(expected, rel=0.02)


def _layer(eta: FloatArray, y: FloatArray) -> FloatArray:
    """Blasius' layer f0 and its first-order change f1 on a cylinder, as six first-order equations.

    With r² = a²(1 + ξη), ξ = (4/a)√(νx/U), stream function a√(νUx)·(f0 + ξ f1 + …), u = U f′/2, the
    boundary-layer equation is ((1 + ξη)f″)′ + f f″ + ξ(f″ ∂f/∂ξ − f′ ∂f′/∂ξ) = 0. Order ξ⁰ and ξ¹:
    f0‴ + f0 f0″ = 0 and f1‴ + f0 f1″ − f0′ f1′ + 2 f1 f0″ = −η f0‴ − f0″.
    """
    f, df, ddf, g, dg, ddg = y
    dddf = -f * ddf
    dddg = -f * ddg + df * dg - 2.0 * g * ddf - eta * dddf - ddf
    return np.array([df, ddf, dddf, dg, ddg, dddg])


def _ends(wall: FloatArray, far: FloatArray) -> FloatArray:
    return np.array([wall[0], wall[1], far[1] - 2.0, wall[3], wall[4], far[4]])


def test_laminar_curvature_coefficient_derived_again() -> None:
    """f1″(0) = 0.6943 (Seban and Bond 1951, as corrected by Kelly 1954), and Blasius' 1.328.

    Wall stress: cf = ½ Re_x^-½ (f0″ + ξ f1″) = 0.664/√Re_x + 2 f1″ ν/(U a). The second term does
    not depend on x, so it is its own mean over the length.
    """
    eta = np.linspace(0.0, 9.0, 400)
    guess = np.zeros((6, eta.size))
    guess[1] = 2.0 * np.tanh(0.66 * eta)
    guess[0] = np.cumsum(guess[1]) * (eta[1] - eta[0])
    guess[2] = 1.33 * np.exp(-eta)
    solution = solve_bvp(_layer, _ends, eta, guess, tol=1e-9, max_nodes=100_000)
    assert solution.success, solution.message
    assert solution.sol(0.0)[2] == pytest.approx(1.32823, abs=1e-5)
    assert solution.sol(0.0)[5] == pytest.approx(0.6943, abs=1e-4)

    # and the drag model uses it so: CDf grows by 2 f1″(0)·ν/(U a) on the wetted area
    speed = 40.0
    p = FLETCHED._replace(curvature_laminar=4.0 * solution.sol(0.0)[5], transition_reynolds=1e12)
    curved = axial_drag_areas(p, speed, 0.0)[0]
    flat = axial_drag_areas(p._replace(curvature_laminar=0.0), speed, 0.0)[0]
    radius = 0.5 * p.diameter
    expected = 2.0 * solution.sol(0.0)[5] * p.kinematic_viscosity / (speed * radius)
    assert curved - flat == pytest.approx(expected * p.wetted_area, rel=1e-9)


def test_half_the_friction_is_turbulent_at_the_transition() -> None:
    p = Parameters(transition_reynolds=2e6, transition_sine_squared=1e-4)
    assert turbulent_share(p, 2e6, 0.0) == 0.5
    assert turbulent_share(p, 1e6, 1e-4) == 0.5  # the angle that halves the transition
    assert turbulent_share(p, 4e6, 0.0) == pytest.approx(64.0 / 65.0)
    assert turbulent_share(p, 1e4, 0.0) < 1e-9
    assert turbulent_share(p, 1e12, 1.0) == pytest.approx(1.0, abs=1e-11)  # no overflow


@given(
    reynolds=st.tuples(st.floats(1e2, 1e8), st.floats(1e2, 1e8)),
    sine_squared=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)),
)
def test_share_is_a_share_and_grows_with_speed_and_angle(
    reynolds: tuple[float, float], sine_squared: tuple[float, float]
) -> None:
    low = turbulent_share(FLETCHED, min(reynolds), min(sine_squared))
    high = turbulent_share(FLETCHED, max(reynolds), max(sine_squared))
    assert 0.0 <= low <= high <= 1.0


@pytest.mark.parametrize(("transition", "turbulent"), [(1e12, False), (1.0, True)])
def test_drag_areas_by_hand(transition: float, turbulent: bool) -> None:
    """Each term, wholly laminar and wholly turbulent, from its formula."""
    speed, p = 60.0, FLETCHED._replace(transition_reynolds=transition)
    reynolds = speed * p.wetted_length / p.kinematic_viscosity
    if turbulent:
        plate = turbulent_friction(reynolds)
        shaft, slowed = plate * p.curvature_turbulent, p.vane_pressure_turbulent
    else:
        plate = 1.328 / np.sqrt(reynolds)
        shaft = plate + p.curvature_laminar * p.kinematic_viscosity / (speed * p.diameter)
        slowed = p.vane_pressure_laminar
    friction, point, base, vanes, share, across = axial_drag_areas(p, speed, 0.0)
    assert share == pytest.approx(float(turbulent), abs=1e-11)
    assert friction == pytest.approx(p.wetted_area * shaft, rel=1e-9)
    assert point == pytest.approx(0.10 * p.cross_section, rel=1e-14)
    # Hoerner, Fluid-Dynamic Drag, ch. 3: 0.029/√CDf, both on the cross-section
    assert base / p.cross_section == pytest.approx(
        0.029 / np.sqrt(friction / p.cross_section), rel=1e-12
    )
    # the vanes' own layer is turbulent whatever the shaft's is
    vane = turbulent_friction(reynolds) * p.vane_friction_area
    assert vanes == pytest.approx(slowed * (vane + p.vane_edge_area), rel=1e-9)
    # all friction also pushes across, less far back in a layer that is thinner in front
    assert across[0] == pytest.approx(friction, rel=1e-9)
    if turbulent:
        np.testing.assert_allclose(across, friction * np.array([1.0, 4 / 9, 2 / 7]), rtol=1e-9)
    else:
        even = p.wetted_area * p.curvature_laminar * p.kinematic_viscosity / (speed * p.diameter)
        thin = friction - even
        np.testing.assert_allclose(
            across[1:], [thin / 3 + even / 2, thin / 5 + even / 3], rtol=1e-9
        )


def test_published_arrow_drag_lies_between_our_laminar_and_turbulent() -> None:
    """CD 1.3–1.6 laminar, 2.6 turbulent near Re 2e4 on the diameter; orders of magnitude only.

    KAKENHI report 18K03943 (2020), Miyazaki et al., and Ortiz et al. 2020, Proceedings 49:56 (CD
    1.56 short, 2.05 large vanes at 1.2e4). Their arrows are not this invented one: a close check
    of a modeled arrow is a job for the validation.
    """
    speed = 2e4 * FLETCHED.kinematic_viscosity / FLETCHED.diameter
    laminar, turbulent = (
        sum(axial_drag_areas(FLETCHED._replace(transition_reynolds=t), speed, 0.0)[:4])
        / FLETCHED.cross_section
        for t in (1e12, 1.0)
    )
    assert 1.0 < laminar < 2.05
    assert 2.05 < turbulent < 3.3


def test_no_speed_is_the_lowest_reynolds_number_and_finite() -> None:
    still = axial_drag_areas(BARE, 0.0, 0.0)
    assert all(np.isfinite([*still[:5], *still[5]]))
    lowest = 100.0 * BARE.kinematic_viscosity / BARE.wetted_length
    assert axial_drag_areas(BARE, 0.99 * lowest, 0.0) == still
    assert axial_drag_areas(BARE, 1.5 * lowest, 0.0)[0] < still[0]


@given(speed=st.floats(0.0, 300.0), sine_squared=st.floats(0.0, 1.0))
def test_drag_areas_are_positive(speed: float, sine_squared: float) -> None:
    friction, point, base, vanes, share, across = axial_drag_areas(FLETCHED, speed, sine_squared)
    assert min(friction, point, base, vanes, *across) > 0.0
    assert across[1] ** 2 < across[0] * across[2]  # as of any load on one side
    assert 0.0 <= share <= 1.0
    # in laminar or in turbulent air, more speed means more force
    for transition in (1e12, 1.0):
        p = FLETCHED._replace(transition_reynolds=transition)
        slower = sum(axial_drag_areas(p, speed, sine_squared)[:4]) * speed**2
        faster = sum(axial_drag_areas(p, 1.1 * speed + 0.01, sine_squared)[:4])
        assert faster * (1.1 * speed + 0.01) ** 2 > slower
