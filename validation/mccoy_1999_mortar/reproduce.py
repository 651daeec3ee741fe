"""Fly the mortar shell through the kernel and read its yaw as an experimenter would."""

import numpy as np
from scipy.optimize import least_squares

from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import fly_to_planes
from vireton.kernel.parameters import Parameters
from vireton.published.checks import CaseData


def _shell(data: CaseData, speed: float) -> Parameters:
    values = data.data
    mach, slopes = np.array(values["moment_slope"]).T
    diameter = values["diameter"]
    return Parameters(
        mass=values["mass"],
        inertia_axial=values["inertia_axial"],
        inertia_across=values["inertia_across"],
        inertia_across_other=values["inertia_across"],
        gravity_up=0.0,
        density=values["density"],
        constant_area=np.pi * diameter**2 / 4.0,
        constant_length=diameter,
        constant_drag=values["drag"],
        constant_lift_slope=values["lift_slope"],
        constant_moment_slope=float(np.interp(speed / values["speed_of_sound"], mach, slopes)),
        constant_damping=values["damping"],
    )


def _fly(shell: Parameters, speed: float, rate: float, planes: FloatArray) -> FloatArray:
    """States (n, 16) of a start along x whose nose swings to the right at ``rate``."""
    start = np.zeros(16)
    start[3], start[6], start[14] = speed, 1.0, 1.0
    start[10] = -rate  # the frame is x downrange, y up, z right: nose right turns about −y
    return fly_to_planes(start, shell, planes, 0.0, tolerance=1e-9).states


def _damped_sine(planes: FloatArray, yaw: FloatArray, rate_per_meter: float) -> tuple[float, float]:
    """Wavelength m and damping per m of the yaw."""
    crossings = planes[1:][np.diff(np.sign(yaw)) != 0.0]
    guess = 2.0 * float(crossings[1] - crossings[0])
    size = rate_per_meter * guess / (2.0 * np.pi)

    def misfit(q: FloatArray) -> FloatArray:
        model = q[0] * np.exp(-q[1] * planes) * np.sin(2.0 * np.pi * planes / q[2] + q[3])
        return np.asarray((model - yaw) / size)

    first = [size, 1.0 / guess, guess, 0.0]
    fit = least_squares(misfit, first, x_scale=[size, 1.0 / guess, guess, 1.0])
    return float(fit.x[2]), float(fit.x[1])


def reproduce(data: CaseData) -> dict[str, float]:
    ours = {}
    rate = data.data["rate"]
    for speed in data.data["speeds"]:
        shell = _shell(data, speed)
        near = np.linspace(2.0, 1200.0, 600)
        flown = _fly(shell, speed, rate, near)
        yaw = np.arctan2(flown[:, 8], flown[:, 6]) - np.arctan2(flown[:, 5], flown[:, 3])
        wavelength, damping = _damped_sine(near, yaw, rate / speed)
        far = np.linspace(1500.0, 2500.0, 50)  # the yaw has fallen below a thousandth
        jump = np.polyfit(far, _fly(shell, speed, rate, far)[:, 2], 1)[0]
        ours[f"wavelength_{speed:.0f}"] = wavelength
        ours[f"ratio_{speed:.0f}"] = float(np.exp(-damping * wavelength))
        ours[f"jump_{speed:.0f}"] = 1e3 * float(jump) / rate
    ours["jump_100_as_listed"] = ours["jump_100"]
    return ours
