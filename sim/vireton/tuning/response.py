"""What bare and fletched arrows do for given launch errors, with derivatives.

Launch errors are counted from the launch model at the log's first rest setting and are the same for
both arrows: yaw rate and pitch rate, yaw and pitch, direction to the right and up.
"""

from dataclasses import dataclass, replace

import numpy as np

from vireton.arrays import FloatArray
from vireton.arrow import Arrow
from vireton.flight import initial_state, prepare
from vireton.kernel.door import fly_to_planes
from vireton.kernel.parameters import Parameters
from vireton.launch import Launch
from vireton.observations import ArrowKind
from vireton.rig import Rig

#: Order of the launch errors: rad/s, rad/s, rad, rad, rad, rad.
ERRORS = ("yaw_rate", "pitch_rate", "yaw", "pitch", "direction_right", "direction_up")
#: Differences for the derivatives: large against the integrator's error (1e-6 m), small against
#: what bends the response.
_STEPS = (0.05, 0.05, 1e-3, 1e-3)


@dataclass(frozen=True)
class Question:
    """What is asked of an arrow at a rest setting: points at targets (m), tears at papers (m)."""

    arrow: ArrowKind
    targets: tuple[float, ...] = ()
    papers: tuple[float, ...] = ()


@dataclass(frozen=True)
class Answer:
    """Points (n, 2) and tears (k, 2), right and up, m; derivatives (n or k, 2, 6) by the errors."""

    points: FloatArray
    tears: FloatArray
    points_by_error: FloatArray
    tears_by_error: FloatArray


@dataclass(frozen=True)
class Shooter:
    """A rig made ready for many launches of its two arrows."""

    rig: Rig
    bodies: dict[ArrowKind, Parameters]
    launches: dict[ArrowKind, Launch]

    @staticmethod
    def of(rig: Rig) -> "Shooter":
        """Both arrows at the rig's own rest setting."""
        arrows: dict[ArrowKind, Arrow] = {"bare": rig.bare, "fletched": rig.fletched}
        launches = {kind: rig.launch(arrow) for kind, arrow in arrows.items()}
        bodies = {
            kind: prepare(arrow, launches[kind].speed, rig.conditions)
            for kind, arrow in arrows.items()
        }
        return Shooter(rig, bodies, launches)

    def arrow(self, kind: ArrowKind) -> Arrow:
        """The arrow of this kind."""
        return self.rig.bare if kind == "bare" else self.rig.fletched

    def _shot(self, question: Question, errors: FloatArray) -> tuple[FloatArray, FloatArray]:
        base = self.launches[question.arrow]
        changed = {
            name: getattr(base, name) + float(e) for name, e in zip(ERRORS, errors, strict=True)
        }
        arrow = self.arrow(question.arrow)
        launch = replace(base, **changed)
        start = initial_state(arrow, launch, self.rig.aim, self.rig.bow.brace_height)
        front, rear = arrow.total_length - arrow.balance, -arrow.balance
        targets, papers = list(question.targets), list(question.papers)
        planes = targets + papers + papers
        stations = [front] * (len(targets) + len(papers)) + [rear] * len(papers)
        states = fly_to_planes(start, self.bodies[question.arrow], planes, stations).states
        places = states[:, 0:3] + np.array(stations)[:, None] * states[:, 6:9]
        across = places[:, [2, 1]]
        n, k = len(targets), len(papers)
        return across[:n], across[n + k :] - across[n : n + k]

    def shoot(self, question: Question, errors: FloatArray) -> Answer:
        """Fly with these launch errors (6,).

        Derivatives by rates and angles are forward differences of real flights; a change of
        direction swings the whole path about the bow.
        """
        points, tears = self._shot(question, errors)
        by_point = np.zeros((*points.shape, len(ERRORS)))
        by_tear = np.zeros((*tears.shape, len(ERRORS)))
        for i, size in enumerate(_STEPS):
            # away from nothing, so that a mirrored shot has the mirrored derivative
            step = float(np.copysign(size, errors[i]))
            moved = errors.copy()
            moved[i] += step
            more_points, more_tears = self._shot(question, moved)
            by_point[:, :, i] = (more_points - points) / step
            by_tear[:, :, i] = (more_tears - tears) / step
        run = np.array(question.targets) - self.arrow(question.arrow).total_length
        by_point[:, 0, 4] = run
        by_point[:, 1, 5] = run
        return Answer(points, tears, by_point, by_tear)

    def points(self, question: Question, errors: FloatArray) -> FloatArray:
        """Points (n, 2) m alone, without derivatives: one flight instead of five."""
        return self._shot(replace(question, papers=()), errors)[0]
