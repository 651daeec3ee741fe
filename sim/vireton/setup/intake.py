"""What is asked when a setup file is begun: one row a question, in the order of a bench.

A row names a key of the setup file and asks for it in the trade's words. How an answer is read, its
range, its example and its help come from the file's own models; every face that asks (a terminal, a
page) takes them from here. To add a question is to add a row.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass

from vireton.setup.load import parse_setup
from vireton.setup.reading import description_of, read_models, single_kinds
from vireton.setup.usual import Known, fill
from vireton.units.kind import Kind
from vireton.units.kinds import Choice, Count, Text
from vireton.units.problems import InputProblem
from vireton.units.quantities import is_bare
from vireton.units.quantity import Quantity
from vireton.units.text import split

#: The one line of comment in the file.
_HEAD = "# What is not here is left open; `vireton new --template` shows all keys."

_SPINE = "arrow.shaft.spine"


@dataclass(frozen=True)
class Question:
    """One question of the intake.

    ``key`` of the setup file; ``ask`` in the trade's words; ``like`` an answer as one would type
    it. ``usual`` is taken where nothing is typed; without it the key is then left open. ``needed``:
    nothing runs without it. ``says`` is told for help where the models' own words do not do.
    """

    key: str
    ask: str
    like: str
    usual: str = ""
    needed: bool = False
    says: str = ""

    @property
    def kind(self) -> Kind:
        """How the file reads it."""
        return single_kinds()[self.key]

    @property
    def allowed(self) -> str:
        """Its range, or its words."""
        match self.kind:
            case Quantity(low=low, high=high):
                return f"{low} to {high}"
            case Count(low=low, high=high):
                return f"{low} to {high}"
            case Choice(words=words):
                return f"{', '.join(words[:-1])} or {words[-1]}"
        return "one line of text"

    @property
    def help(self) -> str:
        """What is meant, what may be typed and what happens without."""
        said = (self.says or description_of(self.key)).rstrip(".")
        return f"{said}. Allowed: {self.allowed}, such as {self.like}. {self._left_open}."

    @property
    def _left_open(self) -> str:
        if self.needed:
            return "Nothing runs without it"
        if self.key == _SPINE:
            return "Left open, the shaft counts as one that does not bend"
        if isinstance(self.kind, Text):
            return "Left open, it gets a plain name"
        widens = "" if self.usual else ", and answers are less sure"
        return f"Left open, a usual one stands in{widens}"


QUESTIONS: tuple[Question, ...] = (
    Question("bow.draw_weight", "Draw weight", "62#", "60 lbf", needed=True),
    Question("bow.draw_length", "AMO draw length", "28 1/2 in", "29 in", needed=True),
    Question("bow.arrow_speed", "Arrow speed by chronograph", "280 fps", "280 fps", needed=True),
    Question(_SPINE, "Static spine of the shaft", "340", "0.340 in"),
    Question(
        "arrow.length",
        "Arrow length, nock throat to the front of the shaft",
        "28 1/2 in",
        "28 1/2 in",
        needed=True,
    ),
    Question(
        "arrow.mass",
        "Weight of the finished arrow",
        "415 gr",
        "415 gr",
        needed=True,
        says="The whole arrow with point, nock and vanes, on a grain scale",
    ),
    Question("bow.name", "What you call the bow", "Mill bow", says="It stands over every answer"),
    Question(
        "bow.hand",
        "Hand that draws the string, right or left",
        "right",
        "right",
        says="It changes words such as in and out, and no number",
    ),
    Question("bow.brace_height", "Brace height", "6 1/2 in"),
    Question(
        "bow.let_off",
        "Let-off",
        "80 %",
        says="How much of the peak weight is gone at full draw: 60 lbf and 12 lbf held is 80 %",
    ),
    Question(
        "sight.sight_in",
        "Distance that the sight is set for",
        "20 yd",
        "20 yd",
        says="Where the fletched arrow hits what you aim at; with several pins, the nearest",
    ),
    Question("arrow.vanes.count", "How many vanes", "3"),
    Question("arrow.vanes.length", "Length of a vane", "2 in"),
    Question("arrow.vanes.height", "Height of a vane", "1/2 in"),
    Question(
        "arrow.point.mass", "Weight of the point", "100 gr", says="The point alone, without insert"
    ),
    Question("arrow.shaft.outside_diameter", "Outside diameter of the shaft", "0.246 in"),
    Question(
        "bow.rest.type",
        "Kind of rest",
        "drop-away",
        says="It decides how long the rest holds the arrow in the shot",
    ),
    Question("bow.rest.step", "Smallest move of the rest", "1/32 in", "1/32 in"),
)

BY_KEY = {one.key: one for one in QUESTIONS}


def written(key: str, typed: str) -> str | int:
    """An answer as the setup file holds it.

    A number without a unit takes the unit of the key's example; a spine may be its number, ``340``,
    and a mark of the trade becomes the unit that it stands for.
    Raises InputProblem in one line, with what is allowed.
    """
    kind = single_kinds()[key]
    typed = typed.strip()
    value: str | int = typed
    match kind:
        case Quantity():
            value = _with_unit(typed, kind)
        case Count():
            value = int(typed) if re.fullmatch(r"[0-9]{1,9}", typed) else typed
        case Choice(words=words):
            plain = typed.lower().replace(" ", "-")
            value = next((one for one in words if one == plain), typed)
    try:
        kind.read(value)
    except ValueError as problem:
        allowed = f"; allowed: {BY_KEY[key].allowed}" if key in BY_KEY else ""
        told = str(problem)
        raise InputProblem(told if " is outside " in told else f"{told}{allowed}") from None
    if isinstance(kind, Text):
        value = kind.read(value)
    return value


def _with_unit(typed: str, kind: Quantity) -> str:
    typed = kind.completed(typed)
    if not is_bare(typed):
        return kind.written(typed)
    number, unit = split(typed)[0], split(kind.like)[1]
    if unit == "%" and 0.0 < number <= 1.0:  # 0.8 is meant for 80 %
        return f"{100.0 * number:g} %"
    return f"{typed} {unit}"


def misfit(answers: Mapping[str, str]) -> str:
    """Why these answers cannot belong together, in one line; empty where they can so far.

    Raises InputProblem for an answer that cannot be read.
    """
    _, problems = read_models(fill(_tables(answers)), {})
    found = (one for one in problems if not one.text.startswith("is missing"))
    return next((f"{one.key}: {one.text}" for one in found), "")


def taken(key: str, typed: str, before: Mapping[str, str]) -> str:
    """An answer as the file holds it, once it is sure that it can stand beside those ``before``.

    Raises InputProblem in one line.
    """
    value = str(written(key, typed))
    if problem := misfit({**before, key: value}):
        raise InputProblem(problem.removeprefix(f"{key}: "))
    return value


def setup_text(answers: Mapping[str, str]) -> str:
    """The short setup file of these answers: what was typed, by key of the file.

    Only these keys, under their tables, in the order of the models. Raises InputProblem for an
    answer that cannot be read; whether they make a whole setup is for reading the file.
    """
    lines = [_HEAD]
    table = ""
    for key in sorted(answers, key=_place):
        above, _, name = key.rpartition(".")
        if above != table:
            lines += ["", f"[{above}]"]
            table = above
        value = json.dumps(written(key, answers[key]), ensure_ascii=False)
        lines.append(f"{name} = {value}")
    return "\n".join(lines) + "\n"


def left_open(text: str) -> tuple[str, ...]:
    """What this setup file leaves open, in words. Raises SetupError for what is no setup."""
    return parse_setup(text).left_open


def _tables(answers: Mapping[str, str]) -> dict[str, object]:
    known = Known({})
    for key, typed in answers.items():
        known.put(key, written(key, typed))
    return known.data


def _place(key: str) -> tuple[int, str, int]:
    """Keys table by table, those of one table together; a table before those in it."""
    keys = list(single_kinds())
    above = key.rpartition(".")[0]
    first = next(i for i, one in enumerate(keys) if one.rpartition(".")[0] == above)
    return first, above, keys.index(key)
