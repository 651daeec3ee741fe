"""The bending beam: exact rigid properties, published frequencies, convergence, buckling."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from demo import GRAIN, INCH, MAPLE
from vireton.bow.arrow import assemble, bare, bending_stiffness
from vireton.bow.parts import ArrowParts, Nock, Point, Shaft
from vireton.launch.beam import (
    build,
    critical_acceleration,
    free_frequencies,
    modes,
    shape_functions,
)

FLETCHED = assemble(MAPLE)
EI = bending_stiffness(0.34 * INCH)


def plain_shaft(length_inches, spine_inches=0.5, grains_per_inch=8.0, tip_grains=0.0):
    """A tube with next to nothing at its ends."""
    tiny = 1e-9
    return assemble(
        ArrowParts(
            "plain",
            length_inches * INCH + tiny,
            Nock(0.0, tiny),
            Shaft(
                length_inches * INCH, 1e-3, 0.9e-3, grains_per_inch * GRAIN / INCH,
                spine_inches * INCH,
            ),
            Point(tip_grains * GRAIN, tiny),
        )
    )  # fmt: skip


def test_shape_functions_hold_every_cubic():
    x = np.linspace(0.0, 0.3, 7)
    value, slope = shape_functions(x, 0.3)
    ends = np.array([1.0, 2.0, 1.0 + 2 * 0.3 - 0.09 + 4 * 0.027, 2.0 - 0.6 + 12 * 0.09])
    assert ends @ value == pytest.approx(1 + 2 * x - x**2 + 4 * x**3, abs=1e-14)
    assert ends @ slope == pytest.approx(2 - 2 * x + 12 * x**2, abs=1e-13)


@pytest.mark.parametrize("arrow", [FLETCHED, bare(FLETCHED)])
def test_mass_balance_and_inertia_are_the_arrows_own(arrow):
    beam = build(arrow)
    assert beam.shift @ beam.mass @ beam.shift == pytest.approx(arrow.mass, rel=1e-12)
    assert beam.turn @ beam.mass @ beam.turn == pytest.approx(arrow.transverse_inertia, rel=1e-12)
    assert beam.shift @ beam.mass @ beam.turn == pytest.approx(0.0, abs=1e-15)
    # a rigid turn under thrust is the inverted pendulum: ∫(mass ahead) dx = m·l
    assert beam.turn @ beam.thrust @ beam.turn == pytest.approx(
        arrow.mass * arrow.balance, rel=1e-12
    )
    assert np.abs(beam.bending @ beam.shift).max() < 1e-8
    assert np.abs(beam.bending @ beam.turn).max() < 1e-8


@pytest.mark.parametrize(("inches", "hertz"), [(28.0, 111.0), (29.0, 104.0)])
def test_free_bending_of_a_bare_half_inch_shaft(inches, hertz):
    # derived from beam tables (Blevins 1979, Formulas for Natural Frequency and Mode Shape): 0.500
    # in static spine, 8 gr/in
    shaft = plain_shaft(inches)
    assert free_frequencies(shaft, shaft.stiffness)[0] == pytest.approx(hertz, abs=0.5)


def test_free_frequencies_of_a_uniform_beam():
    # roots of cos β cosh β = 1: 4.730041, 7.853205, 10.995608 (Blevins 1979, table 8-1)
    shaft = plain_shaft(28.0)
    roots = np.array([4.730041, 7.853205, 10.995608])
    per_length = 8.0 * GRAIN / INCH
    expected = roots**2 / (2 * np.pi * (28 * INCH) ** 2) * np.sqrt(shaft.stiffness / per_length)
    # so thin a tube has next to no rotary inertia, which Euler and Bernoulli leave out
    assert free_frequencies(shaft, shaft.stiffness) == pytest.approx(expected, rel=1e-4)


def test_pinned_frequencies_of_a_uniform_beam():
    # pinned at the nock: roots of tan β = tanh β, 3.926602, 7.068583 (Blevins 1979, table 8-1)
    shaft = plain_shaft(28.0)
    squares = modes(shaft, pinned=True, flexible=2).square_per_stiffness[1:]
    roots = np.sqrt(np.sqrt(squares * 8.0 * GRAIN / INCH)) * 28 * INCH
    assert roots == pytest.approx([3.926602, 7.068583], rel=1e-4)


@pytest.mark.parametrize("grains", [50.0, 125.0, 400.0])
def test_frequency_with_a_tip_mass_solves_its_equation(grains):
    """Free at the nock, a mass M at the other end.

    w = A(sin βx + sinh βx) + B(cos βx + cosh βx); no moment at the mass, and its shear is the
    mass's inertia, EI·w‴ = −M ω² w. The determinant of the two, with μ = M/(ρL), is zero.
    """
    shaft = plain_shaft(28.0, tip_grains=grains)
    mu = grains / (8.0 * 28.0)

    def determinant(b):
        s, c, sh, ch = np.sin(b), np.cos(b), np.sinh(b), np.cosh(b)
        moment = (-s + sh, -c + ch)
        shear = (-c + ch + mu * b * (s + sh), s + sh + mu * b * (c + ch))
        return (moment[0] * shear[1] - moment[1] * shear[0]) / ch**2

    root = brentq(determinant, 3.2, 4.73)
    per_length = 8.0 * GRAIN / INCH
    expected = root**2 / (2 * np.pi * (28 * INCH) ** 2) * np.sqrt(shaft.stiffness / per_length)
    assert free_frequencies(shaft, shaft.stiffness, 1)[0] == pytest.approx(expected, rel=1e-3)


@given(st.floats(1.0, 300.0))
def test_a_point_lowers_the_frequency(grains):
    light, heavy = plain_shaft(28.0, tip_grains=grains), plain_shaft(28.0, tip_grains=2 * grains)
    assert free_frequencies(heavy, 6.0, 1)[0] < free_frequencies(light, 6.0, 1)[0]


def test_frequencies_converge_with_the_elements():
    def third(elements):
        return modes(FLETCHED, pinned=False, elements=elements).square_per_stiffness[4]

    best = third(96)
    errors = [abs(third(n) / best - 1.0) for n in (6, 12, 24)]
    # cubic elements: order 4 in the square of the frequency
    assert errors[1] < errors[0] / 8.0
    assert errors[2] < errors[1] / 8.0
    assert errors[2] < 1e-4


@pytest.mark.parametrize("pinned", [True, False])
def test_shapes_are_orthonormal_and_bending_carries_no_momentum(pinned):
    shapes = modes(FLETCHED, pinned=pinned)
    beam = build(FLETCHED)
    full = np.zeros((beam.mass.shape[0], shapes.place.shape[1]))
    full[0::2], full[1::2] = shapes.place, shapes.slope
    assert full.T @ beam.mass @ full == pytest.approx(np.eye(full.shape[1]), abs=1e-9)
    if pinned:
        assert np.abs(shapes.place[0]).max() < 1e-9
    else:
        assert np.abs(shapes.shift[2:]).max() < 1e-9
        assert np.abs(shapes.turn[2:]).max() < 1e-9


def test_a_rigid_shaft_has_only_rigid_shapes():
    shapes = modes(FLETCHED, pinned=False, flexible=0)
    assert shapes.square_per_stiffness.tolist() == [0.0, 0.0]


def test_buckling_of_a_column_under_a_weight_at_its_end():
    # no mass but at the tip: the load is the same all along, P = m·a, and buckles at π²EI/L²
    arrow = plain_shaft(28.0, grains_per_inch=1e-4, tip_grains=400.0)
    length = 28.0 * INCH - 1e-6  # the rest right under the weight: no overhang
    load = arrow.mass * critical_acceleration(arrow, EI, length)
    assert load == pytest.approx(np.pi**2 * EI / length**2, rel=1e-3)


def test_buckling_of_a_column_under_its_own_weight():
    # both ends hinged, the load growing evenly to q·L at the nock: 18.6 EI/L² (Timoshenko and Gere
    # 1961, Theory of Elastic Stability, section 2.13, from memory)
    arrow = plain_shaft(28.0)
    length = 28.0 * INCH - 1e-6
    load = arrow.mass * critical_acceleration(arrow, EI, length)
    assert load * length**2 / EI == pytest.approx(18.6, abs=0.05)


@settings(max_examples=20)
@given(st.floats(1.0, 30.0))
def test_buckling_load_goes_with_the_stiffness(stiffness):
    one = critical_acceleration(FLETCHED, EI, 0.6)
    assert critical_acceleration(FLETCHED, stiffness, 0.6) == pytest.approx(one * stiffness / EI)


def test_a_stiffer_shaft_of_the_same_mass_is_the_same_beam():
    other = assemble(replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=0.2 * INCH)))
    assert build(other) is build(FLETCHED)


def test_a_part_without_length_still_weighs():
    arrow = assemble(
        replace(
            MAPLE,
            nock=Nock(9 * GRAIN, 0.0),
            shaft=replace(MAPLE.shaft, length=MAPLE.length),
        )
    )
    beam = build(arrow)
    assert beam.shift @ beam.mass @ beam.shift == pytest.approx(arrow.mass, rel=1e-12)
    assert beam.turn @ beam.mass @ beam.turn == pytest.approx(arrow.transverse_inertia, rel=1e-9)
