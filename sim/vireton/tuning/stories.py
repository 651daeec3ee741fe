"""What may have gone wrong between the bench and the log: each a way to read the log anew."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from vireton.kernel.arrays import ComplexArray, FloatArray
from vireton.tuning.evidence import Evidence
from vireton.tuning.observations.looked import Mishap

Kind = Mishap | Literal["none"]


@dataclass(frozen=True)
class Story:
    """What went wrong, and in the round of which number (0: all along).

    ``contact``: the rest does not answer, for something touches. ``reversed``: the move that began
    the round went the other way. ``slipped``: it did not last. ``swapped``: left is written for
    right in that round. ``decimal``: a number is ten times too large or small. ``changed``:
    something else did, bow or form, from that round on.
    """

    kind: Kind
    round: int = 0


NO_STORY = Story("none")

#: Rounds back from the last one that are looked into: earlier ones were, when they were new.
LOOKED_BACK = 4

#: How likely each is beforehand: contact a bow, the others a round (our choice, no source).
SHARES: dict[Kind, float] = {
    "contact": 0.05,
    "reversed": 0.03,
    "slipped": 0.02,
    "swapped": 0.015,
    "decimal": 0.004,
    "changed": 0.005,
}


def off_by(story: Story, moves: dict[int, complex]) -> complex:
    """m of rest by which the bow stands off from where the log has it, if the story is true."""
    move = moves.get(story.round, 0j)
    return {"reversed": -2.0 * move, "slipped": -move}.get(story.kind, 0j)


@dataclass(frozen=True)
class Altered:
    """The log as it would be: values and settings (n,), where shifted (n,), how the rest answers.

    ``answers``: 1, or 0 where the rest does not.
    """

    values: ComplexArray
    settings: ComplexArray
    shifted: FloatArray
    answers: float = 1.0


def _plain(seen: Evidence) -> Altered:
    return Altered(seen.values, seen.settings, seen.shifted)


def _times(seen: Evidence, at: int, factor: float) -> ComplexArray:
    values = seen.values.copy()
    values[at] *= factor
    return values


def as_told(seen: Evidence, story: Story) -> Altered:
    """The log as it would be, if the story is true; of a decimal slip, the largest number's."""
    plain = _plain(seen)
    later, here = seen.rounds >= story.round, seen.rounds == story.round
    match story.kind:
        case "contact":
            return replace(plain, answers=0.0)
        case "reversed" | "slipped":
            return replace(plain, settings=seen.settings + off_by(story, seen.moves) * later)
        case "swapped":
            return replace(
                plain, values=np.where(here & seen.typed, -np.conj(seen.values), seen.values)
            )
        case "decimal" if (here & seen.typed).any():
            largest = int(np.argmax(abs(seen.values) * (here & seen.typed)))
            return replace(plain, values=_times(seen, largest, 0.1))
        case "changed":
            return replace(plain, shifted=np.maximum(seen.shifted, later))
    return plain


def _numbers(seen: Evidence) -> list[int]:
    """Of rounds that begin with a move or in which something was seen."""
    return sorted({*seen.rounds.tolist(), *seen.moves})


def first_looked_into(seen: Evidence) -> int:
    """The number of the first round that stories are told of; 0 where there is none."""
    return min(_numbers(seen)[-LOOKED_BACK:], default=0)


def stories(seen: Evidence, denied: Collection[Story] = ()) -> list[tuple[Story, Altered, float]]:
    """Every story that could be told of this log, with its share; first that nothing went wrong.

    ``denied``: those that somebody looked into, and were not so.
    """
    told: list[tuple[Story, Altered]] = []
    if len(set(np.round(seen.settings, 7))) > 1:
        told.append((Story("contact"), as_told(seen, Story("contact"))))
    first = int(seen.rounds.min()) if seen.count else 0
    for number in _numbers(seen)[-LOOKED_BACK:]:
        kinds: list[Kind] = []
        if number > first and (seen.rounds >= number).any():
            kinds += ["reversed", "slipped"] if number in seen.moves else []
            kinds += ["changed"]
        here = np.flatnonzero((seen.rounds == number) & seen.typed)
        if np.any(seen.values[here].real != 0.0):
            kinds += ["swapped"]
        told += [(one, as_told(seen, one)) for one in (Story(kind, number) for kind in kinds)]
        told += [
            (Story("decimal", number), replace(_plain(seen), values=_times(seen, at, times)))
            for at in here.tolist()
            for times in (0.1, 10.0)
        ]
    kept = [(one, log, SHARES[one.kind]) for one, log in told if one not in denied]
    return [(NO_STORY, _plain(seen), 1.0), *kept]


def put_right(seen: Evidence, found: Iterable[Story]) -> tuple[Evidence, complex]:
    """What was seen, with the stories that were looked into and found to be so put right.

    And by how much, m of rest, the bow now stands off from where the log has it. After a contact
    nothing counts that was seen before.
    """
    off = 0j
    for one in found:
        by = off_by(one, seen.moves)
        moves = {**seen.moves, one.round: seen.moves[one.round] + by} if by else seen.moves
        told = as_told(seen, one)
        seen = replace(
            seen, values=told.values, settings=told.settings, shifted=told.shifted, moves=moves
        )
        off += by
    return seen, off
