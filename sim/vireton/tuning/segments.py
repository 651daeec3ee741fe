"""A log in pieces: which rounds count, and where a change begins a new piece."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from vireton.tuning.changes import CURES_CONTACT, Unsettled, What
from vireton.tuning.observations import Found, Looked
from vireton.tuning.observations.found import CURED_BY, Finding
from vireton.tuning.rounds import Round


@dataclass(frozen=True)
class Segment:
    """Rounds between which only rest and nocking point moved.

    ``unsettled``: what came before the first of them; None for the first segment.
    """

    rounds: tuple[Round, ...]
    unsettled: Unsettled | None

    @property
    def version(self) -> int:
        """Of the numbers of bow and arrow."""
        return self.rounds[0].version

    @property
    def measures(self) -> bool:
        """Whether anything in it speaks of the launch."""
        return any(one.measures for one in self.rounds)


#: Changes after which a finding that stands in the way may be gone.
_ENDS: dict[Finding, frozenset[What]] = {
    "contact": CURES_CONTACT,
    "timing off": frozenset({"cable", "new cable", "yoke"}),
}


def in_the_way(rounds: Sequence[Round]) -> Found | None:
    """What was found and has to be put right before anything is moved; the last such thing."""
    open_: dict[Finding, Found] = {}
    for one in rounds:
        for finding, changes in _ENDS.items():
            ended = any(change.what in changes for change in one.changes)
            ended |= finding == "contact" and _looked_at_contact(one, False)
            if ended:
                open_.pop(finding, None)
            for found in one.seen(Found):
                if found.what == finding:
                    open_[finding] = found
                elif found.what == CURED_BY[finding]:
                    open_.pop(finding, None)
    return next(reversed(open_.values()), None)


def _looked_at_contact(one: Round, found: bool) -> bool:
    return any(look.into == "contact" and look.found is found for look in one.seen(Looked))


def that_count(rounds: Sequence[Round]) -> tuple[Round, ...]:
    """Rounds that say something of the launch as it is now.

    What was shot while something touched the arrow does not count; shots of an arrow that was found
    cracked neither.
    """
    first = 0
    touched = False
    for k, one in enumerate(rounds):
        if _looked_at_contact(one, True):
            first = k
        findings = {found.what for found in one.seen(Found)}
        cured = "contact gone" in findings or _looked_at_contact(one, False)
        if touched and (cured or any(change.what in CURES_CONTACT for change in one.changes)):
            first, touched = k, False
        if "contact" in findings:
            touched = True
    return tuple(_without_cracked(one) for one in ([] if touched else rounds[first:]))


def _without_cracked(one: Round) -> Round:
    cracked = [found.arrow for found in one.seen(Found) if found.what == "cracked arrow"]
    if not cracked:
        return one
    kept = tuple(
        seen
        for seen in one.observations
        if seen.speaks_of is None or (seen.speaks_of not in cracked and None not in cracked)
    )
    return replace(one, observations=kept)


def segments_of(rounds: Sequence[Round]) -> list[Segment]:
    """The pieces of a log, in order; none before the first in which anything was measured."""
    found: list[list[Round]] = []
    between: list[Unsettled | None] = []
    for k, one in enumerate(rounds):
        happened = _unsettled(one)
        if k == 0 or happened is not None or one.version != rounds[k - 1].version:
            found.append([])
            between.append(happened or Unsettled())
        found[-1].append(one)
    pieces = [Segment(tuple(r), what) for r, what in zip(found, between, strict=True)]
    first = next((k for k, one in enumerate(pieces) if one.measures), max(len(pieces) - 1, 0))
    kept = pieces[first:]
    return [replace(kept[0], unsettled=None), *kept[1:]] if kept else []


def _unsettled(one: Round) -> Unsettled | None:
    loose = any(found.what == "loose part" for found in one.seen(Found))
    visits = one.stage == "visit"
    if not (one.changes or loose or visits):
        return None
    return Unsettled(one.changes, loose, (one.years or 0.0) if visits else None, one.puts_back)
