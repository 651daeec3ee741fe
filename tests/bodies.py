"""Bodies and launch states for the kernel's tests. All arrows are invented.

Frame: x downrange, y up, z right. Angles and rates by name, archer's signs: yaw nose right, pitch
nose up, spin clockwise for the archer.
"""

import numpy as np
import numpy.typing as npt

from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

YARD = 0.9144

#: An invented 406 gr arrow with three 2 in vanes at 1.5° of offset, in sea-level air.
FLETCHED = Parameters(
    mass=0.02633,
    inertia_axial=2.62e-7,
    inertia_across=1.736e-3,
    inertia_across_other=1.736e-3,
    gravity_up=-9.80665,
    density=1.225,
    kinematic_viscosity=1.4607e-5,
    diameter=6.25e-3,
    cross_section=np.pi * 6.25e-3**2 / 4.0,
    rear=-0.4465,
    front=0.2977,
    crossflow_growth=6.25e-3,
    point_position=0.2876,
    tail_position=-0.4465,
    point_slope=2.0,
    point_drag=0.10,
    wetted_area=0.01443,
    wetted_length=0.7353,
    transition_reynolds=5e5,
    transition_sine_squared=1.713e-4,
    curvature_laminar=2.7772,
    curvature_turbulent=1.078,
    friction_across=1.0,
    base_factor=1.0,
    vane_count=3.0,
    vane_area=4.30e-4,
    vane_slope=1.086,
    vane_position=-0.390,
    vane_vortex=2.98,
    vane_upwash=1.197,
    vane_carry=1.19,
    vane_arm=8.20e-3,
    vane_spin_radius=1.04e-2,
    vane_offset_sine=float(np.sin(np.radians(1.5))),
    vane_offset_cosine=float(np.cos(np.radians(1.5))),
    vane_stall_sine_squared=0.25,
    vane_plate_normal=1.17,
    vane_speed_laminar=0.955,
    vane_speed_turbulent=0.925,
    vane_pressure_laminar=0.935,
    vane_pressure_turbulent=0.87,
    vane_friction_area=4.75e-3,
    vane_edge_area=2.24e-5,
)

#: The same without vanes: lighter at the tail, so the balance point lies further forward.
BARE = FLETCHED._replace(
    mass=0.02506,
    inertia_axial=1.77e-7,
    inertia_across=1.530e-3,
    inertia_across_other=1.530e-3,
    rear=-0.4663,
    front=0.2779,
    point_position=0.2678,
    tail_position=-0.4663,
    vane_count=0.0,
    vane_area=0.0,
    vane_friction_area=0.0,
    vane_edge_area=0.0,
    vane_offset_sine=0.0,
    vane_offset_cosine=1.0,
)

#: The fletched arrow with an invented head of three blades, and with one of two.
BROADHEAD = FLETCHED._replace(
    transition_reynolds=3e5,
    point_drag=0.4,
    blade_count=3.0,
    blade_area=1.18e-4,
    blade_slope=2.15,
    blade_position=0.292,
    blade_vortex=2.6,
    blade_upwash=1.235,
    blade_carry=1.23,
    blade_arm=6.6e-3,
    blade_spin_radius=8.0e-3,
    blade_wake=0.18,
    blade_wake_spread=2070.0,
)
TWO_BLADES = BROADHEAD._replace(
    blade_count=2.0,
    blade_cosine=float(np.cos(0.4)),
    blade_sine=float(np.sin(0.4)),
)

TWO_VANES = FLETCHED._replace(
    vane_count=2.0, vane_cosine=float(np.cos(0.7)), vane_sine=float(np.sin(0.7))
)

#: A point mass in a vacuum; the inertias only keep the rotation finite.
VACUUM = Parameters(mass=0.025, inertia_axial=1e-6, inertia_across=1e-3, inertia_across_other=1e-3)


def launch_state(
    speed: float = 85.0,
    *,
    up_angle: float = 0.0,
    right_angle: float = 0.0,
    yaw: float = 0.0,
    pitch: float = 0.0,
    yaw_rate: float = 0.0,
    pitch_rate: float = 0.0,
    spin: float = 0.0,
) -> FloatArray:
    """Kernel state (16,) at the origin. SI; angles in rad, rates in rad/s."""

    def direction(up: float, right: float) -> FloatArray:
        return np.array([np.cos(up) * np.cos(right), np.sin(up), np.cos(up) * np.sin(right)])

    nose_up, nose_right = up_angle + pitch, right_angle + yaw
    axis = direction(nose_up, nose_right)
    by_pitch = direction(nose_up + 0.5 * np.pi, nose_right)
    by_yaw = np.array([-np.sin(nose_right), 0.0, np.cos(nose_right)])
    axis_rate = pitch_rate * by_pitch + yaw_rate * np.cos(nose_up) * by_yaw
    state = np.zeros(16)
    state[3:6] = speed * direction(up_angle, right_angle)
    state[6:9] = axis
    state[9:12] = np.cross(axis, axis_rate)
    state[12] = spin
    state[13:16] = by_pitch
    return state


def pitching_state(speed: float, axis: FloatArray, rate: FloatArray, spin: float) -> FloatArray:
    """State with this axis (made unit) and the part of ``rate`` across it; x velocity only."""
    n = axis / np.linalg.norm(axis)
    state = np.zeros(16)
    state[3] = speed
    state[6:9] = n
    state[9:12] = rate - np.dot(rate, n) * n
    state[12] = spin
    helper = np.array([0.0, 1.0, 0.0]) if abs(n[1]) < 0.9 else np.array([0.0, 0.0, 1.0])
    across = helper - np.dot(helper, n) * n
    state[13:16] = across / np.linalg.norm(across)
    return state
