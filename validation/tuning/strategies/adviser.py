"""The library's own adviser, asked as a technician would."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

from protocol import (
    INCH,
    Action,
    Aim,
    Ask,
    Claims,
    Film,
    Move,
    Paper,
    Round,
    Shoot,
    Stop,
    Vector,
    View,
)

from vireton.bow.setting import BowSetting
from vireton.film.clip import Clip, Frame
from vireton.flight.flight import Conditions
from vireton.rig import assemble_rig
from vireton.setup import load_setup
from vireton.tuning.belief import mean_and_ends
from vireton.tuning.evidence import rest_of
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.observations import Film as Filmed
from vireton.tuning.observations import Observation, group_of_shots
from vireton.tuning.observations.tear import Tear
from vireton.tuning.rounds import Round as Logged
from vireton.tuning.stories import Story

AT = 20.0 * 0.9144


@cache
def tuner(path: Path) -> Tuner:
    """Ready for the bow of a setup file."""
    setup = load_setup(path)
    rig = assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight)
    made = Tuner.of(rig, setup.uncertainty, setup.rest_step)
    # nobody measures here: see measured.py
    return replace(made, prior=replace(made.prior, bench=()))


def logged(one: Round) -> Logged:
    """As the library holds a round."""
    seen: list[Observation] = [Tear(t.arrow, t.paper, *t.size) for t in one.tears]
    for arrow in ("bare", "fletched"):
        for far in sorted({s.distance for s in one.shots if s.arrow == arrow}):
            hits = [tuple(s.hit) for s in one.shots if s.arrow == arrow and s.distance == far]
            seen.append(group_of_shots(arrow, far, hits))
    for film in one.films:
        frames = tuple(Frame(int(n), (a, b), (c, d)) for n, a, b, c, d in film.marks)
        seen.append(Filmed(film.arrow, Clip(film.view, frames, reading_error=film.error)))
    return Logged(one.number, BowSetting(*one.setting), tuple(seen))


class Adviser:
    """Does what it is told."""

    aim: Aim = "clean"
    #: Pixels to which marks are set.
    error = 1.5

    def begin(self, setup_path: Path) -> None:
        """Once a bow."""
        self.tuner = tuner(setup_path)

    def turn(self, history: Sequence[Round]) -> Turn:
        """What is said of the log."""
        denied = {
            Story(story, 0 if story == "contact" else at)
            for one in history
            for story, at, so in one.answers
            if not so
        }
        return self.tuner.turn([logged(one) for one in history], denied=denied)

    def next(self, history: Sequence[Round]) -> Action:
        """Ask, move, shoot or stop."""
        turn = self.turn(history)
        advice, far = turn.advice, turn.belief.separation(AT)
        intervals = {}
        for level in (0.5, 0.95):
            _, low, high = mean_and_ends(far, level)
            intervals[level] = ((low[0], high[0]), (low[1], high[1]))
        claims = Claims(
            advice.helps if advice.verdict == "move" else None,
            {reach: turn.within(reach) for reach in (0.5 * INCH, 0.75 * INCH)},
            intervals,
        )
        if advice.verdict == "look":
            assert advice.story is not None
            story = advice.story
            known = {"contact", "reversed", "slipped", "swapped", "decimal"}
            if story.kind in known:
                return Ask(story.kind, max(story.round, 1), claims)  # type: ignore[arg-type]
        if advice.verdict == "stop":
            return Stop(claims)
        if advice.verdict == "move":
            # the bows here have no nocking point: to move it is to move the rest the other way
            move = rest_of(advice.move)
            return Move(Vector(move.real, move.imag), claims)
        if advice.test.is_film:
            view: View = "above" if advice.test.kind == "film above" else "beside"
            return Film(view, "bare", advice.test.count, self.error, claims)
        if advice.test.kind == "tear":
            return Paper("bare", 1, advice.test.distance, claims)
        return Shoot(1, 1, advice.test.distance, claims)


class WithPhone(Adviser):
    """The same with a phone on a stand: films what it is told to film."""

    def begin(self, setup_path: Path) -> None:
        """Once a bow."""
        super().begin(setup_path)
        self.tuner = replace(self.tuner, costs=replace(self.tuner.costs, phone_on_stand=True))


class WithFilms(WithPhone):
    """Begins with a film from above and one from beside, its marks set to half a pixel."""

    error = 0.5

    def next(self, history: Sequence[Round]) -> Action:
        """Two films, then as told."""
        filmed = {film.view for one in history for film in one.films}
        if len(history) == 1 and len(filmed) < 2:
            return Film("beside" if "above" in filmed else "above", "bare", 1, self.error)
        return super().next(history)
