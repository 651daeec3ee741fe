"""What a job is beside its rounds: whose bow, what is complained of, measures, the look-over.

Everything is optional. A measure is one row of :data:`MEASURES`: its key in the file, its words and
its kind; a text where no number says it.
"""

import re
from dataclasses import dataclass, field
from typing import Annotated, Any

from pydantic import create_model

from vireton.units.bench_words import problem
from vireton.units.kind import Kind
from vireton.units.kinds import Text
from vireton.units.numbers import INCH
from vireton.units.quantity import Quantity
from vireton.units.table import Table, may
from vireton.units.text import as_typed

_SHORT = Text("even", 120)


@dataclass(frozen=True)
class Measure:
    """``words``: as the bench says it, with ``aliases``. ``kind`` reads its value.

    ``moved``: what it usually does when it has moved by itself (common practice, no source);
    ``same`` SI: less is no move.
    """

    words: str
    kind: Kind
    help: str
    aliases: tuple[str, ...] = ()
    moved: str = ""
    same: float = 0.0


def _length(low: str, high: str, like: str) -> Quantity:
    return Quantity("length", low, high, like)


#: What is measured of a bow as it comes in and as it leaves, in the order of the sheet.
MEASURES: dict[str, Measure] = {
    "draw_weight": Measure(
        "draw weight",
        Quantity("force", "1 lbf", "200 lbf", "60 lb"),
        "On a bow scale",
        ("weight",),
        "the shaft acts stiffer with less weight, weaker with more; look at limb bolts and string",
        4.0,
    ),
    "let_off": Measure(
        "let-off",
        Quantity("fraction", "0 %", "95 %", "80 %"),
        "At full draw",
        ("let off",),
        "look at the stops and the modules",
        0.01,
    ),
    "draw_length": Measure(
        "draw length",
        _length("12 in", "40 in", "29 in"),
        "AMO draw length",
        ("draw",),
        "string or cables have crept; speed and timing go with it",
        INCH / 16.0,
    ),
    "brace_height": Measure(
        "brace height",
        _length("3 in", "12 in", "6 1/2 in"),
        "Grip to string",
        ("brace",),
        "the string has crept; the arrow leaves later or earlier, and the sight moves",
        INCH / 32.0,
    ),
    "axle_to_axle": Measure(
        "axle to axle",
        _length("20 in", "60 in", "33 in"),
        "Between the axles",
        ("ata",),
        "cables have crept, or the limb bolts have turned",
        INCH / 32.0,
    ),
    "tiller_top": Measure(
        "tiller top",
        _length("3 in", "15 in", "8 in"),
        "String to the upper limb, at the riser",
        ("top tiller",),
        "one limb bolt has turned; tears go high or low",
        INCH / 32.0,
    ),
    "tiller_bottom": Measure(
        "tiller bottom",
        _length("3 in", "15 in", "8 in"),
        "String to the lower limb, at the riser",
        ("bottom tiller",),
        "one limb bolt has turned; tears go high or low",
        INCH / 32.0,
    ),
    "timing": Measure(
        "timing", _SHORT, "Whether both cams turn over together", (), "tears go high or low"
    ),
    "peep": Measure(
        "peep",
        _length("2 in", "12 in", "5 1/4 in"),
        "Nock to the peep",
        (),
        "the whole group goes up or down",
        INCH / 32.0,
    ),
    "nock_height": Measure(
        "nock height",
        _length("-1 in", "1 in", "1/8 in"),
        "Nocking point above square with the rest",
        ("nocking point", "nock"),
        "a nocking point that has slid up acts like a rest that has gone down",
        INCH / 64.0,
    ),
    "center_shot": Measure(
        "center shot",
        _length("-1 in", "3 in", "13/16 in"),
        "Riser to the middle of the shaft",
        ("centre shot", "centershot"),
        "the rest has moved sideways: bare shafts tell",
        INCH / 64.0,
    ),
    "rest": Measure("rest", _SHORT, "What rest, and how it stands", (), "it may let go elsewhere"),
    "speed": Measure(
        "arrow speed",
        Quantity("speed", "20 fps", "650 fps", "280 fps"),
        "By chronograph",
        ("speed",),
        "sight marks move, the far ones most",
        0.5,
    ),
    "string": Measure(
        "string",
        _SHORT,
        "Its age and state",
        ("string age",),
        "a new string settles over some hundred shots",
    ),
    "cables": Measure(
        "cables",
        _SHORT,
        "Their age and state",
        ("cable", "cable age"),
        "new cables settle over some hundred shots",
    ),
    "arrows": Measure(
        "arrows",
        _SHORT,
        "Which, how many, how long, how heavy",
        ("arrow",),
        "other arrows answer differently",
    ),
    "sight": Measure("sight", _SHORT, "Where it stands", (), "the group follows it"),
}

#: What is looked over before anything is shot.
SAFETY: dict[str, str] = {
    "limbs": "Limbs: cracks, splinters, pockets",
    "strings": "String and cables: frayed strands, serving, seats",
    "arrows": "Arrows: flexed, nocks and inserts sound",
}

FINE = "ok"
_SAFETY_WORDS = {
    "limbs": ("limb",),
    "strings": ("string and cables", "string", "cables", "cable"),
    "arrows": ("arrow",),
}


@dataclass(frozen=True)
class Written(Kind):
    """A value of another kind that is kept as it was written."""

    item: Kind

    def read(self, value: object) -> str:
        """The text. Raises ValueError as the kind does."""
        self.item.read(value)
        return " ".join(str(value).split())

    def describe(self) -> dict[str, Any]:
        """As the kind."""
        return self.item.describe()

    @property
    def example(self) -> str:
        """Of the kind."""
        return self.item.example


def _table(name: str, keys: dict[str, tuple[Kind, str]]) -> type[Table]:
    fields: dict[str, Any] = {
        key: (Annotated[str | None, Written(kind)], may(told)) for key, (kind, told) in keys.items()
    }
    return create_model(name, __base__=Table, **fields)


#: ``[round.measures]``: the bow as it was measured.
MeasuresTable = _table("MeasuresTable", {key: (m.kind, m.help) for key, m in MEASURES.items()})
#: ``[round.look_over]``: "ok", or what was seen.
LookOverTable = _table("LookOverTable", {key: (_SHORT, told) for key, told in SAFETY.items()})


class JobTable(Table):
    """``[job]``: whose bow, and why it came."""

    bow: Annotated[str | None, Text("Mill bow")] = may("Which bow")
    owner: Annotated[str | None, Text("A. Customer")] = may("Whose, in your own words")
    date: Annotated[str | None, Text("2026-05-01", 40)] = may("When it was taken in")
    complaint: Annotated[str | None, Text("bare shafts fly left", 500)] = may(
        "What is complained of"
    )


@dataclass(frozen=True)
class Intake:
    """What ``[job]`` says; empty texts where nothing is known."""

    bow: str = ""
    owner: str = ""
    date: str = ""
    complaint: str = ""


@dataclass(frozen=True)
class Paperwork:
    """What a round holds that no arrow told.

    ``measures`` and ``look_over`` by their keys, as written; ``complaint`` of a return visit.
    """

    date: str = ""
    measures: dict[str, str] = field(default_factory=dict)
    look_over: dict[str, str] = field(default_factory=dict)
    complaint: str = ""

    @property
    def not_fine(self) -> dict[str, str]:
        """What the look-over did not pass."""
        return {key: said for key, said in self.look_over.items() if said.lower() != FINE}


def measure_si(key: str, text: str) -> float | None:
    """A measure in SI; None where it is words."""
    value = MEASURES[key].kind.read(text)
    return value if isinstance(value, float) else None


def parse_measures(text: str, where: str = "") -> dict[str, str]:
    """``"draw weight 61 lb, brace 6 7/8 in, timing even"`` by key. Raises InputProblem."""
    names = {word: key for key, one in MEASURES.items() for word in (one.words, *one.aliases)}
    example = 'write it like "draw weight 61 lb, brace 6 7/8 in, timing even"'
    found: dict[str, str] = {}
    for piece in filter(None, (" ".join(one.split()) for one in text.split(","))):
        key, value = _named(piece, names)
        if key is None or not value:
            said = f"{as_typed(piece)} is no measure" if key is None else f"{piece}: how much?"
            known = ", ".join(one.words for one in MEASURES.values())
            raise problem(where, f"{said}; {example}. Measures: {known}")
        try:
            kind = MEASURES[key].kind
            value = kind.completed(value) if isinstance(kind, Quantity) else value
            found[key] = Written(kind).read(value)
        except ValueError as wrong:
            raise problem(where, f"{MEASURES[key].words}: {wrong}") from None
    return found


def parse_look_over(text: str, where: str = "") -> dict[str, str]:
    """``"ok"``, or ``"limbs ok, strings frayed at the loop, arrows ok"`` by key."""
    if text.strip().lower() in (FINE, "all ok"):
        return dict.fromkeys(SAFETY, FINE)
    names = {word: key for key, words in _SAFETY_WORDS.items() for word in (key, *words)}
    found: dict[str, str] = {}
    for piece in filter(None, (" ".join(one.split()) for one in text.split(","))):
        key, value = _named(piece, names)
        if key is None or not value:
            raise problem(
                where,
                f"{as_typed(piece)} is nothing that is looked over; write it like "
                '"limbs ok, strings frayed at the loop, arrows ok", or "ok" for all of them',
            )
        found[key] = value
    return found


def _named(piece: str, names: dict[str, str]) -> tuple[str | None, str]:
    low = piece.lower()
    for word in sorted(names, key=len, reverse=True):
        if low == word or re.match(rf"{re.escape(word)}[ :]", low):
            return names[word], piece[len(word) :].strip(" :")
    return None, piece
