"""``rules``: limits that the setup file holds, against its own numbers."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, Span, flat, grid, json_row
from vireton.units.display import (
    BENCH,
    ENERGY,
    FORCE,
    GRAINS_PER_POUND,
    MASS,
    PERCENT,
    SPEED,
    Display,
    Unit,
)

if TYPE_CHECKING:
    from vireton.setup import Setup
    from vireton.studies.rules import ComparedLimit

VERIFY = (
    "These are the numbers of your file against limits that you entered, no more: Vireton does not "
    "know the law. Rules change and have more in them than numbers: check the current text with "
    "the authority of the place before you shoot"
)
_MEASURE = "too close: it may be either side of the limit; measure it better"


class _Limit(NamedTuple):
    """What a limit is about, which way it holds, in what, and the decimals that are shown."""

    what: str
    way: str
    unit: Unit
    us_digits: int
    metric_digits: int


_LIMITS = {
    "least_energy": _Limit("energy at the bow", "at least", ENERGY, 1, 1),
    "least_arrow_mass": _Limit("arrow weight", "at least", MASS, 0, 1),
    "least_mass_per_draw_weight": _Limit("arrow per pound", "at least", GRAINS_PER_POUND, 1, 1),
    "least_draw_weight": _Limit("draw weight", "at least", FORCE, 1, 0),
    "most_draw_weight": _Limit("draw weight", "at most", FORCE, 1, 0),
    "most_speed": _Limit("arrow speed", "at most", SPEED, 0, 1),
    "most_let_off": _Limit("let-off", "at most", PERCENT, 0, 0),
    "most_shaft_diameter": _Limit("shaft diameter", "at most", BENCH, 3, 2),
}
_SAID = {
    "meets": "meets it",
    "fails": "FAILS",
    "too close to tell": "too close",
}


@dataclass(frozen=True)
class CheckRules(shot.OneBow):
    """Compare the setup's numbers with limits that you entered under [[rules]].

    Each with its measuring error; a value whose error reaches the limit is too close to tell. The
    place and the date are shown as you typed them; only the authority knows what holds today.

    >>> import vireton
    >>> [one.outcome for one in vireton.check_rules("examples/orchard_bow.toml").checks]
    ['meets', 'meets', 'meets', 'meets']
    """

    command = "rules"
    function = "check_rules"
    example = "vireton rules examples/orchard_bow.toml"

    setup: "Setup" = asked(*shot.SETUP)

    @property
    def changed(self) -> dict[str, Any]:
        """No sight: nothing is shot."""
        return {"sight_in": float("inf")}

    def answer(self, progress: Progress = in_silence) -> "RuleChecks":
        """Compare each limit. Raises InputProblem where the setup has none."""
        from vireton.studies.rules import compare_rules
        from vireton.units.problems import InputProblem, named

        if not self.setup.rules:
            raise InputProblem(
                f"{named(self.setup.path or self.setup.name)}: there are no [[rules]] to compare "
                'with. Write some at the end of the file: [[rules]], name = "…", place = "…", date '
                '= "…" and a limit such as least_energy = "40 ft·lbf". `vireton new --template` '
                "explains them"
            )
        speeds = self.setup.uncertainty["arrow_speed"]
        return RuleChecks(self, compare_rules(self.rig, self.setup.rules, speeds))


@dataclass(frozen=True, repr=False)
class RuleChecks(Answer[CheckRules]):
    """What :class:`CheckRules` found: ``checks``, a
    :class:`~vireton.studies.rules.ComparedLimit` for each limit, SI.
    """

    checks: "list[ComparedLimit]"

    head = (Column("verify", words="what these numbers cannot say"),)
    columns = (
        Column("rule"),
        Column("place"),
        Column("date", words="these three as typed"),
        Column("limit", words="which one"),
        Column("outcome", words="meets, fails or too close to tell"),
    )
    #: The two numbers of each kind of limit, in the unit that its key names.
    numbers: ClassVar = {
        name: (Column("limit", one.unit), Column("value", one.unit, band="range"))
        for name, one in _LIMITS.items()
    }
    rows_key = ""
    has_figure = False

    def __repr__(self) -> str:
        told = "; ".join(f"{one.limit} {one.outcome}" for one in self.checks)
        return f"<RuleChecks of {self.question.rig.bow.name}: {told}>"

    def facts(self) -> dict[str, Any]:
        """What these numbers cannot say."""
        return {"verify": VERIFY}

    def _told(self) -> Iterator[dict[str, Any]]:
        for one in self.checks:
            rule = one.rule
            words = {"rule": rule.name, "place": rule.place, "date": rule.date}
            words |= {"limit": one.limit, "outcome": one.outcome}
            sizes = {"limit": one.bound, "value": Span(one.value, one.low, one.high)}
            yield json_row(self.columns, words) | json_row(self.numbers[one.limit], sizes)

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a limit, units in the keys."""
        return [flat(one) for one in self._told()]

    def body(self) -> dict[str, Any]:
        """Every limit."""
        return {"comparisons": list(self._told())}

    def page(self, display: Display) -> list[Part]:
        """A table for each rule."""
        from vireton.bow.cautions import SHOOTING

        rules = dict.fromkeys((o.rule.name, o.rule.place, o.rule.date) for o in self.checks)
        close = any(one.outcome == "too close to tell" for one in self.checks)
        return [
            Lines((self._lead(),)),
            *(self._table(*rule, display) for rule in rules),
            Lines((*((_MEASURE,) if close else ()), VERIFY, SHOOTING)),
        ]

    def _lead(self) -> str:
        """How many limits hold, by the numbers alone."""
        rig = self.question.rig
        outcomes = [one.outcome for one in self.checks]
        counted = [
            f"{outcomes.count(outcome)} {words}"
            for outcome, words in (
                ("meets", "met"),
                ("fails", "NOT met"),
                ("too close to tell", "too close to tell"),
            )
            if outcome in outcomes
        ]
        return (
            f"{rig.bow.name} with {rig.fletched.parts.name}, {len(outcomes)} limits, by the "
            f"numbers of the setup file: {', '.join(counted)}"
        )

    def _table(self, name: str, place: str, date: str, display: Display) -> Grid:
        heads = ("what", "limit", "here", "by the numbers")
        rows = [
            dict(zip(heads, _cells(one, display), strict=True))
            for one in self.checks
            if (one.rule.name, one.rule.place, one.rule.date) == (name, place, date)
        ]
        columns = [Column(head, title=head) for head in heads]
        return grid(f"{name}; {place}; as of {date}", columns, rows, display, left=(0, 3))


def _cells(one: "ComparedLimit", display: Display) -> tuple[str, ...]:
    limit = _LIMITS[one.limit]
    unit, size = display.unit(limit.unit)
    digits = limit.us_digits if display.name == "us" else limit.metric_digits
    bound, value, low, high = (
        f"{each / size:.{digits}f}" for each in (one.bound, one.value, one.low, one.high)
    )
    return (
        limit.what,
        f"{limit.way} {bound} {unit}",
        f"{value} ({low} to {high})",
        _SAID[one.outcome],
    )


check_rules = function_of(CheckRules, RuleChecks)
