"""A tuner that knows its last turns: asking twice about the same rounds costs once.

One entry at the bench asks for the same rounds up to three times: whether what was typed fits, what
to do next, and, an entry later, what the last move did.
"""

from collections import OrderedDict
from collections.abc import Collection, Hashable, Sequence
from dataclasses import dataclass, field, replace
from typing import Self

from vireton.bow.setting import BowSetting
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.rounds import Round
from vireton.tuning.stories import Story

_MOST = 8


@dataclass(frozen=True)
class Remembering(Tuner):
    """As a :class:`~vireton.tuning.loop.Tuner`; copies of it with other wishes share ``known``."""

    known: "OrderedDict[Hashable, Turn]" = field(
        default_factory=OrderedDict, repr=False, compare=False
    )

    @classmethod
    def of_tuner(cls, tuner: Tuner) -> Self:
        """The same tuner."""
        return cls(**vars(tuner))

    def turn(
        self,
        rounds: Sequence[Round],
        setting: BowSetting | None = None,
        denied: Collection[Story] = (),
    ) -> Turn:
        """As the tuner's, which it asks only for what it has not just worked out."""
        key = (
            tuple(_bare(one) for one in rounds),
            None if setting is None else _spot(setting),
            tuple(denied),
            (self.tolerance, self.aim, self.costs, self.paper_only),
        )
        found = self.known.pop(key, None)
        if found is None:
            found = super().turn(rounds, setting, denied)
        self.known[key] = found
        while len(self.known) > _MOST:
            self.known.popitem(last=False)
        return found


def _bare(one: Round) -> Hashable:
    """All of a round that the tuning reads."""
    return replace(one, note="", was=None, setting=_spot(one.setting))


def _spot(setting: BowSetting) -> BowSetting:
    """The setting without the rounding of sums."""
    return BowSetting(*(round(one, 10) for one in vars(setting).values()))
