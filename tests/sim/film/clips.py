"""Clips for the tests of films, by a camera of their own (tests/filmed.py)."""

import numpy as np

from filmed import Motion, phone
from vireton.film.clip import Clip, Frame
from vireton.film.shaft import Shaft

SHAFT = Shaft(rear=0.445, front=0.3, frequency=84.0, frequency_error=0.06, point_share=0.51)
ARMS = np.array([-SHAFT.rear, SHAFT.front])
SPEED = 85.0
#: The balance point is a little ahead of the arrow's middle.
MIDDLE = np.array([-0.0725, 0.0, 0.0])


def clip(
    motion: Motion,
    view: str = "above",
    *,
    away: float = 2.2,
    fps: float = 240.0,
    error: float = 0.0,
    seed: int = 1,
    told: dict[str, object] | None = None,
    **camera: object,
) -> Clip:
    """Marks of an arrow that passes the camera's middle at time 0, read with ``error`` pixels."""
    taken = phone(view, MIDDLE, away, **camera)  # type: ignore[arg-type]
    moments = (np.arange(-12, 12) + 0.5) / fps
    chance = np.random.default_rng(seed)
    frames = [
        Frame(number, *(tuple(one) for one in marks + error * chance.normal(size=(2, 2))))
        for number, marks in taken.film(motion, ARMS, moments)
    ]
    more = {"picture": taken.picture, "frames_a_second": fps, **(told or {})}
    return Clip(view, tuple(frames), **more)  # type: ignore[arg-type]


def middle_time(found: Clip, fps: float = 240.0) -> float:
    """s: of the middle of the marked frames, where the motion's own 0 is the camera's middle."""
    return float(np.mean([one.number - 12 + 0.5 for one in found.frames])) / fps
