"""What walk-back points say, from Python."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.answers.readying import caution
from vireton.answers.tune import rig_of
from vireton.bow.cautions import cautions
from vireton.job import TuningLog, read_log
from vireton.rig import Rig
from vireton.setup import load_setup
from vireton.tuning.observations import Group, WalkbackPoint
from vireton.tuning.rounds import all_seen
from vireton.tuning.spread import Spread, pooled_spread
from vireton.tuning.walkback import CAUSES, WalkbackCauses, weigh_causes
from vireton.units.numbers import INCH, MPH, YARD, number, percent
from vireton.units.problems import InputProblem, named

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots.scales import System


#: In which unit their sizes are told, as keys name it, and its SI value. Right is positive: sight,
#: top of the bow, where the wind blows to, nose.
SIZE_UNITS = {
    "windage": ("mrad", 1e-3),
    "cant": ("deg", math.radians(1.0)),
    "wind": ("mph", MPH),
    "yaw_rate": ("rad_s", 1.0),
}


@dataclass(frozen=True, repr=False)
class Walkback:
    """What :func:`read_walk_back` found: ``answer``, in SI, and the ``spread`` of one arrow."""

    rig: Rig
    answer: WalkbackCauses
    spread: Spread

    def __repr__(self) -> str:
        return f"<Walkback of {self.rig.bow.name}: {self.answer.verdict}>"

    @property
    def cautions(self) -> tuple[str, ...]:
        """Warnings of an arrow too light for the bow, see :mod:`vireton.bow.cautions`."""
        return cautions(self.rig.bow, *self.rig.arrows)

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a point, what was seen and the line of each cause, in inches."""
        return [
            {
                "distance_yd": number(distance / YARD),
                "right_in": number(self.answer.seen[i] / INCH),
                **{f"{k}_in": number(line[i] / INCH) for k, line in self.answer.curves.items()},
            }
            for i, distance in enumerate(self.answer.distances)
        ]

    def to_dict(self) -> dict[str, Any]:
        """The same as ``vireton walkback --json``."""
        answer = self.answer
        return {
            "schema": 1,
            "warnings": list(self.cautions),
            "verdict": answer.verdict,
            "words": answer.words,
            "probabilities": {k: number(v) for k, v in answer.probabilities.items()},
            "sizes": {
                name: {
                    f"value_{SIZE_UNITS[name][0]}": number(value / SIZE_UNITS[name][1]),
                    f"sd_{SIZE_UNITS[name][0]}": number(sd / SIZE_UNITS[name][1]),
                }
                for name, (value, sd) in answer.sizes.items()
            },
            "points": [
                {"distance_yd": number(d / YARD), "right_in": number(x / INCH)}
                for d, x in zip(answer.distances, answer.seen, strict=True)
            ],
        }

    def figure(self, units: "System" = "us") -> "Figure":
        """The points and the line of each cause, with its probability."""
        from vireton.plots.walkback import walkback_figure  # noqa: PLC0415

        answer = self.answer
        return walkback_figure(
            answer.distances,
            answer.seen,
            self.spread.sd * answer.distances,
            {
                f"{CAUSES[name]}, {percent(answer.probabilities[name])}": line
                for name, line in answer.curves.items()
            },
            system=units,
            title=f"Walk-back: {answer.words}",
        )


def read_walk_back(log: TuningLog | str | Path) -> Walkback:
    """Weigh sight windage, cant, wind, yaw rate and scatter against a log's walk-back points.

    Args:
        log: the file that ``vireton record`` writes, or what ``vireton.job.read_log`` read.

    Raises InputProblem for a log without points at two distances and for files that cannot be used.
    Warns with a Caution of an arrow too light for the bow.

    >>> import vireton
    >>> answer = vireton.read_walk_back("examples/mill_log.toml").answer
    >>> round(sum(answer.probabilities.values()), 6)
    1.0
    """
    read = log if isinstance(log, TuningLog) else read_log(log)
    found = walkback_of(read)
    caution(found.rig)
    return found


def walkback_points(log: TuningLog) -> list[WalkbackPoint]:
    """The points of a log. Raises InputProblem where they are from fewer than two distances."""
    points = [
        o for r in log.rounds.counting for o in r.observations if isinstance(o, WalkbackPoint)
    ]
    apart = len({point.distance for point in points})
    if apart < 2:
        raise InputProblem(
            f"{named(log.path)}: walk-back needs points at two distances or more, it has {apart}. "
            'Add them with vireton record LOG --walkback "20yd 0.1in, 40yd 0.4in"'
        )
    return points


def walkback_of(log: TuningLog) -> Walkback:
    """Weigh the causes of a log's points; the bow is the setup file that the log names."""
    points = walkback_points(log)
    rig = rig_of(load_setup(log.setup_path))
    groups = all_seen(log.rounds.counting, Group)
    spread = pooled_spread(groups)
    return Walkback(rig, weigh_causes(rig, points, spread.sd), spread)
