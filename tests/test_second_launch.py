"""The second launch model in its own limits, apart from the library's."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from second_launch import Arrow, Bow, Chain, Rod, force_share, rigid_launch

INCH, GRAIN = 0.0254, 6.479891e-5
STEP = INCH / 32.0

#: an invented 415 gr arrow and an invented bow
ARROW = Arrow(
    length=28.5 * INCH,
    stiffness=7.488,
    rods=(
        Rod(270.24 * GRAIN, 0.35 * INCH, 28.5 * INCH),
        Rod(9.0 * GRAIN, 0.0, 0.35 * INCH),
        Rod(16.0 * GRAIN, 27.6 * INCH, 28.5 * INCH),
        Rod(100.0 * GRAIN, 28.34 * INCH, 29.14 * INCH),
        Rod(19.5 * GRAIN, 1.1 * INCH, 3.1 * INCH),
    ),
)
BOW = Bow(stroke=0.527, speed=85.344)
#: the same pushed evenly, over a hard rest
EVEN = replace(BOW, holding=1.0, valley=0.0, fall=1e-9, rise=1e-9, rest_stiffness=1e7)


@pytest.fixture(scope="module")
def chain() -> Chain:
    return Chain(ARROW, BOW)


@pytest.mark.parametrize("bars", [5, 16])
def test_the_chain_weighs_balances_and_turns_as_the_arrow(bars):
    chain = Chain(ARROW, BOW, bars)
    ones, arm = np.ones(bars + 1), chain.places - ARROW.balance
    assert ones @ chain.masses @ ones == pytest.approx(ARROW.mass, rel=1e-12)
    assert ones @ chain.masses @ arm == pytest.approx(0.0, abs=1e-12)
    assert arm @ chain.masses @ arm == pytest.approx(ARROW.inertia, rel=1e-12)


@pytest.mark.parametrize("bars", [5, 16])
def test_thrust_on_a_tilted_arrow_is_a_pair_of_forces_about_the_balance_point(bars):
    chain = Chain(ARROW, BOW, bars)
    across = chain.pushing @ chain.places  # tilted by one rad, pushed at 1 m/s²
    assert across.sum() == pytest.approx(0.0, abs=1e-12)
    # forces along the bars sum to mass times acceleration times tilt once the nock's is taken off
    assert chain.places @ across == pytest.approx(ARROW.mass * ARROW.balance, rel=1e-12)


def test_bending_modes_of_a_bare_tube_go_to_the_beams():
    # free-free beam: eigenvalues 4.730 and 7.853 (Blevins 1979, table 8-1)
    length, mass = 0.7112, 0.012
    tube = Arrow(length, 5.092, (Rod(mass, 0.0, length),))
    unit = np.sqrt(5.092 / (mass * length**3))
    exact = np.array([4.73004, 7.85320]) ** 2 * unit
    errors = [np.abs(Chain(tube, BOW, n).free_rates[:2] / exact - 1.0) for n in (10, 20)]
    assert np.all(errors[0] < [1e-4, 1e-3])
    assert np.all(errors[1] < errors[0] / 10.0)


def test_draw_force_keeps_its_shape():
    shape = [force_share(x, 0.2, 0.05, 0.2, 0.25) for x in (0.0, 0.15, 0.5, 0.875, 1.0)]
    assert shape == pytest.approx([0.2, 0.6, 1.0, 0.5, 0.0])


def test_the_arrow_leaves_with_the_speed_that_was_measured(chain):
    chain.sideways(STEP)
    assert chain.exit_speed == pytest.approx(BOW.speed, rel=1e-4)


def test_even_thrust_takes_the_time_of_even_acceleration():
    assert Chain(ARROW, EVEN).time == pytest.approx(2.0 * EVEN.stroke / EVEN.speed, rel=1e-6)
    assert Chain(ARROW, EVEN).let_go == pytest.approx(
        2.0 * EVEN.stroke / EVEN.speed * np.sqrt(EVEN.lets_go), rel=1e-6
    )


def test_a_stiff_shaft_on_a_hard_rest_is_the_closed_form():
    # 25,000 times as stiff as the arrow: what is left is some 0.1 %
    stiff = replace(ARROW, stiffness=2e5)
    ours = Chain(stiff, EVEN, bars=4).up_and_down(STEP)
    assert ours == pytest.approx(rigid_launch(stiff, EVEN, STEP), rel=0.003)


def test_a_nock_on_a_tilted_line_shoots_the_same_launch_tilted(chain):
    tilt = 0.002
    launch = chain.up_and_down(tilt * (BOW.stroke + BOW.ahead), (0.0, tilt * BOW.stroke))
    assert launch == pytest.approx((tilt, 0.0, tilt), abs=2e-6)


def stiff_arrow_on_a_string(bow: Bow, bulge: float) -> np.ndarray:
    """A stiff arrow on the string alone, no rest: its nock, its angle, the cams; by scipy."""
    peak = Chain(ARROW, bow).peak
    m, far, inertia = ARROW.mass, ARROW.balance, ARROW.inertia
    string = bow.string_mass / 3.0
    damping = 2.0 * bow.give_damping * np.sqrt(bow.give_stiffness * bow.give_mass)
    masses = np.array([[m + string, m * far], [m * far, inertia + m * far**2]])

    def slope(_, state):
        y, angle, give, x, vy, turn, v_give, v = state
        left = max(1.0 - x / bow.stroke, 1e-3)
        a = peak * force_share(1.0 - left, bow.holding, bow.valley, bow.fall, bow.rise)
        late = max(0.0, (x / bow.stroke - 0.75) / 0.25)
        hold = m * a / (left * bow.stroke) * (1.0 + (bow.tension - 1.0) * late)
        share = 1.0 - left
        pull = hold * (y - give - bulge * share * (1.0 - share))
        across = np.linalg.solve(masses, [-pull, m * a * far * angle])
        cams = (pull - bow.give_stiffness * give - damping * v_give) / bow.give_mass
        return [vy, turn, v_give, v, *across, cams, a]

    def out(_, state):
        return state[3] - bow.stroke

    out.terminal = True
    found = solve_ivp(
        slope, (0.0, 1.0), np.zeros(8), rtol=1e-8, atol=1e-12, events=out, max_step=1e-4
    )
    return found.y_events[0][0]


def test_a_stiff_arrow_on_the_string_alone_is_three_equations():
    bow = replace(BOW, rest_stiffness=1e-9, give_stiffness=5e3, give_mass=0.05, tension=1.8)
    bulge = 0.004
    end = stiff_arrow_on_a_string(bow, bulge)
    stiff = Chain(replace(ARROW, stiffness=5e5), bow, bars=4, steps=80000)
    ours = stiff.sideways(0.0, (0.0, bulge, -bulge))
    assert ours.angle == pytest.approx(end[1], rel=2e-3)
    assert ours.rate == pytest.approx(end[5], rel=2e-3)
    assert ours.direction == pytest.approx((end[4] + ARROW.balance * end[5]) / 85.344, rel=2e-3)


def test_a_shifted_bow_shoots_the_same_launch_shifted(chain):
    for plane in (chain.sideways, chain.up_and_down):
        assert plane(3e-3, (2e-3,)) == pytest.approx(plane(1e-3), abs=1e-9)


@pytest.mark.parametrize("plane", ["sideways", "up_and_down"])
def test_both_planes_are_linear_and_mirrored(chain, plane):
    launch = getattr(chain, plane)
    one = np.array(launch(STEP))
    assert np.array(launch(-2.0 * STEP)) == pytest.approx(-2.0 * one, rel=1e-9)


def test_the_kick_adds_to_the_offset(chain):
    both = chain.sideways(STEP, kick=0.1)
    apart = np.array(chain.sideways(STEP)) + np.array(chain.sideways(0.0, kick=0.1))
    assert np.array(both) == pytest.approx(apart, rel=1e-9)


@pytest.mark.parametrize(
    "given", [{"give_mass": 1e6}, {"give_stiffness": 3e8, "give_mass": 0.1, "give_damping": 0.3}]
)
def test_cams_that_cannot_move_give_nothing(given):
    fixed = Chain(ARROW, replace(BOW, give_mass=0.0), steps=4000).sideways(STEP)
    ours = Chain(ARROW, replace(BOW, **given), steps=4000).sideways(STEP)
    assert ours == pytest.approx(fixed, rel=1e-3)


def test_soft_light_cams_change_the_rate():
    soft = replace(BOW, give_mass=0.02, give_stiffness=1e3)
    assert (
        abs(Chain(ARROW, soft).sideways(STEP).rate - Chain(ARROW, BOW).sideways(STEP).rate) > 0.05
    )


def test_the_arrow_swings_on_after_the_launch(chain):
    chain.sideways(STEP)
    y, rates = chain._left
    turn, across = chain._rigid(y, rates).angle, np.ones(chain.bars + 1)
    middle = across @ chain.masses @ y / ARROW.mass
    line = middle + turn * (chain.places - ARROW.balance)
    nock, end = chain.swing(0.0)
    assert (nock, end) == pytest.approx(((y - line)[0], (y - line)[-1]), abs=1e-9)
    # one swing later the same again but for the damping, e^(−2π·0.015), of the slowest mode
    cycle = 2.0 * np.pi / (chain.free_rates[0] * np.sqrt(1.0 - 0.015**2))
    late = chain.swing(20.0 * cycle)[0] / chain.swing(21.0 * cycle)[0]
    assert late == pytest.approx(np.exp(2.0 * np.pi * 0.015), rel=0.02)
    double = np.array(chain.swing(0.02))
    chain.sideways(2.0 * STEP)
    assert np.array(chain.swing(0.02)) == pytest.approx(2.0 * double, rel=1e-9)


def test_a_rest_that_only_pushes_cannot_pull_the_shaft_down():
    # stiff, so that bending does not hide it: below the bore line the shaft leaves the rest early
    stiff = replace(ARROW, stiffness=100.0)
    late = replace(BOW, lets_go=0.7)
    two_sided = Chain(stiff, late, bars=8)
    one_sided = Chain(stiff, replace(late, one_sided=True), bars=8)
    above, below = one_sided.up_and_down(STEP).rate, one_sided.up_and_down(-STEP).rate
    assert above == pytest.approx(two_sided.up_and_down(STEP).rate, rel=0.03)
    assert 0.0 > below > -0.8 * above
    assert one_sided.sideways(STEP) == two_sided.sideways(STEP)


def test_weight_lowers_the_nose_once_the_rest_is_gone():
    fall = Chain(ARROW, replace(BOW, one_sided=True, gravity=9.80665)).up_and_down(0.0)
    assert -0.1 < fall.rate < 0.0
    assert fall.direction < 0.0


def test_fourteen_bars_are_enough():
    for spine_stiffness in (5.09, 7.49):
        arrow = replace(ARROW, stiffness=spine_stiffness)
        coarse, fine = Chain(arrow, BOW), Chain(arrow, BOW, bars=32)
        for plane in ("sideways", "up_and_down"):
            rates = [getattr(one, plane)(STEP).rate for one in (coarse, fine)]
            assert rates[0] == pytest.approx(rates[1], abs=0.003)


def test_half_the_steps_change_nothing_that_counts(chain):
    fine = Chain(ARROW, BOW, steps=2 * chain.steps)
    assert chain.sideways(STEP).rate == pytest.approx(fine.sideways(STEP).rate, abs=1e-3)


def test_size_of_the_answer_up_and_down():
    # trial values of the same law by another code: 0.17 rad/s a 1/32 in at 0.340 in of spine,
    # 0.10 to 0.13 at 0.400 to 0.500 in (orientation; no source)
    rates = [
        Chain(replace(ARROW, stiffness=2.546 / inches), BOW).up_and_down(STEP).rate
        for inches in (0.34, 0.40, 0.50)
    ]
    assert rates == pytest.approx([0.17, 0.14, 0.11], abs=0.02)
