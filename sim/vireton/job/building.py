"""From the tables of a job file to its rounds, each as it should have been typed."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

from vireton.bow.setting import AT_START, BowSetting
from vireton.files.places import key_lines, line_of
from vireton.files.problems import Problem
from vireton.job.format import RoundKeys
from vireton.job.intake import Paperwork
from vireton.tuning.changes import Change
from vireton.tuning.observations import Film, Group, Looked, Observation, Tear, WalkbackPoint
from vireton.tuning.observations.found import Found
from vireton.tuning.rounds import Round

_YEAR = 365.25


@dataclass(frozen=True)
class Numbers:
    """Numbers of bow and arrow that hold for some rounds.

    ``text`` of the setup file, None for the file as it is; ``sets``: what changes put in its place,
    by dotted key; ``weight``: times the draw weight, for turns of the limb bolts alone.
    """

    text: str | None = None
    sets: tuple[tuple[str, str], ...] = ()
    weight: float = 1.0

    def after(self, changes: Sequence[Change]) -> "Numbers":
        """Those after some changes."""
        sets, weight = dict(self.sets), self.weight
        for one in changes:
            sets.update(one.sets)
            if "bow.draw_weight" in dict(one.sets):
                weight = 1.0
            elif one.turns and one.kind.per_turn:
                weight *= 1.0 + one.kind.per_turn * one.turns
        return replace(self, sets=tuple(sets.items()), weight=weight)


@dataclass(frozen=True)
class Built:
    """The rounds of a file, what stands beside them, and the numbers by their versions."""

    rounds: tuple[Round, ...]
    paperwork: tuple[Paperwork, ...]
    versions: tuple[Numbers, ...]
    problems: tuple[Problem, ...]


def build(
    tables: Sequence[RoundKeys], numbers: Sequence[int], text: str, kept: str | None
) -> Built:
    """The rounds of a file, each with the setting that was carried on to it or corrected later.

    Args:
        tables: the rounds as they stand in the file, in order.
        numbers: of each; one that the file leaves out was counted on.
        text: the file's own, for the lines of problems.
        kept: the setup file as it was when the job began; None where the job does not hold it.

    A round that takes back another while the bow was set otherwise since must say how it stands;
    one that does not is among the problems.
    """
    rounds, problems = _settings(tables, numbers, text)
    undone = {one.undoes for one in tables if one.undoes is not None}
    rounds, versions = _versions(rounds, tables, undone, kept)
    return Built(
        tuple(_aged(rounds, tables)),
        tuple(_paperwork(one) for one in tables),
        versions,
        tuple(problems),
    )


def _settings(
    tables: Sequence[RoundKeys], numbers: Sequence[int], text: str
) -> tuple[list[Round], list[Problem]]:
    rounds: list[Round] = []
    problems = []
    before = {}  # how the bow was set before each round
    setting = AT_START
    for place, (table, number) in enumerate(zip(tables, numbers, strict=True), start=1):
        before[number] = setting
        said = {
            one.name: value
            for one in fields(setting)
            if (value := getattr(table, one.name, None)) is not None
        }
        if table.corrects is not None:
            setting = setting.moved(_correct(rounds, table, said))
        elif table.undoes is not None and not said and before[table.undoes] != setting:
            problems.append(
                Problem(
                    f"round {number}",
                    f"takes back round {table.undoes}, since which the bow was set otherwise: say "
                    f"how it stands now with {', '.join(one.name for one in fields(setting))}",
                    line_of(key_lines(text), ("round", str(place))),
                )
            )
        else:
            setting = replace(setting, **said)
        rounds.append(
            Round(
                number,
                setting,
                () if table.corrects is not None else table.observations(),
                table.note or "",
                table.undoes,
                () if table.corrects is not None else table.changes,
                table.stage,
                puts_back=table.puts_back,
                corrects=table.corrects,
            )
        )
    return rounds, problems


def _correct(rounds: list[Round], table: RoundKeys, said: dict[str, float]) -> BowSetting:
    """Put the round right that this table corrects; the move by which it was off.

    ``said``: how the bow was set, where the table has it. Every later round was counted on from
    there, and goes along.
    """
    at = next(k for k, one in enumerate(rounds) if one.number == table.corrects)
    by = rounds[at].setting.move_to(replace(rounds[at].setting, **said))
    rounds[at] = _amended(rounds[at], table)
    rounds[at:] = [replace(one, setting=one.setting.moved(by)) for one in rounds[at:]]
    return by


def same_entry(one: Observation | Change) -> tuple[object, ...]:
    """What makes two entries of a round the same thing, typed anew."""
    match one:
        case Tear() | Group():
            return type(one), one.arrow
        case Film():
            return type(one), one.arrow, one.clip.view
        case Looked():
            return type(one), one.into
        case Found() | Change():
            return type(one), one.what
        case WalkbackPoint():
            return (type(one),)
    return (type(one),)


def _amended(wrong: Round, table: RoundKeys) -> Round:
    """The round with its entries as the table has them; whatever it has not stays."""
    seen, changes = table.observations(), table.changes
    new = {*map(same_entry, seen), *map(same_entry, changes)}
    return replace(
        wrong,
        observations=(*(o for o in wrong.observations if same_entry(o) not in new), *seen),
        changes=(*(c for c in wrong.changes if same_entry(c) not in new), *changes),
        note=table.note or wrong.note,
        was=wrong.was or wrong,
    )


def _versions(
    rounds: Sequence[Round],
    tables: Sequence[RoundKeys],
    undone: set[int],
    kept: str | None,
) -> tuple[list[Round], tuple[Numbers, ...]]:
    corrected = [t.setup_text for t in tables if t.setup_text and t.setup_is != "changed"]
    texts = [t.setup_text if t.setup_is == "changed" else None for t in tables]
    changed = [k for k, one in enumerate(texts) if one]
    last_corrected = max(
        (k for k, t in enumerate(tables) if t.setup_text and t.setup_is != "changed"), default=-1
    )
    numbers = Numbers(corrected[-1] if corrected else kept)
    versions = [numbers]
    before: dict[int, Numbers] = {}
    found = []
    for k, one in enumerate(rounds):
        before[one.number] = numbers
        # a file that was put right later holds for every round before that
        if k in changed and k > last_corrected:
            numbers = replace(numbers, text=texts[k])
        if one.puts_back in before:
            numbers = before[one.puts_back]
        elif one.number not in undone and one.undoes is None:
            numbers = numbers.after(one.changes)
        if numbers not in versions:
            versions.append(numbers)
        found.append(replace(one, version=versions.index(numbers)))
    return found, tuple(versions)


def _aged(rounds: Sequence[Round], tables: Sequence[RoundKeys]) -> list[Round]:
    """Return visits with the years since the round before."""
    found = []
    last: date | None = None
    for one, table in zip(rounds, tables, strict=True):
        day = _day(table.date)
        if one.stage == "visit" and day is not None and last is not None:
            one = replace(one, years=max((day - last).days, 0) / _YEAR)  # noqa: PLW2901
        last = day or last
        found.append(one)
    return found


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat((text or "")[:10])
    except ValueError:
        return None


def _paperwork(table: RoundKeys) -> Paperwork:
    def said(one: object) -> dict[str, str]:
        return {} if one is None else {k: v for k, v in vars(one).items() if v is not None}

    return Paperwork(
        table.date or "", said(table.measures), said(table.look_over), table.complaint or ""
    )
