"""What is seen if the unknowns are such and such: many bows and entries at once, with slopes."""

import numpy as np

from vireton.kernel.arrays import ComplexArray, FloatArray
from vireton.tuning.flown import Entries
from vireton.tuning.surface import ANGLE, RATE, reach, turning
from vireton.tuning.unknowns import PER_AXIS, PLACE, SIZE

_AXIS = np.array([1.0, 1j])
_ERRORS = np.array([[PLACE[f"{name}_{axis}"] for axis in ("right", "up")] for name in PER_AXIS])


def launched(
    theta: FloatArray, settings: ComplexArray, shifted: FloatArray
) -> tuple[ComplexArray, tuple[ComplexArray, ComplexArray, ComplexArray]]:
    """Where the rest really stands (h, n), and rate, angle and direction off the model's there.

    Arguments as of :func:`predicted`.
    """
    pairs = theta[:, _ERRORS]
    shift = theta[:, [PLACE["shift_right"], PLACE["shift_up"]]]
    at = settings + shifted * (shift[:, :1] + 1j * shift[:, 1:])

    def now(k: int) -> ComplexArray:
        own = pairs[:, k, 0] + 1j * pairs[:, k, 1]
        moved = pairs[:, 3 + k, :1] * at.real + 1j * pairs[:, 3 + k, 1:] * at.imag
        return np.asarray(own[:, None] + moved)

    return at, (now(0), now(1), now(2))


def predicted(
    theta: FloatArray, planes: Entries, settings: ComplexArray, shifted: FloatArray
) -> tuple[ComplexArray, ComplexArray]:
    """Values (h, n) in m and their derivatives (h, n, SIZE), complex: right + i·up.

    Args:
        theta: (h, SIZE).
        planes: n entries.
        settings: (h, n) or (1, n), m of rest.
        shifted: (h, n) or (1, n), 1 where the bow is off from where the log has it.
    """
    pairs = theta[:, _ERRORS]  # (h, 6, 2)
    at, (rate, angle, direction) = launched(theta, settings, shifted)
    rate, angle = planes.rate + rate, planes.angle + angle
    b = planes.coefficients.T
    q = reach(rate, angle)
    turned = turning(b, rate, angle)
    scale = np.exp(
        planes.bare * (1.0 - planes.paper) * theta[:, PLACE["bare_scale"], None]
        + planes.paper * theta[:, PLACE["tear_scale"], None]
    )
    on_paper, on_target = planes.paper, (1.0 - planes.paper) * planes.bare * planes.far
    beside = on_paper * _pair(theta, "tear") + on_target * _pair(theta, "bare")
    value = b[0] + scale * turned + b[5] * direction + beside

    slope = np.zeros((*value.shape, SIZE), dtype=complex)
    safe = np.where(q > 1e-9, q, 1.0)
    grown = rate * b[2] + angle * b[4]
    for axis, turn in enumerate(_AXIS):
        stands = at.real if axis == 0 else at.imag
        by_rate = turn * (b[1] + b[2] * q) + grown * (np.conj(rate) * turn).real / RATE**2 / safe
        by_angle = turn * (b[3] + b[4] * q) + grown * (np.conj(angle) * turn).real / ANGLE**2 / safe
        by = (scale * by_rate, scale * by_angle, np.broadcast_to(turn * b[5], value.shape))
        for k in range(3):
            slope[..., _ERRORS[k, axis]] = by[k]
            slope[..., _ERRORS[3 + k, axis]] = by[k] * stands
        slope[..., PLACE[f"shift_{('right', 'up')[axis]}"]] = shifted * sum(
            by[k] * pairs[:, 3 + k, axis, None] for k in range(3)
        )
        slope[..., PLACE[f"tear_{('right', 'up')[axis]}"]] = turn * on_paper
        slope[..., PLACE[f"bare_{('right', 'up')[axis]}"]] = turn * on_target
    slope[..., PLACE["bare_scale"]] = planes.bare * (1.0 - planes.paper) * scale * turned
    slope[..., PLACE["tear_scale"]] = planes.paper * scale * turned
    return np.asarray(value), slope


def both(value: ComplexArray) -> FloatArray:
    """(…, n) complex as (…, n, 2)."""
    return np.ascontiguousarray(value).view(float).reshape(*value.shape, 2)


def _pair(theta: FloatArray, name: str) -> ComplexArray:
    found = theta[:, PLACE[f"{name}_right"]] + 1j * theta[:, PLACE[f"{name}_up"]]
    return np.asarray(found[:, None])
