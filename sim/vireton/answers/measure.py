"""``measure``: which bench measurement would narrow this bow's answer most, and how to do it."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, grid
from vireton.units.display import LIKE_YOURS, OPEN, SHARE, SMALL, Display, digits_for, plain
from vireton.units.numbers import percent
from vireton.units.text import capital

if TYPE_CHECKING:
    from vireton.setup import Setup
    from vireton.studies.measuring import Buys, Worth
    from vireton.uncertain.measurements import Measurement

#: A measurement is told how to do when it takes this share off a band.
_TELLING = 0.05
#: And an input that no measurement tells is named from this share of a band on.
_DECIDES = 0.1


@dataclass(frozen=True)
class PlanMeasurements(shot.OneBow):
    """Say which measurement at the bench would narrow this bow's answer most, and how to do it.

    The answer is what 1/16 in of rest opens between bare shaft and fletched arrow at 20 yd. Each
    measurement is made up with its errors on bows like yours, and what it leaves is worked out
    anew.
    Takes some ten seconds.

    >>> import vireton
    >>> plan = vireton.plan_measurements(vireton.load(), draws=32)
    >>> plan.order[0]
    'string_mass'
    """

    command = "measure"
    function = "plan_measurements"
    example = "vireton measure examples/mill_bow.toml"

    setup: "Setup" = asked(*shot.SETUP)
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    def answer(self, progress: Progress = in_silence) -> "MeasuringPlan":
        """Narrow each input as its measurement would, and fly all plausible bows anew."""
        from vireton.studies.measuring import worth_of_measuring
        from vireton.units.problems import InputProblem, named

        if not self.rig.fletched.is_fletched:
            raise InputProblem(
                f"{named(self.setup.path or self.setup.name)}: what measuring buys is told by bare "
                "and fletched arrows: give arrow.vanes"
            )
        return MeasuringPlan(
            self,
            worth_of_measuring(
                self.rig,
                self.setup.uncertainty,
                self.setup.measured,
                draws=self.draws,
                seed=self.seed,
                progress=progress,
            ),
        )


_SIDES = ("right", "up")


@dataclass(frozen=True, repr=False)
class MeasuringPlan(Answer[PlanMeasurements]):
    """What :class:`PlanMeasurements` found: ``worth``, see
    :class:`~vireton.studies.measuring.Worth`.
    """

    worth: "Worth"

    columns = (
        Column("measurement", words="its key in the setup file's [measured], or the one it has"),
        Column("name", title="", words="for people"),
        Column("minutes", title="minutes", digits=0, signed=False, words="at the bench"),
        *(
            Column(
                f"width_{side}",
                SMALL,
                f"{title},",
                f"expected width of the band {title}",
                signed=False,
            )
            for side, title in zip(_SIDES, ("sideways", "up"), strict=True)
        ),
        Column("left_right", SHARE, words="the same of what it is now; sideways"),
        Column("left_up", SHARE, words="up and down"),
        Column("needs", words="what it takes"),
        Column("how", words="three lines"),
        Column("typed", words="as the setup file takes it in"),
    )
    together = (
        Column("measurements", title="together", words="their keys"),
        *columns[2:7],
    )
    head = (
        Column(
            "change_right",
            SMALL,
            words="bare minus fletched at 20 yd by 1/16 in of rest right, as it is known now",
            band="range",
        ),
        Column("change_up", SMALL, words="the same by 1/16 in up", band="range"),
        Column("draws", words="bows like yours behind the bands, at least"),
        Column("seed"),
        Column("measured", words="keys of the measurements that the setup file holds"),
        Column("together", rows=together, words="the first so many together"),
    )
    inner = {"together": together}
    rows_key = "measurements"
    has_figure = False

    def __repr__(self) -> str:
        return f"<MeasuringPlan of {self.question.rig.bow.name}: {', '.join(self.order[:3])}>"

    @property
    def order(self) -> tuple[str, ...]:
        """Keys of what is not measured yet, the most telling first."""
        return tuple(one.keys[0] for one in self.worth.alone)

    @cached_property
    def telling(self) -> "list[Buys]":
        """Those that take something off a band, the most telling first."""
        return [one for one in self.worth.alone if min(one.left) <= 1.0 - _TELLING]

    def facts(self) -> dict[str, Any]:
        """What is known now, and what several would leave."""
        now = self.worth.now
        return {
            "change_right": now[0],
            "change_up": now[1],
            "draws": self.worth.draws,
            "seed": self.question.seed,
            "measured": list(self.question.setup.measured),
            "together": [
                {"measurements": list(one.keys), **self._of(one)} for one in self.worth.together
            ],
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """A row each, the most telling first."""
        for one in self.worth.alone:
            row = _row(one.keys[0])
            yield {
                "measurement": row.key,
                "name": row.words,
                **self._of(one),
                "needs": row.needs,
                "how": list(row.how),
                "typed": list(row.typed),
            }

    def _of(self, one: "Buys") -> dict[str, Any]:
        widths = self.worth.width(one)
        return {
            "minutes": one.minutes,
            **{f"width_{side}": float(widths[k]) for k, side in enumerate(_SIDES)},
            **{f"left_{side}": min(1.0, float(one.left[k])) for k, side in enumerate(_SIDES)},
        }

    def page(self, display: Display) -> list[Part]:
        """The most telling first; the table; how to do it."""
        from vireton.bow.cautions import MEASURING

        parts: list[Part] = [Lines((self._lead(display),))]
        if self.worth.alone:
            parts.append(self._table(display))
        parts.append(Lines((*self._together(display), self._now(display))))
        for one in self.telling:
            row = _row(one.keys[0])
            parts.append(Lines((f"{capital(row.verb)}, {row.minutes:.0f} minutes",), bold=True))
            parts.append(Lines((f"needs {row.needs}", *row.how, _typed(row))))
        closing = (*self._measured(), *self._untold(), *self.notes, MEASURING)
        return [*parts, Lines(()), Lines(closing)]

    def _lead(self, display: Display) -> str:
        if not self.telling:
            return "no measurement at the bench would narrow this bow's answer much: shoot"
        best = self.telling[0]
        row = _row(best.keys[0])
        axis = int(best.left[1] < best.left[0])
        was, then = (float(self.worth.width(one)[axis]) for one in (None, best))
        side = ("sideways", "up and down")[axis]
        return (
            f"{row.verb} first ({row.minutes:.0f} minutes): {side} the bracket shrinks by "
            f"{percent(1.0 - then / was)}, from {_wide(was, display)} to about "
            f"{_wide(then, display)}"
        )

    def _now(self, display: Display) -> str:
        sides = []
        for k in (0, 1):
            ends = (float(getattr(self.worth.now, end)[k]) for end in ("low", "high"))
            low, high = (one / display.small_size for one in ends)
            digits = max(1, digits_for(high - low))
            sides.append(f"{plain(low, digits)} to {plain(high, digits)} {display.small}")
        return (
            f"as it is known now, 1/16 in of rest parts bare from fletched at 20 yd by {sides[0]} "
            f"sideways {OPEN} (move right), {sides[1]} up and down (move up), on {LIKE_YOURS}"
        )

    def _table(self, display: Display) -> Grid:
        shown = [one for one in self.columns if one.key in ("name", "minutes", *_WIDTHS)]
        title = "how wide the bracket is after each, by itself"
        return grid(title, shown, self.values(), display, left=(0,))

    def _together(self, display: Display) -> Iterator[str]:
        for one in self.worth.together:
            widths = self.worth.width(one)
            rows = [_row(key) for key in one.keys]
            every = len(rows) == len(self.worth.alone)
            names = "all of them" if every else " and ".join(row.words for row in rows)
            yield (
                f"{names} ({one.minutes:.0f} minutes): sideways {_wide(widths[0], display)}, up "
                f"and down {_wide(widths[1], display)} wide"
            )

    def _measured(self) -> list[str]:
        known = self.question.setup.measured
        if not known:
            return []
        return [f"measured already: {', '.join(_row(key).words for key in known)}"]

    def _untold(self) -> list[str]:
        """What decides a good part of the band and no bench here can tell."""
        from vireton.uncertain.inputs import words_of
        from vireton.uncertain.measurements import MEASUREMENTS

        told = {one.input for row in MEASUREMENTS for one in row.reads}
        open_still = [
            words_of(key)
            for key, share in self.worth.deciders.items()
            if share >= _DECIDES and key not in told
        ]
        if not open_still:
            return []
        said = ", ".join(open_still)
        return [f"no measurement here tells {said} in a shot: only this bow's own moves do"]


_WIDTHS = tuple(f"width_{side}" for side in _SIDES)


def _row(key: str) -> "Measurement":
    from vireton.uncertain.measurements import measurement

    return measurement(key)


def _wide(meters: float, display: Display) -> str:
    size = meters / display.small_size
    return f"{size:.1f} {display.small}" if math.isfinite(size) else f"? {display.small}"


def _typed(row: "Measurement") -> str:
    table = row.where.rpartition(".")[0]
    return f"then write in the setup file, under [{table}]: {'; '.join(row.typed)}"


plan_measurements = function_of(PlanMeasurements, MeasuringPlan)
