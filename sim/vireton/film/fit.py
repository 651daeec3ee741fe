"""From marks to the camera's and the shaft's unknowns, with their covariance.

Gauss and Newton with a Gaussian prior. A mark that lies far off counts less, as under Student's t
with four degrees of freedom, one that fits counts in full (Lange, Little and Taylor 1989, "Robust
Statistical Modeling Using the t Distribution", JASA 84:881-896, from memory). How well marks are
set is what is told beforehand and what the fit leaves over, weighed by what each knows (scaled
inverse chi-square: Gelman et al. 2013, *Bayesian Data Analysis*, section 3.2, from memory).
"""

from dataclasses import dataclass, replace

import numpy as np

from vireton.film.camera import AT, UNKNOWNS, Camera
from vireton.kernel.arrays import FloatArray

#: m: the nock's swing, one standard deviation; release aids on demo bows leave 0.3 to 1.3 mm for a
#: rest that is 1 to 2 mm off by the launch model, and a kick or nock travel more (our choice).
SWING = 2e-3
#: What else is known beforehand, one standard deviation (our choice, no source): ``tilt`` is some
#: 7° of a camera three arrows away, ``lens`` what phones leave of it in their own pictures.
_LOOSE = {"angle": 0.1, "rate": 6.0, "tilt": 0.05, "lens": 0.007, "cosine": SWING, "sine": SWING}
_ANYWHERE = 1e4
_READOUT_BAND = 0.35
#: Share by which the bow's speed may be off, and where it is not known.
_SPEED_BAND, _SPEED_OPEN = 0.03, 0.5
#: m across the arrow that the next bending shapes and a shaft not quite straight leave (our
#: choice); share of the blur that a mark along the arrow may be off by.
_SHAFT_LEAVES, _OF_BLUR = 0.25e-3, 0.125
#: Marks along the arrow are set this many times worse: an end is seen less well than an edge.
_ALONG = 1.5
#: Degrees of freedom that the told reading error is worth.
TOLD = 6.0
_STUDENT = 4.0
_ROUNDS, _STEPS = 4, 6
_STEP = np.full(len(UNKNOWNS), 1e-5)
_STEP[[AT["across"], AT["down"], AT["speed"]]] = 1e-2
_STEP[[AT["rate"]]] = 1e-3
_STEP[[AT["cosine"], AT["sine"], AT["readout"]]] = 1e-6


@dataclass(frozen=True)
class Fitted:
    """Unknowns ``at`` (13,) and their covariance, (13, 13).

    ``mark_error`` picture units across the arrow, as it came out; ``times_told`` over what was
    told; ``counts`` (2·frames,) how much each mark counts, 1 where it fits; ``log_weight`` of this
    fit beside another one of the same marks.
    """

    at: FloatArray
    covariance: FloatArray
    mark_error: float
    times_told: float
    counts: FloatArray
    log_weight: float


def fit(camera: Camera, speed: float | None = None) -> list[Fitted]:
    """The fits of a clip: rows are read from one side or from the other, nobody says which.

    ``speed`` m/s of the arrow, where the bow's is known.
    """
    return [_fit(camera, speed, sign) for sign in (1.0, -1.0)]


def _fit(camera: Camera, speed: float | None, sign: float) -> Fitted:
    guess = camera.first_guess()
    guess[AT["readout"]] *= sign
    mean, spread = _prior(camera, guess, speed)
    at, scale = guess.copy(), 1.0
    counts = np.ones(len(camera.marks))
    for _ in range(_ROUNDS):
        whiten = _whitener(camera, at, scale)
        at = _newton(camera, at, mean, spread, whiten, counts)
        rest, rows = _system(camera, at, whiten)
        off = np.sum(rest**2, axis=1)
        counts = np.minimum(1.0, (_STUDENT + 2.0) / (_STUDENT + off))
        weighed = rows * np.sqrt(counts)[:, None, None]
        flat = weighed.reshape(-1, len(UNKNOWNS))
        data = flat.T @ flat
        covariance = np.linalg.inv(data + np.diag(spread**-2))
        # along the path marks are off by the blur more than by the eye: only across it they tell
        beside = weighed[:, 1]
        free = len(beside) - float(np.trace(beside @ covariance @ beside.T))
        square = float(counts @ rest[:, 1] ** 2) * scale**2
        scale = float(np.sqrt((TOLD + square) / (TOLD + free)))
    pull = (at - mean) / spread
    size = TOLD + free
    # a fit whose scale is learnt from some ten numbers has wider tails than a normal one
    wider = size / (size - 2.0)
    return Fitted(
        at,
        covariance * wider,
        scale * camera.clip.mark_error,
        scale,
        counts,
        -0.5 * size * float(np.log(TOLD + square))
        - 0.5 * float(counts @ rest[:, 0] ** 2 + pull @ pull),
    )


def _prior(camera: Camera, guess: FloatArray, speed: float | None) -> tuple[FloatArray, FloatArray]:
    mean = np.zeros(len(UNKNOWNS))
    spread = np.full(len(UNKNOWNS), _ANYWHERE)
    for name, size in _LOOSE.items():
        spread[AT[name]] = size
    spread[AT["pitch"]] = camera.shaft.frequency_error
    mean[AT["readout"]] = guess[AT["readout"]]
    spread[AT["readout"]] = _READOUT_BAND * abs(guess[AT["readout"]]) + 1e-5
    mean[AT["speed"]] = guess[AT["speed"]] if speed is None else speed
    band = _SPEED_OPEN if speed is None else _SPEED_BAND
    spread[AT["speed"]] = band * mean[AT["speed"]]
    return mean, spread


def _whitener(camera: Camera, at: FloatArray, scale: float) -> FloatArray:
    """(2, 2): along and across the path, in standard deviations, across ``scale`` times as told."""
    size = float(np.exp(at[AT["scale"]]))
    told = camera.clip.mark_error
    across = scale * np.hypot(told, _SHAFT_LEAVES * size)
    blur = at[AT["speed"]] * camera.clip.exposure * size
    along = np.hypot(_ALONG * told, _OF_BLUR * blur)
    cosine, sine = np.cos(at[AT["turn"]]), np.sin(at[AT["turn"]])
    return np.array([[cosine / along, sine / along], [-sine / across, cosine / across]])


def _system(camera: Camera, at: FloatArray, whiten: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Residuals (k, 2) and slopes (k, 2, 13) of the prediction, in standard deviations."""
    changes = np.diag(_STEP)
    asked = np.concatenate([at[None], at + changes, at - changes])
    found = camera.seen(asked) @ whiten.T
    count = len(UNKNOWNS)
    slopes = (found[1 : 1 + count] - found[1 + count :]) / (2.0 * _STEP[:, None, None])
    return camera.marks @ whiten.T - found[0], np.moveaxis(slopes, 0, -1)


def _newton(
    camera: Camera,
    at: FloatArray,
    mean: FloatArray,
    spread: FloatArray,
    whiten: FloatArray,
    counts: FloatArray,
) -> FloatArray:
    root = np.sqrt(counts)[:, None]
    for _ in range(_STEPS):
        rest, rows = _system(camera, at, whiten)
        flat = (rows * root[..., None]).reshape(-1, len(UNKNOWNS))
        uphill = flat.T @ (rest * root).ravel() - (at - mean) / spread**2
        information = flat.T @ flat + np.diag(spread**-2)
        step = np.linalg.solve(information, uphill)
        at = at + step
        if float(step @ uphill) < 1e-6:
            break
    return at


def one_of(fits: list[Fitted]) -> Fitted:
    """The fits as one Gaussian, each by its weight."""
    logs = np.array([one.log_weight for one in fits])
    shares = np.exp(logs - logs.max())
    shares /= shares.sum()
    middle = np.asarray(sum(p * one.at for p, one in zip(shares, fits, strict=True)))
    wide = sum(
        p * (one.covariance + np.outer(one.at - middle, one.at - middle))
        for p, one in zip(shares, fits, strict=True)
    )
    best = fits[int(np.argmax(shares))]
    return replace(best, at=middle, covariance=np.asarray(wide))
