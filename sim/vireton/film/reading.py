"""What a film says of the launch: the angle from the flight's own path and the rate it turns."""

import math
from dataclasses import dataclass

import numpy as np

from vireton.film.camera import AT, Camera
from vireton.film.clip import Clip, View
from vireton.film.fit import Fitted, fit, one_of
from vireton.film.shaft import Shaft
from vireton.kernel.arrays import FloatArray
from vireton.units.numbers import FOOT, INCH
from vireton.units.problems import InputProblem

#: How far the camera may look on the path from another side than told, rad, and what there is to
#: be seen of the other plane: rad/s and rad (our choice, no source).
LOOKS_ASIDE, OTHER_RATE, OTHER_ANGLE = 0.06, 0.5, 0.008
#: A mark may be set to the same side every time, as a share of the error of one (our choice).
_SAME_SIDE = 0.5
#: rad/s that an arrow turns at least, for the place of the film along the path.
_USUAL_RATE = 0.4
#: By how much the film's own speed may be off the bow's before nothing of it is believed: further
#: off, frame rate, arrow or marks are others than told (our choice).
_SPEED_OFF = 0.15
#: m: how well one tells how far the nock is off the string (our choice, no source).
_OFF_STRING_ERROR = 2.0 * INCH


@dataclass(frozen=True)
class FilmReading:
    """Yaw (from above, nose right positive) or pitch (from beside, nose up), and its rate.

    ``angle`` rad of the shaft, straightened, from the path of its balance point, and ``rate``
    rad/s, where that point is ``ahead`` m of the string at brace; ``covariance`` (2, 2) of the two.
    ``speed`` m/s, ``bend`` m of the nock's swing, ``mark_error`` picture units across the arrow, as
    the film has them. ``warnings`` in words.
    """

    view: View
    angle: float
    rate: float
    ahead: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    speed: float
    bend: float
    mark_error: float
    warnings: tuple[str, ...] = ()

    @property
    def angle_error(self) -> float:
        """rad, one standard deviation."""
        return float(np.sqrt(self.covariance[0][0]))

    @property
    def rate_error(self) -> float:
        """rad/s, one standard deviation."""
        return float(np.sqrt(self.covariance[1][1]))

    @property
    def later(self) -> float:
        """s: angle + later·rate is what the film says beside the rate, independent of it."""
        return -self.covariance[0][1] / self.covariance[1][1]


def read_film(clip: Clip, shaft: Shaft, speed: float | None = None) -> FilmReading:
    """Read a film.

    Args:
        clip: its marks.
        shaft: of the arrow that was filmed.
        speed: m/s of that arrow; without it the arrow's length alone gives the scale.

    Raises InputProblem where the film has another speed than the bow by far.
    """
    camera = Camera(clip, shaft)
    seen = float(camera.first_guess()[AT["speed"]])
    if speed is not None and abs(np.log(seen / speed)) > _SPEED_OFF:
        raise InputProblem(_out_of_scale(clip, seen, speed))
    fitted = one_of(fit(camera, speed))
    at = fitted.at
    found = _with_the_rest(camera, fitted)
    off, _ = _off_string(clip, float(at[AT["speed"]]))
    return FilmReading(
        clip.view,
        float(at[AT["angle"]]),
        float(at[AT["rate"]]),
        off + shaft.rear + float(at[AT["speed"]]) * camera.middle,
        ((float(found[0, 0]), float(found[0, 1])), (float(found[1, 0]), float(found[1, 1]))),
        float(at[AT["speed"]]),
        float(np.hypot(at[AT["cosine"]], at[AT["sine"]])),
        fitted.mark_error,
        tuple(_warnings(camera, fitted)),
    )


def _with_the_rest(camera: Camera, fitted: Fitted) -> FloatArray:
    """Covariance (2, 2) of angle and rate, with what no mark of this film can show."""
    both = [AT["angle"], AT["rate"]]
    found = fitted.covariance[np.ix_(both, both)].copy()
    size = float(np.exp(fitted.at[AT["scale"]]))
    same_side = _SAME_SIDE * fitted.mark_error * np.sqrt(2.0) / (size * camera.shaft.length)
    _, late = _off_string(camera.clip, float(fitted.at[AT["speed"]]))
    turned = late / fitted.at[AT["speed"]] * np.hypot(fitted.at[AT["rate"]], _USUAL_RATE)
    found[0, 0] += same_side**2 + turned**2 + (LOOKS_ASIDE * OTHER_ANGLE) ** 2
    found[1, 1] += (LOOKS_ASIDE * OTHER_RATE) ** 2
    return np.asarray(found)


def _off_string(clip: Clip, speed: float) -> tuple[float, float]:
    """m of the nock off the string in the first frame, and how far that may be off."""
    if clip.off_string is not None:
        return clip.off_string, _OFF_STRING_ERROR
    # anywhere in the way between two frames, as likely here as there; and one may begin late
    between = speed / clip.frames_a_second
    return between / 2.0, float(np.hypot(between / math.sqrt(12.0), 2.0 * _OFF_STRING_ERROR))


def _out_of_scale(clip: Clip, seen: float, speed: float) -> str:
    right = clip.frames_a_second * speed / seen
    return (
        f"by the arrow's length and {clip.frames_a_second:g} frames a second the film has the arrow"
        f" at {seen / FOOT:.0f} fps, the bow shoots it at {speed / FOOT:.0f} fps. Check that nock "
        f"and point are marked in the same frame, and the frame rate: about {right:.0f} a second "
        "would fit. Slow motion often plays at 30 and was taken at 120 or 240; write what it was "
        'taken at, like "fps: 240"'
    )


def _warnings(camera: Camera, fitted: Fitted) -> list[str]:
    clip, shaft = camera.clip, camera.shaft
    said = []
    count = len(clip.frames)
    if count < 4:
        said.append(
            f"{count} frames tell turning from bending badly: four or more tell far more. Film at "
            "240 frames a second, and stand back until the picture shows 7 ft of the path or more"
        )
    blur = float(fitted.at[AT["speed"]]) * clip.exposure
    if blur > 0.12 * shaft.length:
        said.append(
            f"at {_exposure(clip.exposure)} the arrow is blurred over {blur / INCH:.0f} in: use a "
            "shorter exposure, 1/2000 s or less, and more light"
        )
    if camera.across_rows > 0.5:
        said.append(
            "the arrow flies across the sensor's rows, which are not taken at one moment: turn the "
            "phone so that the long side of the picture lies along the path"
        )
    if fitted.times_told > 2.0 or float(fitted.counts.min()) < 0.3:
        worst = clip.frames[int(np.argmin(fitted.counts)) // 2].number
        said.append(
            f"the marks do not fit one straight flight: look at frame {worst} again, nock and point"
        )
    return said


def _exposure(seconds: float) -> str:
    return f"1/{1.0 / seconds:.0f} s" if seconds < 0.3 else f"{seconds:g} s"
