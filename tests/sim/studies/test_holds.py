"""Holds: vacuum in closed form, symmetry, density, and what the field expects."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import AIR, CONDITIONS, FPS, INCH, MAPLE, MILL, RANGES, SIGHT, YARD, mill_rig
from vireton.bow.arrow import assemble
from vireton.flight.air import Air, standard
from vireton.flight.flight import Wind, fly_prepared, prepare
from vireton.flight.volley import Aim
from vireton.kernel.start import lean
from vireton.launch import Launch
from vireton.rig import LaunchOverride, assemble_rig
from vireton.studies.holds import HoldQuestion, answer_holds, last_crossing, third_axis_cant
from vireton.units.problems import InputProblem

G = 9.80665
MPH = 0.44704
NOTHING = Air(1e-15, 1e-20, 340.0, 288.15, 1e-10)
WHERE = np.array([20.0, 40.0, 60.0]) * YARD
QUESTION = HoldQuestion(
    10.0 * MPH,
    tuple(math.radians(a) for a in (-30.0, -15.0, 15.0, 30.0)),
    math.radians(2.0),
    math.radians(1.0),
    {"5000 ft": standard(1524.0), "thick": replace(AIR, density=2.0 * AIR.density)},
)


@pytest.fixture(scope="module")
def maple():
    return answer_holds(mill_rig(), WHERE, QUESTION, RANGES, draws=16)


def airless(height=3.5 * INCH):
    """The demo bow without bending and without air; its arrow leaves without turning."""
    return assemble_rig(
        replace(MILL, launch_model="rigid"),
        MAPLE,
        replace(CONDITIONS, air=NOTHING),
        replace(SIGHT, height_above_arrow=height),
        override=LaunchOverride(0.0, 0.0, 0.0, 0.0),
    )


@pytest.fixture(scope="module")
def vacuum():
    return answer_holds(airless(), WHERE, replace(QUESTION, airs={}), {}, draws=1)


def vacuum_time_and_path(elevation, slope, distance, height=3.5 * INCH):
    """Time to ``distance`` and the point's height above the line of sight there.

    Vacuum trajectory in the axes of the line of sight: g cos θ across it and g sin θ along it.
    """
    rig = airless(height)
    arrow, launch = rig.fletched, rig.launch(rig.fletched)
    angle = elevation + launch.direction_up
    c, s, e, f = math.cos(angle), math.sin(angle), math.cos(elevation), math.sin(elevation)
    back, front = arrow.balance - MILL.brace_height, arrow.total_length - arrow.balance
    run = distance - back * e + launch.offset_up * f - front * c
    along, speed = G * math.sin(slope), launch.speed
    # run = speed c t − ½ g sin θ t²
    time = 2.0 * run / (speed * c + math.sqrt((speed * c) ** 2 - 2.0 * along * run))
    start = -height + back * f + launch.offset_up * e + front * s
    return time, start + speed * s * time - 0.5 * G * math.cos(slope) * time**2


def vacuum_path(*given):
    return vacuum_time_and_path(*given)[1]


def vacuum_drops(elevations, slope=0.0):
    """How far gravity brings the arrow below its bore line, square to the line of sight."""
    pairs = zip(elevations, WHERE, strict=True)
    times = np.array([vacuum_time_and_path(e, slope, d)[0] for e, d in pairs])
    return 0.5 * G * math.cos(slope) * times**2


# closed forms


def test_slopes_in_a_vacuum(vacuum):
    for one in vacuum.slopes:
        for i, distance in enumerate(WHERE):
            elevation = float(vacuum.elevation.nominal[i])
            assert vacuum_path(elevation, 0.0, distance) == pytest.approx(0.0, abs=2e-6)
            expected = vacuum_path(elevation, one.slope, distance)
            assert one.shift.nominal[i, 1] == pytest.approx(expected, abs=2e-6)
            assert one.shift.nominal[i, 0] == pytest.approx(0.0, abs=1e-9)


def test_the_level_distance_asks_for_the_elevation_of_the_slope(vacuum):
    for one in vacuum.slopes:
        for i, distance in enumerate(WHERE):
            like = float(one.shoot_as.nominal[i])
            # the elevation that hits on the slope, by bisection on the closed form
            low, high = 0.0, 0.2
            for _ in range(60):
                middle = 0.5 * (low + high)
                below = vacuum_path(middle, one.slope, distance) < 0.0
                low, high = (middle, high) if below else (low, middle)
            assert vacuum_path(low, 0.0, like) == pytest.approx(0.0, abs=2e-4)
            assert like < distance


def test_far_out_the_level_distance_is_the_cosine_in_a_vacuum():
    # with the line of sight on the bore and small elevations: drop ∝ cos θ, elevation ∝ distance
    rig = airless(0.0)
    asked = replace(QUESTION, slopes=(math.radians(-20.0), math.radians(20.0)))
    one, other = answer_holds(rig, [60 * YARD], asked, {}, draws=1).slopes
    mean = 0.5 * (one.shoot_as.nominal[0] + other.shoot_as.nominal[0])
    assert mean == pytest.approx(60 * YARD * math.cos(math.radians(20.0)), rel=3e-3)


def test_cant_is_the_drop_times_its_sine(vacuum):
    # the bow turns about the line of sight; without gravity the arrow would pass the drop above it
    drop, cant = vacuum_drops(vacuum.elevation.nominal), math.radians(2.0)
    assert vacuum.cant.nominal[:, 0] == pytest.approx(drop * math.sin(cant), rel=1e-4)
    assert vacuum.cant.nominal[:, 1] == pytest.approx(drop * (math.cos(cant) - 1.0), rel=1e-2)


def test_the_drop_that_cant_turns_is_bore_height_less_sight_height(vacuum):
    bore = WHERE * np.tan(vacuum.elevation.nominal) - 3.5 * INCH
    assert vacuum_drops(vacuum.elevation.nominal) == pytest.approx(bore, abs=0.03)


@pytest.mark.parametrize("slope", [-0.5, 0.1, 0.6])
@pytest.mark.parametrize("off", [-0.1, 0.02])
def test_the_lured_cant_levels_the_level(slope, off):
    cant = third_axis_cant(off, slope)
    # kernel axes (x, up, right): the tube in the bow, turned with the bow about the line of sight
    tube = np.array(lean(cant, (math.sin(off), 0.0, math.cos(off))))
    upwards = np.array([math.sin(slope), math.cos(slope), 0.0])
    assert float(tube @ upwards) == pytest.approx(0.0, abs=1e-15)
    assert third_axis_cant(-off, -slope) == pytest.approx(cant)
    assert third_axis_cant(off, -slope) == pytest.approx(-cant)


def test_a_level_so_crooked_that_no_hold_centers_it():
    with pytest.raises(InputProblem, match="bubble"):
        third_axis_cant(math.radians(50.0), math.radians(60.0))
    assert third_axis_cant(math.radians(50.0), 0.0) == 0.0


def test_third_axis_by_its_closed_form(vacuum):
    # sideways ≈ what the bore line is above the line of sight there × tan(slope) × tan(third axis)
    for one in vacuum.slopes:
        bore = one.shift.nominal[:, 1] + vacuum_drops(vacuum.elevation.nominal, one.slope)
        expected = bore * math.tan(one.slope) * math.tan(math.radians(1.0))
        assert one.third_axis.nominal[:, 0] == pytest.approx(expected, rel=1e-3)


def test_no_air_no_drift(vacuum):
    for values in (vacuum.crosswind, vacuum.headwind, vacuum.tailwind):
        assert np.abs(values.nominal).max() < 1e-9


def constant_drag(density, distance, speed=85.0, coefficient=2.0, wind=0.0):
    """A body with drag along its airspeed only: (speed, right, time) at ``distance``."""
    arrow = assemble(MAPLE)
    body = prepare(arrow, speed, CONDITIONS)._replace(
        cross_section=0.0,
        vane_count=0.0,
        gravity_up=0.0,
        density=density,
        constant_area=3e-5,
        constant_length=6e-3,
        constant_drag=coefficient,
        wind_right=wind,
    )
    flight = fly_prepared(arrow, body, Launch(speed), [distance], Aim(), 0.0, tolerance=1e-9)
    return float(flight.speed[0]), float(flight.right[0]), float(flight.time[0])


@pytest.mark.parametrize("wind", [-8.0, 0.5, 4.0])
def test_lag_rule(wind):
    """Didion's rule, drift = W (t − x/V0): McCoy 1999, *Modern Exterior Ballistics*, crosswind.

    Exact for flat fire with drag along the airspeed; the time is that of the flight in the wind.
    """
    arrow = assemble(MAPLE)
    distance = 90.0
    _, right, time = constant_drag(AIR.density, distance, wind=wind)
    run = distance - arrow.total_length
    # the nose stays put here, so the point drifts as the balance does
    assert right == pytest.approx(wind * (time - run / 85.0), rel=1e-6)


@pytest.mark.parametrize("yards", [60.0, 100.0])
def test_a_fletched_arrow_drifts_by_the_lag_rule_far_out(yards):
    # its vanes turn it into the airspeed, so that in the mean it is braked along that alone
    rig = mill_rig()
    windy = replace(rig, conditions=replace(CONDITIONS, wind=Wind(0.0, 3.0)))
    blown, still = (one.shoot(rig.fletched, [yards * YARD]) for one in (windy, rig))
    run = yards * YARD + MILL.brace_height - rig.fletched.total_length
    lag = float(blown.time[0]) - run / MILL.arrow_speed
    assert float(blown.right[0] - still.right[0]) == pytest.approx(3.0 * lag, rel=0.06)


def test_retardation_goes_with_density():
    # ln(V0/V) = ρ S CD x / 2m: flat fire with constant drag (McCoy 1999, flat fire)
    lost = [math.log(85.0 / constant_drag(rho, 60.0)[0]) for rho in (0.6, 1.2)]
    arrow = assemble(MAPLE)
    run = 60.0 - arrow.total_length
    assert lost[1] == pytest.approx(2.0 * lost[0], rel=1e-8)
    assert lost[1] == pytest.approx(1.2 * 3e-5 * 2.0 * run / (2.0 * arrow.mass), rel=1e-8)


# an arrow in air


def test_signs(maple):
    assert (maple.crosswind.nominal[:, 0] > 0.0).all()  # from the left: carried right
    assert (maple.headwind.nominal[:, 1] < 0.0).all()
    assert (maple.tailwind.nominal[:, 1] > 0.0).all()
    assert (maple.cant.nominal[:, 0] > 0.0).all()
    assert (maple.airs["5000 ft"].nominal[:, 1] > 0.0).all()
    assert (maple.airs["thick"].nominal[:, 1] < 0.0).all()
    for one in maple.slopes:
        assert (one.shift.nominal[:, 1] > 0.0).all()
        assert (np.sign(one.third_axis.nominal[:, 0]) == math.copysign(1.0, one.slope)).all()
        assert (one.shoot_as.nominal < WHERE).all()


def test_mirrored_wind_mirrors_the_drift_of_straight_vanes():
    straight = replace(MAPLE, vanes=replace(MAPLE.vanes, offset=0.0))
    rig = assemble_rig(replace(MILL, launch_model="rigid"), straight, CONDITIONS, SIGHT)
    left, right = (
        rig.shoot(
            rig.fletched, WHERE, 0.0, 0.0
        ).right
        for rig in (
            replace(rig, conditions=replace(CONDITIONS, wind=Wind.from_clock(5.0, clock)))
            for clock in (9.0, 3.0)
        )
    )  # fmt: skip
    assert left == pytest.approx(-right, abs=1e-6)


@pytest.mark.parametrize(
    ("clock", "least", "most"),
    [(1.0, 0.45, 0.55), (5.0, 0.38, 0.5), (1.5, 0.65, 0.75), (4.5, 0.6, 0.7), (10.5, -0.75, -0.65)],
)
def test_other_clock_directions_give_about_the_share_that_the_table_says(clock, least, most):
    rig = mill_rig()

    def drift(direction):
        blowing = Wind.from_clock(10 * MPH, direction)
        windy = replace(rig, conditions=replace(CONDITIONS, wind=blowing))
        return windy.shoot(rig.fletched, WHERE).right - rig.shoot(rig.fletched, WHERE).right

    share = drift(clock) / drift(3.0)
    assert (share > least).all()
    assert (share < most).all()


def test_half_the_wind_gives_about_half_the_drift(maple):
    assert maple.drift_at_half[1:] == pytest.approx(0.5, abs=0.05)


def test_bands_hold_the_value_and_grow_with_the_ranges(maple):
    every = [maple.crosswind, maple.headwind, maple.cant, *(s.shift for s in maple.slopes)]
    for one in every:
        assert (one.low <= one.nominal).all()
        assert (one.nominal <= one.high).all()
    assert (maple.crosswind.high[-1, 0] - maple.crosswind.low[-1, 0]) > 0.1 * INCH
    alone = answer_holds(mill_rig(), WHERE, QUESTION, {}, draws=2)
    assert alone.crosswind.high == pytest.approx(alone.crosswind.low, abs=1e-12)


def test_the_setups_own_wind_slope_and_cant_do_not_count(maple):
    odd = replace(CONDITIONS, wind=Wind.from_clock(8.0, 2.0), slope=0.4)
    rig = assemble_rig(MILL, MAPLE, odd, replace(SIGHT, sight_in=40 * YARD), cant=0.1)
    found = answer_holds(rig, WHERE, QUESTION, {}, draws=1)
    for name in ("crosswind", "headwind", "cant"):
        same = getattr(maple, name).nominal
        assert getattr(found, name).nominal == pytest.approx(same, abs=1e-6)


def test_a_wind_that_grows_with_height_is_weaker_below_its_reference():
    profile = Wind(0.0, 0.0, 0.25, 10.0)
    rig = mill_rig(conditions=replace(CONDITIONS, wind=profile))
    found = answer_holds(rig, WHERE, QUESTION, {}, draws=1)
    # the arrow flies some 1.4 to 2 m above ground, lowest at first: the profile's closed form
    ends = [
        answer_holds(
            mill_rig(),
            WHERE,
            replace(QUESTION, wind_speed=10 * MPH * (h / 10.0) ** 0.25),
            {},
            draws=1,
        ).crosswind.nominal[:, 0]
        for h in (1.35, 2.1)
    ]
    assert (found.crosswind.nominal[:, 0] > ends[0]).all()
    assert (found.crosswind.nominal[:, 0] < ends[1]).all()


def test_a_profile_is_uniform_for_a_level_flight():
    # without gravity and aimed level at h the arrow stays at h: as in a uniform wind of W (h/r)^n
    arrow = assemble(MAPLE)
    height, exponent, reference = 1.5, 0.3, 10.0
    uniform = 5.0 * (height / reference) ** exponent
    tracks = []
    for wind in (Wind(0.0, 5.0, exponent, reference), Wind(0.0, uniform)):
        body = prepare(arrow, 280 * FPS, replace(CONDITIONS, wind=wind))._replace(gravity_up=0.0)
        tracks.append(fly_prepared(arrow, body, Launch(280 * FPS), WHERE, Aim(), 0.0).right)
    # the spin of the vanes lifts the arrow a little, and no more
    assert tracks[0] == pytest.approx(tracks[1], rel=2e-3)


def test_out_of_reach_is_told():
    with pytest.raises(InputProblem, match="sighted in"):
        answer_holds(mill_rig(), [1500.0], QUESTION, {}, draws=1)


def test_last_crossing_of_a_parabola():
    x = np.linspace(1.0, 30.0, 40)
    assert last_crossing(x, -(x - 5.0) * (x - 20.3)) == pytest.approx(20.3, rel=1e-12)
    assert math.isnan(last_crossing(x, -1.0 - x))
    assert math.isnan(last_crossing(x, 1.0 + x))
