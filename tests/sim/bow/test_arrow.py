"""Mass, balance, inertia, FOC and stiffness against hand sums and the standards."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo import GRAIN, INCH, MAPLE
from vireton.bow.arrow import (
    assemble,
    bare,
    bending_stiffness,
    front_of_center,
    grains_per_pound,
    kinetic_energy,
    with_broadhead,
    with_vanes,
)
from vireton.bow.parts import ArrowParts, BareTape, Blades, Nock, Point, Shaft, Vanes
from vireton.bow.plan_form import outline_chord, vane_shape
from vireton.units.problems import InputProblem

ROD = ArrowParts(
    "rod", 0.72, Nock(0.0, 0.02), Shaft(0.70, 6e-3, 5e-3, 0.02), Point(0.0, 0.01, "blunt")
)


def test_a_plain_tube_is_a_thin_rod():
    arrow = assemble(ROD)
    assert arrow.mass == pytest.approx(0.014, rel=1e-12)
    assert arrow.balance == pytest.approx(0.02 + 0.35, rel=1e-12)
    # tube: m(R² + r²)/2 about its axis, m L²/12 + half of that across it (any table)
    assert arrow.axial_inertia == pytest.approx(0.014 * (9e-6 + 6.25e-6) / 2, rel=1e-12)
    across = 0.014 * 0.7**2 / 12 + arrow.axial_inertia / 2
    assert arrow.transverse_inertia == pytest.approx(across, rel=1e-12)


def test_lumps_add_up_by_hand():
    arrow = assemble(MAPLE)
    shaft, nock, point, insert, vanes = 9.6 * 28.15, 9.0, 100.0, 16.0, 19.5
    assert arrow.mass / GRAIN == pytest.approx(shaft + nock + point + insert + vanes, rel=1e-9)
    moment = (
        shaft * (0.35 + 28.15 / 2)
        + nock * 0.175
        + point * (28.5 + 0.3 * 0.8)
        + insert * (28.5 - 0.45)
        + vanes * (1.1 + 1.0)
    )
    assert arrow.balance / INCH == pytest.approx(moment / (arrow.mass / GRAIN), rel=1e-9)


def test_demo_arrow_has_the_orders_of_magnitude_of_a_hunting_arrow():
    # a 28.5–29 in, 400 gr arrow: 1.5–1.9e-3 and 2–4e-7 kg·m² (trial of the model, no source)
    arrow = assemble(MAPLE)
    assert 1.5e-3 < arrow.transverse_inertia < 1.9e-3
    assert 2e-7 < arrow.axial_inertia < 4e-7
    assert 0.10 < arrow.foc < 0.13


@pytest.mark.parametrize(("inches", "stiffness"), [(0.5, 5.092), (0.4, 6.365), (0.3, 8.487)])
def test_stiffness_from_static_spine(inches, stiffness):
    # ASTM F2031: W L³/(48 δ), derived
    assert bending_stiffness(inches * INCH) == pytest.approx(stiffness, abs=5.1e-4)


def test_the_older_spine_test_reads_less():
    # 26 in span and 2 lb against 28 in and 1.94 lb: ratio 0.8254 (derived)
    assert pytest.approx(0.8254, abs=5e-5) == (26 / 28) ** 3 * 2.0 / 1.94


def test_front_of_center_by_its_definition():
    # ATA/AMO: 100·(A − L/2)/L; balance 17.1 in of a 30 in arrow: 7 %
    assert front_of_center(17.1, 30.0) == pytest.approx(0.07, rel=1e-12)


def test_kinetic_energy_in_the_trade_units():
    # 420 gr at 280 fps: 73.1 ft·lbf (derived: gr·fps²/450 437)
    joule = kinetic_energy(420 * GRAIN, 280 * 0.3048)
    assert joule / 1.3558179483314004 == pytest.approx(420 * 280**2 / 450_437, rel=1e-5)


def test_grains_per_pound():
    assert grains_per_pound(300 * GRAIN, 60 * 4.4482216152605) == pytest.approx(5.0, rel=1e-12)


def test_the_bare_shaft_loses_the_vanes_and_nothing_else():
    fletched = assemble(MAPLE)
    naked = bare(fletched)
    assert fletched.mass - naked.mass == pytest.approx(19.5 * GRAIN, rel=1e-9)
    assert naked.balance > fletched.balance
    assert not naked.is_fletched


def test_measured_mass_and_balance_win():
    measured = replace(MAPLE, measured_mass=430 * GRAIN, measured_balance=18.0 * INCH)
    arrow = assemble(measured)
    assert arrow.mass == pytest.approx(430 * GRAIN, rel=1e-12)
    assert arrow.balance == pytest.approx(18.0 * INCH, rel=1e-12)
    assert len(arrow.notes) == 2
    assert "415 gr" in arrow.notes[0]
    assert "430 gr" in arrow.notes[0]


def test_measured_values_inside_the_error_of_the_bench_are_not_remarked_on():
    computed = assemble(MAPLE)
    near = replace(
        MAPLE, measured_mass=computed.mass * 1.004, measured_balance=computed.balance + 1e-3
    )
    assert assemble(near).notes == ()


def test_a_measured_balance_that_the_parts_cannot_have_is_refused():
    with pytest.raises(InputProblem, match=r"arrow\.balance"):
        assemble(replace(MAPLE, measured_balance=4 * INCH))


def test_a_measured_mass_below_the_parts_is_refused():
    with pytest.raises(InputProblem, match=r"arrow\.mass"):
        assemble(replace(MAPLE, measured_mass=100 * GRAIN))


@pytest.mark.parametrize(
    ("outline", "area", "centroid"),
    [
        ("rectangle", 1.0, 0.5),
        ("trapezoid", 0.75, (0.5 - 0.5 / 3) / 0.75),
        ("triangle", 0.5, 1 / 3),
        ("parabola", 2 / 3, 0.4),  # ∫√(1−y) = 2/3, ∫ y√(1−y) = 4/15
    ],
)
def test_vane_outlines_against_their_integrals(outline, area, centroid):
    shape = vane_shape(Vanes(3, 0.05, 0.012, 1e-3, 4e-4, 0.03, outline=outline), 3e-3)
    assert shape.area == pytest.approx(area * 0.05 * 0.012, rel=2e-4)
    assert shape.centroid_height == pytest.approx(centroid * 0.012, rel=2e-4)


def test_a_rectangle_lifts_at_its_quarter_chord():
    shape = vane_shape(Vanes(3, 0.05, 0.012, 1e-3, 4e-4, 0.03, outline="rectangle"), 3e-3)
    assert shape.lift_center == pytest.approx(0.25 * 0.05, rel=1e-9)
    # ∫ c (r+y)² dy = c((r+h)³ − r³)/3
    assert shape.second_moment == pytest.approx(0.05 * (15e-3**3 - 3e-3**3) / 3, rel=1e-5)


def test_unknown_outlines_and_spines_are_refused():
    with pytest.raises(ValueError, match="outline"):
        outline_chord("heart", 0.5)
    with pytest.raises(ValueError, match="spine"):
        bending_stiffness(0.0)


@given(st.floats(60.0, 300.0), st.floats(0.2, 0.6))
def test_a_heavier_point_moves_the_balance_forward(grains, spine):
    def foc(mass):
        return assemble(replace(MAPLE, point=replace(MAPLE.point, mass=mass * GRAIN))).foc

    assert foc(grains + 1.0) > foc(grains)


BLADES = Blades(3, 27e-3, 23e-3, 0.7e-3, 6.4e-3)


def test_a_broadhead_of_the_same_weight_and_length_changes_the_spin_inertia_only():
    twin = replace(MAPLE, broadhead=replace(MAPLE.point, blades=BLADES))
    field = assemble(twin)
    headed = with_broadhead(field)
    assert headed.parts.point.blades == BLADES
    assert headed.parts.broadhead is None
    assert (headed.mass, headed.balance, headed.foc) == pytest.approx(
        (field.mass, field.balance, field.foc), rel=1e-14
    )
    # three steel triangles on a ferrule: m·⟨r²⟩, ⟨r²⟩ = r² + 2rh/3 + h²/6 over a triangle
    height, radius = 10.3e-3, 3.2e-3
    steel = 7850.0 * 3 * 0.5 * 23e-3 * height * 0.7e-3
    mean_square = radius**2 + 2 * radius * height / 3 + height**2 / 6
    added = headed.axial_inertia - field.axial_inertia
    assert added == pytest.approx(steel * mean_square, rel=1e-4)


def test_a_measured_mass_counts_for_the_broadhead_too():
    heavy = replace(
        MAPLE,
        measured_mass=assemble(MAPLE).mass + 5 * GRAIN,
        broadhead=Point(125 * GRAIN, 1.2 * INCH, blades=BLADES),
    )
    field = assemble(heavy)
    assert with_broadhead(field).mass == pytest.approx(field.mass + 25 * GRAIN, rel=1e-12)


def test_an_arrow_without_a_broadhead_has_none_to_take():
    with pytest.raises(InputProblem, match=r"arrow\.broadhead"):
        with_broadhead(assemble(MAPLE))


def test_other_vanes_on_the_same_arrow():
    field = assemble(MAPLE)
    bigger = replace(MAPLE.vanes, height=0.7 * INCH, mass=9.1 * GRAIN)
    changed = with_vanes(field, bigger)
    anew = assemble(replace(MAPLE, vanes=bigger))
    assert changed.mass == pytest.approx(anew.mass, rel=1e-14)
    assert changed.transverse_inertia == pytest.approx(anew.transverse_inertia, rel=1e-12)
    assert with_vanes(field, MAPLE.vanes).balance == pytest.approx(field.balance, rel=1e-14)


def test_a_taped_bare_shaft_weighs_and_balances_as_the_fletched_arrow():
    plain = assemble(MAPLE)
    vanes = next(part for part in plain.lumps if part.label == "vanes")
    tape = BareTape(vanes.mass, vanes.center)
    taped = bare(assemble(replace(MAPLE, bare_tape=tape)))
    assert taped.mass == pytest.approx(plain.mass)
    assert taped.balance == pytest.approx(plain.balance)
    assert taped.parts.vanes is None
    # what is on the bare shaft alone is not on the fletched arrow
    assert assemble(replace(MAPLE, bare_tape=tape)).mass == plain.mass
    assert bare(plain).mass < taped.mass
