"""Films of invented launches for tests of the tuner, marked without an error."""

import numpy as np
from bench import tuner

from filmed import phone, straight
from vireton.film.clip import Clip, Frame
from vireton.film.shaft import shaft_of
from vireton.tuning.observations import Film


def film(angle=0.0, rate=0.0, view="above", arrow="bare", error=0.0, seed=1, **told):
    """An arrow at ``angle`` rad and ``rate`` rad/s in the middle of the film, of the view's own."""
    rig = tuner().flown.shooter.rig
    shot = tuner().flown.shooter.arrow(arrow)
    speed, shaft = rig.launch(shot).speed, shaft_of(shot)
    both = (angle, 0.0) if view == "above" else (0.0, angle)
    rates = (rate, 0.0) if view == "above" else (0.0, rate)
    taken = phone(view, np.array([0.5 * (shaft.front - shaft.rear), 0.0, 0.0]), 3.0)
    moments = (np.arange(-8, 8) + 0.5) / 240.0
    chance = np.random.default_rng(seed)
    arms = np.array([-shaft.rear, shaft.front])
    frames = tuple(
        Frame(
            number, *(tuple(map(float, one)) for one in marks + error * chance.normal(size=(2, 2)))
        )
        for number, marks in taken.film(straight(speed, both, rates), arms, moments)
    )
    return Film(arrow, Clip(view, frames, **told))
