"""What a technician changes on a bow beside moving the rest: one row a kind, and its words.

How a change bears on what is known of the bow is said by its :class:`Loosens`, in the size of the
rest move that would do the same; :mod:`vireton.tuning.transitions` carries it out.
"""

from dataclasses import dataclass, field
from typing import Literal

from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.numbers import INCH
from vireton.units.text import UnitSystem

Amount = Literal["right", "up", "turns"]

What = Literal[
    "loop",
    "cam spacer",
    "yoke",
    "cable",
    "draw weight",
    "draw length",
    "new string",
    "new cable",
    "point",
    "arrow",
    "vanes",
    "nock turned",
    "bare shaft",
    "sight",
    "peep",
    "new rest",
    "other",
]


@dataclass(frozen=True)
class Loosens:
    """What a change leaves open. All sizes are our choice, no source.

    ``right``, ``up``: standard deviations, m of rest, of what it does to the launch: a share of the
    amount, and what comes on top. ``unsaid``: the amount that is taken where none is given.
    ``moves_up``: m of rest up a m of amount up, on average. ``errors``, ``gains``: standard
    deviations as shares of the launch and of the answers to a rest move. ``sign``: probability that
    the sideways answer turns round. ``anew``: share of what is open sideways of a bow that nobody
    has shot, launch and answers, which is open again: what cancels in one shaft does not in another
    (chosen by validation/tuning/changes.py). ``bare``, ``tear``: whether what the bare shaft does
    by itself, and what the paper shows beside the launch, are open again.
    """

    right: tuple[float, float] = (0.0, 0.0)
    up: tuple[float, float] = (0.0, 0.0)
    unsaid: float = 0.0
    moves_up: float = 0.0
    errors: float = 0.0
    gains: float = 0.0
    sign: float = 0.0
    anew: float = 0.0
    bare: bool = False
    tear: bool = False


@dataclass(frozen=True)
class ChangeKind:
    """A row of :data:`CHANGE_KINDS`.

    ``words``: what it is called. ``takes``: amounts that may be given. ``sets``: keys of the setup
    file, or tables of it, that it may set; ``number``: the key of a quantity that comes alone.
    ``usually``: what it does on most bows. ``aliases``: other words for it. ``is_undone``: whether
    putting it back is a thing that can be done. ``per_turn``: draw weight a turn, as a share.
    """

    words: str
    loosens: Loosens
    usually: str
    takes: tuple[Amount, ...] = ()
    sets: tuple[str, ...] = ()
    number: str = ""
    aliases: tuple[str, ...] = ()
    is_undone: bool = True
    per_turn: float = 0.0


_32ND, _64TH, _16TH = INCH / 32.0, INCH / 64.0, INCH / 16.0

#: Every kind, in the order in which a bow is worked over; ``usually`` is common practice, no
#: source.
CHANGE_KINDS: dict[What, ChangeKind] = {
    "loop": ChangeKind(
        "loop retied",
        Loosens(right=(0.0, _64TH), up=(0.3, _64TH), unsaid=_32ND, moves_up=-1.0),
        "a nocking point that goes up acts like a rest that goes down",
        takes=("up",),
        aliases=("d-loop", "d loop"),
    ),
    "cam spacer": ChangeKind(
        "cam spacer moved",
        Loosens(right=(1.0, _64TH), up=(0.0, _64TH / 2.0), unsaid=_16TH),
        "cams to the right take away a tail-right tear",
        takes=("right",),
        aliases=("cam spacers", "spacer", "spacers", "shim", "shims", "cams", "cam"),
    ),
    "yoke": ChangeKind(
        "yoke twisted",
        Loosens(right=(_16TH, _64TH), up=(_64TH, 0.0), unsaid=1.0),
        "a twist on one side leans the cam that way",
        takes=("turns",),
        aliases=("yokes",),
    ),
    "cable": ChangeKind(
        "cable twisted",
        Loosens(right=(_32ND, 0.0), up=(_16TH, _64TH), unsaid=1.0, errors=0.1, gains=0.05),
        "it shifts the timing, which tears high or low",
        takes=("turns",),
        sets=("bow.draw_weight", "bow.draw_length", "bow.arrow_speed"),
        aliases=("cables", "timing"),
    ),
    "draw weight": ChangeKind(
        "draw weight changed",
        Loosens(right=(_64TH, _64TH), up=(_64TH, _64TH), unsaid=1.0, errors=0.15, gains=0.1),
        "less weight makes the shaft act stiffer",
        takes=("turns",),
        sets=("bow.draw_weight", "bow.arrow_speed", "bow.brace_height"),
        number="bow.draw_weight",
        aliases=("weight", "limbs", "limb bolts", "poundage"),
        per_turn=0.04,  # some 2 to 3 lb of 60 (common practice, no source)
    ),
    "draw length": ChangeKind(
        "draw length changed",
        Loosens(right=(0.0, _32ND), up=(0.0, _32ND), errors=0.2, gains=0.15),
        "a longer draw is faster and makes the shaft act weaker",
        sets=("bow.draw_length", "bow.arrow_speed", "bow.brace_height", "bow.let_off"),
        number="bow.draw_length",
        aliases=("modules", "module"),
    ),
    "new string": ChangeKind(
        "string replaced",
        Loosens(right=(0.0, _32ND), up=(0.0, _16TH), errors=0.4, gains=0.15, sign=0.05),
        "nocking point, loop and peep are new; it settles over some hundred shots",
        sets=("bow.string.mass", "bow.arrow_speed", "bow.brace_height"),
        aliases=("string",),
        is_undone=False,
    ),
    "new cable": ChangeKind(
        "cable replaced",
        Loosens(right=(0.0, _32ND), up=(0.0, _16TH), errors=0.3, gains=0.1),
        "timing and draw length are new; it settles over some hundred shots",
        sets=("bow.draw_weight", "bow.draw_length", "bow.arrow_speed"),
        aliases=("new cables",),
        is_undone=False,
    ),
    "point": ChangeKind(
        "point changed",
        Loosens(errors=0.1, gains=0.15, sign=0.05, anew=0.3),
        "a heavier point makes the shaft act weaker",
        sets=("arrow.point", "arrow.mass", "arrow.insert", "bow.arrow_speed"),
        number="arrow.point.mass",
        aliases=("points", "insert", "inserts"),
    ),
    "arrow": ChangeKind(
        "other arrows",
        Loosens(
            right=(0.0, _64TH),
            up=(0.0, _64TH),
            errors=0.3,
            gains=0.3,
            sign=0.15,
            anew=0.5,
            bare=True,
            tear=True,
        ),
        "another shaft answers differently, sideways most of all",
        sets=("arrow", "bow.arrow_speed"),
        aliases=("arrows", "shaft", "shafts"),
    ),
    "vanes": ChangeKind(
        "vanes changed",
        Loosens(errors=0.05),
        "bare shafts don't notice",
        sets=("arrow.vanes", "bow.arrow_speed"),
        aliases=("vane", "fletching", "fletchings"),
    ),
    "nock turned": ChangeKind(
        "nock turned",
        Loosens(errors=0.05, bare=True, tear=True),
        "vanes clear the rest differently; a bare shaft that is not straight lands elsewhere",
        sets=("arrow.nock",),
        aliases=("nock", "nocks", "nocks turned"),
    ),
    "bare shaft": ChangeKind(
        "bare shaft taped or replaced",
        Loosens(bare=True),
        "tape of the vanes' weight brings it down to the fletched ones",
        sets=("arrow.bare_tape",),
        number="arrow.bare_tape.mass",
        aliases=("tape", "bare tape", "bare shaft taped"),
    ),
    "sight": ChangeKind(
        "sight moved",
        Loosens(),
        "the group follows; bare against fletched does not change",
        takes=("right", "up"),
        sets=("sight",),
        aliases=("pin", "pins", "sight moved"),
    ),
    "peep": ChangeKind(
        "peep moved",
        Loosens(up=(0.0, _64TH / 2.0)),
        "the group goes up or down; the launch hardly changes",
        takes=("up",),
        aliases=("peep moved",),
    ),
    "new rest": ChangeKind(
        "rest replaced",
        Loosens(right=(0.0, _16TH), up=(0.0, _16TH), gains=0.25, sign=0.1),
        "it stands elsewhere and lets go elsewhere",
        sets=("bow.rest",),
        aliases=("rest", "rest replaced"),
        is_undone=False,
    ),
    "other": ChangeKind(
        "something else changed",
        Loosens(right=(0.0, _16TH), up=(0.0, _16TH), errors=0.2, gains=0.1),
        "nobody knows what it does until you shoot",
        takes=("right", "up", "turns"),
        sets=("bow", "arrow", "sight"),
        is_undone=False,
    ),
}

#: After these, something that touched the arrow may be gone.
CURES_CONTACT: frozenset[What] = frozenset({"vanes", "nock turned", "new rest", "arrow"})


@dataclass(frozen=True)
class Change:
    """One thing that was changed before a round.

    ``right``, ``up`` m, ``turns``: by how much, 0 where it is not said. ``sets``: numbers of the
    setup file that hold from then on, each a dotted key and its value as the file writes it.
    """

    what: What
    right: float = 0.0
    up: float = 0.0
    turns: float = 0.0
    sets: tuple[tuple[str, str], ...] = ()
    note: str = ""

    @property
    def kind(self) -> ChangeKind:
        """Its row."""
        return CHANGE_KINDS[self.what]

    @property
    def amount(self) -> float:
        """Its size, m or turns, ≥ 0; that of its row where it is not said."""
        said = max(abs(self.right), abs(self.up), abs(self.turns))
        return said or self.kind.loosens.unsaid

    def back(self) -> "Change":
        """The change that takes it back, but for numbers of the setup file."""
        return Change(self.what, -self.right, -self.up, -self.turns, (), self.note)

    def words(self, units: UnitSystem) -> str:
        """``"cam spacer moved right 1/32 in"``, ``"draw weight changed: 1 turn out, 58 lb"``."""
        said = sides((self.right, self.up), MOVE_SIDES, units)
        if self.turns:
            said.append(turns_words(self.turns))
        said += [text if key == self.kind.number else f"{key} {text}" for key, text in self.sets]
        if self.note:
            said.append(self.note)
        return f"{self.kind.words}{': ' if said else ''}{', '.join(said)}"


def turns_words(turns: float) -> str:
    """``"1 turn in"``, ``"1/2 turn out"``: in is more weight, or more twist."""
    quarters = round(abs(turns) * 4.0)
    if quarters and abs(abs(turns) * 4.0 - quarters) < 1e-6:
        whole, rest = divmod(quarters, 4)
        part = {1: "1/4", 2: "1/2", 3: "3/4"}.get(rest, "")
        size = " ".join(one for one in (str(whole) if whole else "", part) if one)
    else:
        size = f"{abs(turns):g}"
    many = "s" if abs(turns) > 1.0 else ""
    return f"{size} turn{many} {'in' if turns > 0.0 else 'out'}"


@dataclass(frozen=True)
class Unsettled:
    """What happened between two rounds: changes, something that was loose, time that passed.

    ``years`` since the last visit, None within one. ``is_loose``: something was found loose and
    put right. ``is_back``: all of it puts back what was before round ``since``.
    """

    changes: tuple[Change, ...] = field(default=())
    is_loose: bool = False
    years: float | None = None
    since: int | None = None
