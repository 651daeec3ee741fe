"""The Basic Finner packed as if it were an arrow, its loads read from the right-hand side."""

import math
from dataclasses import replace

import numpy as np

from vireton.bow.arrow import assemble
from vireton.bow.parts import ArrowParts, Nock, Point, Shaft, Vanes
from vireton.bow.plan_form import roll_damping_factor
from vireton.flight.air import standard
from vireton.flight.coefficients import Coefficients
from vireton.flight.packing import pack
from vireton.kernel.door import rates
from vireton.kernel.parameters import Parameters
from vireton.published.checks import CaseData


def _parts(data: CaseData) -> ArrowParts:
    values = data.data
    caliber = values["diameter"]
    cone = values["cone_calibers"] * caliber
    rear = values["body_calibers"] * caliber - cone
    return ArrowParts(
        name="Basic Finner",
        length=rear,
        nock=Nock(0.0, 0.0),
        shaft=Shaft(rear, caliber, 0.5 * caliber, 2.0),  # any mass: only the loads are read
        point=Point(0.1, cone, "streamlined"),
        vanes=Vanes(
            count=values["fins"],
            length=values["chord_calibers"] * caliber,
            height=values["height_calibers"] * caliber,
            thickness=1e-3,
            mass=1e-3,
            rear_from_throat=0.0,
            outline="rectangle",
        ),
    )


def _body(data: CaseData, cant: float = 0.0) -> tuple[Parameters, float, float]:
    """The packed body, its speed m/s, and its tip's place m ahead of the center of gravity."""
    parts = _parts(data)
    assert parts.vanes is not None
    arrow = assemble(replace(parts, vanes=replace(parts.vanes, offset=cant)))
    air = standard(0.0)
    speed = data.data["mach"] * air.speed_of_sound
    factors = Coefficients(
        crossflow_drag=0.0, friction_across=0.0, vortex_lift=0.0, boundary_layer=0.0
    )
    packed = pack(arrow, air, speed, factors)._replace(
        gravity_up=0.0,
        vane_carry=1.0,
        vane_stall_sine_squared=1e6,
    )
    return packed, speed, arrow.total_length - arrow.balance


def _state(speed: float, pitch: float = 0.0, spin: float = 0.0) -> np.ndarray:
    state = np.zeros(16)
    state[3] = speed
    state[6:9] = math.cos(pitch), math.sin(pitch), 0.0
    state[12] = spin
    state[13:16] = -math.sin(pitch), math.cos(pitch), 0.0
    return state


def reproduce(data: CaseData) -> dict[str, float]:
    body, speed, tip = _body(data)
    pressure_area = 0.5 * body.density * speed**2 * body.cross_section

    spin = 0.01 * speed / body.diameter
    roll = rates(_state(speed, spin=spin), body)[12] * body.inertia_axial
    damping = roll / (pressure_area * body.diameter) / (spin * body.diameter / (2.0 * speed))
    side = data.data["height_calibers"] * body.diameter
    by_body = roll_damping_factor(side * side, side, side, 0.5 * body.diameter)

    cant = math.radians(data.data["cant_degrees"])
    canted, _, _ = _body(data, cant)
    drive = rates(_state(speed), canted)[12] * canted.inertia_axial
    forcing = drive / (pressure_area * body.diameter) / cant

    pitch = 1e-3
    change = rates(_state(speed, pitch=pitch), body)
    across = np.array([-math.sin(pitch), math.cos(pitch), 0.0])
    force = float(change[3:6] @ across) * body.mass
    moment = float(change[11]) * body.inertia_across  # nose up
    return {
        "roll_damping": damping,
        "roll_damping_strip": damping / by_body,
        "roll_forcing": forcing,
        "normal_force": force / pressure_area / pitch,
        "pressure_center": (tip - moment / force) / body.diameter,
    }
