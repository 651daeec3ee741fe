"""What a technician does without a program: the trade's rules in steps.

The rules (common practice, no source): tail-high, or the bare shaft below: rest up; tail-left, or
the bare shaft right of the fletched: rest right. Steps are 1/32 and 1/16 in. Done within half an
inch at 20 yd.
"""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from protocol import INCH, Action, Aim, Move, Paper, Round, Shoot, Stop, Vector

STEP = INCH / 32.0
DONE = 0.5 * INCH
#: Which way the rest goes when bare minus fletched is positive: right → right, high → down.
RULE = np.array([1.0, -1.0])
#: The rest does not go further than this from where it stood.
TRAVEL = INCH / 4.0


def separation(round_: Round) -> np.ndarray | None:
    """Mean bare minus mean fletched in this round, m; None before both are shot."""
    means = []
    for kind in ("bare", "fletched"):
        hits = [shot.hit for shot in round_.shots if shot.arrow == kind]
        if not hits:
            return None
        means.append(np.mean(hits, axis=0))
    return np.asarray(means[0] - means[1])


class StopAtOnce:
    """Hands the bow back as it came: what a strategy must beat."""

    aim: Aim = "together"

    def begin(self, setup_path: Path) -> None:
        """Nothing to learn."""

    def next(self, history: Sequence[Round]) -> Action:
        """Stop."""
        return Stop()


class Steps:
    """Three and three at 20 yd; 1/16 in by the rule where two inches are left, else 1/32."""

    aim: Aim = "together"
    shots = 3
    turns = False

    def begin(self, setup_path: Path) -> None:
        """Start with the rule."""
        self.way = RULE.copy()

    def next(self, history: Sequence[Round]) -> Action:
        """Shoot, look, move."""
        here = separation(history[-1])
        if here is None:
            return Shoot(self.shots, self.shots)
        if np.hypot(*here) < DONE:
            return Stop()
        if self.turns and len(history) > 1:
            self._turn(history, here)
        return Move(self._bounded(history[-1].setting, self.move(history, here)))

    def _turn(self, history: Sequence[Round], here: np.ndarray) -> None:
        """Go the other way on an axis that a move made worse."""
        before = separation(history[-2])
        if before is None:
            return
        moved = np.array(history[-1].setting) - np.array(history[-2].setting)
        worse = (np.abs(here) > np.abs(before)) & (moved != 0.0)
        self.way = np.where(worse, -self.way, self.way)

    def move(self, history: Sequence[Round], here: np.ndarray) -> np.ndarray:
        """Whole steps on each axis that is off by a quarter inch or more."""
        size = np.where(np.abs(here) > 2.0 * INCH, 2.0 * STEP, STEP)
        size[np.abs(here) < 0.5 * DONE] = 0.0
        return np.asarray(self.way * np.sign(here) * size)

    @staticmethod
    def _bounded(setting: Vector, by: np.ndarray) -> Vector:
        there = np.clip(np.array(setting) + by, -TRAVEL, TRAVEL)
        return Vector(*(there - np.array(setting)))


class Turning(Steps):
    """The same, and the other way on an axis that got worse."""

    turns = True


class Proportional(Steps):
    """A test move of 1/16 in by the rule, then by what the bow answered, in whole steps."""

    LEAST, MOST = 8.0, 64.0  # m of separation a m of rest that are believed

    def begin(self, setup_path: Path) -> None:
        """Gains as the rule has them: a sixteenth for an inch and a half."""
        super().begin(setup_path)
        self.gain = -24.0 * RULE

    def move(self, history: Sequence[Round], here: np.ndarray) -> np.ndarray:
        """To where the line through all rounds crosses nothing."""
        if len(history) == 1:
            return np.asarray(RULE * np.sign(here) * 2.0 * STEP)
        self._learn(history)
        by = np.clip(-here / self.gain, -4.0 * STEP, 4.0 * STEP)
        steps = np.round(by / STEP)
        if not steps.any():  # at least one on the worse axis
            worst = int(np.argmax(np.abs(here)))
            steps[worst] = np.sign(by[worst])
        return np.asarray(STEP * steps)

    def _learn(self, history: Sequence[Round]) -> None:
        settings = np.array([r.setting for r in history])
        seen = np.array([s for r in history if (s := separation(r)) is not None])
        for axis in (0, 1):
            x, y = settings[:, axis], seen[:, axis]
            if np.ptp(x) < 0.5 * STEP:
                continue
            slope = np.sum((x - x.mean()) * (y - y.mean())) / np.sum((x - x.mean()) ** 2)
            size = float(np.clip(abs(slope), self.LEAST, self.MOST))
            self.gain[axis] = size if slope > 0.0 else -size


class OnPaper:
    """One bare tear, a step by the rule, turning when worse; two clean tears in a row end it."""

    aim: Aim = "clean"
    CLEAN = INCH / 16.0

    def begin(self, setup_path: Path) -> None:
        """Start with the rule: a tail-left tear (−) goes with a bare shaft to the right (+)."""
        self.way = -RULE.copy()

    def next(self, history: Sequence[Round]) -> Action:
        """Tear, look, move."""
        tears = [t.size for t in history[-1].tears]
        if not tears:
            return Paper()
        here = np.mean(tears, axis=0)
        if np.all(np.abs(here) <= self.CLEAN + 1e-9):
            return Stop() if len(tears) > 1 else Paper()
        if len(history) > 1:
            before = np.mean([t.size for t in history[-2].tears], axis=0)
            moved = np.array(history[-1].setting) - np.array(history[-2].setting)
            worse = (np.abs(here) > np.abs(before) + self.CLEAN) & (moved != 0.0)
            self.way = np.where(worse, -self.way, self.way)
        size = np.where(np.abs(here) > INCH / 4.0, 2.0 * STEP, STEP)
        size[np.abs(here) <= self.CLEAN + 1e-9] = 0.0
        setting = np.array(history[-1].setting)
        there = np.clip(setting + self.way * np.sign(here) * size, -TRAVEL, TRAVEL)
        return Move(Vector(*(there - setting)))
