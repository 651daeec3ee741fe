"""What stands in for keys that a setup file leaves open, so that a few numbers make a whole one.

Usual values are those of a common hunting bow and arrow: common practice or our choice, no source.
They are put into the file's tables before the models read them, written as a file writes them; how
far they may be off is told by :mod:`vireton.uncertain.left_open`.

A *short* file is one without ``arrow.shaft.mass_per_length``: it does not list its arrow's parts.
The shaft then is what ``arrow.mass`` leaves after the other parts, insert and vanes are there
without a table of their own, and the sight is set. In a longer file a table that is missing stands
for a part that the arrow has not, as ever.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from vireton.units.kind import Kind
from vireton.units.numbers import INCH
from vireton.units.text import parse, show

_SHAFT = "arrow.shaft.mass_per_length"
_MASS = "arrow.mass"
_GRAIN = parse("1 gr", "mass")
#: Twice the wall of a carbon shaft (our choice).
_WALLS = 0.042 * INCH
#: What the point and the insert weigh, of the finished arrow: 100 and 16 gr of 415 gr.
_POINT_SHARE, _INSERT_SHARE = 100.0 / 415.0, 16.0 / 415.0
#: kg/m² of a vane with its glue, on length times height: 6.5 gr of 2 by 1/2 in.
_VANE_MASS = 6.5 * _GRAIN / (1.0 * INCH**2)
_VANES_AHEAD = 0.75 * INCH
#: Shares of the power stroke after which each kind of rest lets go.
_LETS_GO = {"drop-away": "45 %", "launcher": "95 %", "containment": "95 %"}
#: kg/m that a shaft may be left with after the other parts (our choice; carbon has 5 to 14 gr/in).
LIGHTEST_SHAFT = parse("2 gr/in", "mass_per_length")
HEAVIEST_SHAFT = parse("40 gr/in", "mass_per_length")

#: Keys that follow from the weighed arrow and stay as they are when other keys are varied.
OF_THE_MASS = (_SHAFT, "arrow.point.mass", "arrow.insert.mass")


class Known:
    """What a file's tables hold so far, by key path."""

    def __init__(self, data: dict[str, Any]) -> None:
        self.data = data

    def table(self, path: str) -> dict[str, Any] | None:
        """The table of this path, empty where it is not there; None where no table can be."""
        node = self.data
        for name in path.split(".") if path else ():
            node = node.get(name, {})
            if not isinstance(node, dict):
                return None
        return node

    def has(self, key: str) -> bool:
        """Whether the key is there, readable or not."""
        above, _, name = key.rpartition(".")
        return name in (self.table(above) or {})

    def written(self, key: str) -> Any:
        """What stands there; None where nothing does."""
        above, _, name = key.rpartition(".")
        return (self.table(above) or {}).get(name)

    def si(self, key: str, without: Any = 0.0) -> Any:
        """The value in SI; ``without`` where it is not there or cannot be read."""
        try:
            return _kinds()[key].read(self.written(key))
        except ValueError:
            return without

    def put(self, key: str, value: Any) -> None:
        """Put a value in where its table can be."""
        node = self.data
        *above, name = key.split(".")
        for one in above:
            node = node.setdefault(one, {})
        node[name] = value


def _kinds() -> Mapping[str, Kind]:
    from vireton.setup.reading import single_kinds  # noqa: PLC0415 (reading fills files in)

    return single_kinds()


@dataclass(frozen=True)
class Usual:
    """What stands in for ``key``: a value as a file writes it, or how it follows from others.

    ``words`` name it in a note; empty for what changes no number. ``when`` it is put in: always, in
    a ``short`` file, or in a short file and where the table is ``there``. A value of None leaves
    the key to its own default and only marks it as open.
    """

    key: str
    value: Any
    words: str = ""
    when: Literal["always", "short", "there"] = "always"

    def counts(self, known: Known, *, short: bool) -> bool:
        """Whether it is put into this file."""
        above = self.key.rpartition(".")[0]
        if known.table(above) is None or known.has(self.key):
            return False
        return self.when == "always" or short or (self.when == "there" and bool(_has(known, above)))


def _has(known: Known, table: str) -> bool:
    return isinstance(known.written(table), dict)


def _inches(meters: float) -> str:
    return f"{meters / INCH:.4g} in"


def _grains(mass: float, digits: int = 0) -> str:
    return f"{mass / _GRAIN:.{digits}f} gr"


def _lets_go(known: Known) -> str:
    """The middle of a band that is given, else as this kind of rest does."""
    band = known.si("uncertainty.rest_lets_go", None)
    if band is not None:
        return f"{50.0 * (band[0] + band[1]):g} %"
    return _LETS_GO[known.si("bow.rest.type", "drop-away")]


def _ahead(known: Known) -> str:
    """Above the grip's deepest point, as far ahead of the string as that is."""
    return _inches(known.si("bow.brace_height", 6.5 * INCH))


def _throat(known: Known) -> str:
    return _inches(min(0.35 * INCH, known.si("arrow.vanes.rear_from_throat", INCH)))


def _outside(known: Known) -> str:
    inside = known.si("arrow.shaft.inside_diameter", 0.0)
    return _inches(min(max(inside + _WALLS, 0.246 * INCH), 0.7 * INCH))


def _inside(known: Known) -> str:
    return _inches(max(0.0, known.si("arrow.shaft.outside_diameter", 0.246 * INCH) - _WALLS))


def _share_of_mass(share: float, usual: str) -> Callable[[Known], str]:
    """Of a finished arrow that is weighed but not listed."""

    def value(known: Known) -> str:
        mass = known.si(_MASS, None)
        return usual if mass is None or known.has(_SHAFT) else _grains(share * mass)

    return value


def _vane_mass(known: Known) -> str:
    size = known.si("arrow.vanes.length") * known.si("arrow.vanes.height")
    return _grains(min(_VANE_MASS * size, 100.0 * _GRAIN), 1)


def _vanes_rear(known: Known) -> str:
    return _inches(known.si("arrow.nock.throat_to_shaft") + _VANES_AHEAD)


def shaft_left(si: Callable[[str, float], Any]) -> float:
    """kg/m of shaft that the weighed arrow leaves after its other parts.

    ``si``: the value of a key, or what is given for a key that is not there.
    """
    others = sum(
        si(f"arrow.{part}.mass", 0.0) for part in ("nock", "point", "insert", "wrap")
    ) + si("arrow.vanes.count", 0) * si("arrow.vanes.mass", 0.0)
    length = si("arrow.length", 0.0) - si("arrow.nock.throat_to_shaft", 0.0)
    return float((si(_MASS, 0.0) - others) / length) if length > 0.0 else 0.0


def _shaft(known: Known) -> str:
    left = min(max(shaft_left(known.si), LIGHTEST_SHAFT), HEAVIEST_SHAFT)
    return show(left, "mass_per_length", "us", 3)


ROWS: tuple[Usual, ...] = (
    Usual("schema", 1),
    Usual("bow.name", "The bow"),
    Usual("bow.hand", "right"),
    Usual("bow.let_off", "80 %", "let-off"),
    Usual("bow.brace_height", "6.5 in", "brace height"),
    Usual("bow.rest.type", "drop-away", "kind of rest"),
    Usual("bow.rest.lets_go", _lets_go, "where the rest lets go"),
    Usual("bow.rest.ahead_of_string", _ahead, "how far ahead the rest sits"),
    Usual("arrow.name", "its arrow"),
    Usual("arrow.nock.mass", "9 gr", "nock"),
    Usual("arrow.nock.throat_to_shaft", _throat, "nock"),
    Usual("arrow.shaft.outside_diameter", _outside, "shaft diameter"),
    Usual("arrow.shaft.inside_diameter", _inside, "shaft wall"),
    Usual("arrow.point.mass", _share_of_mass(_POINT_SHARE, "100 gr"), "point weight"),
    Usual("arrow.point.length", "0.8 in", "point shape"),
    Usual("arrow.point.shape", "field", "point shape"),
    Usual("arrow.insert.mass", _share_of_mass(_INSERT_SHARE, "16 gr"), "insert", "there"),
    Usual("arrow.insert.length", "0.9 in", "insert", "there"),
    Usual("arrow.vanes.count", 3, "vane count and size", "there"),
    Usual("arrow.vanes.length", "2 in", "vane count and size", "there"),
    Usual("arrow.vanes.height", "0.5 in", "vane count and size", "there"),
    Usual("arrow.vanes.thickness", "0.8 mm", "vane weight and place", "there"),
    Usual("arrow.vanes.mass", _vane_mass, "vane weight and place", "there"),
    Usual("arrow.vanes.rear_from_throat", _vanes_rear, "vane weight and place", "there"),
    Usual("arrow.vanes.offset", "1.5 deg", "vane offset", "short"),
    Usual("air", None, "air", "short"),
    Usual("sight.sight_in", "20 yd", "sight distance", "short"),
    Usual("sight.height_above_arrow", None, "sight height", "short"),
)


@dataclass(frozen=True)
class Filled:
    """The tables of a setup file with usual values put in.

    ``put_in``: what was put in by key, None where a key keeps its own default. ``short``: whether
    the file does not list its arrow's parts.
    """

    data: dict[str, Any]
    put_in: dict[str, Any] = field(default_factory=dict)
    short: bool = False

    @property
    def left_open(self) -> frozenset[str]:
        """Keys that the file leaves open."""
        return frozenset(self.put_in)

    @property
    def words(self) -> tuple[str, ...]:
        """What it leaves open and what changes a number, for people."""
        named = (row.words for row in ROWS if row.key in self.put_in and row.words)
        return tuple(dict.fromkeys(named))


def fill(data: Mapping[str, Any], base: Filled | None = None) -> Filled:
    """The tables with usual values for what they leave open; nothing that is given is changed.

    Args:
        data: the tables as TOML holds them. What is no table where one belongs, and values that
            cannot be read, are left for the models to refuse.
        base: the same file before some keys of its arrow were varied: what followed from its
            weighed mass stays as it was there.
    """
    known = Known(_copied(data))
    short = base.short if base is not None else not known.has(_SHAFT)
    kept: dict[str, Any] = {}
    if base is not None and Known(base.data).written(_MASS) == known.written(_MASS):
        kept = {key: base.put_in.get(key) for key in OF_THE_MASS}
    put_in: dict[str, Any] = {}
    for row in ROWS:
        if not row.counts(known, short=short):
            continue
        put_in[row.key] = value = row.value(known) if callable(row.value) else row.value
        if kept.get(row.key) is not None:
            put_in[row.key] = value = kept[row.key]
        if value is not None:
            known.put(row.key, value)
    if known.table("arrow.shaft") is not None and not known.has(_SHAFT):
        if kept.get(_SHAFT) is not None:
            put_in[_SHAFT] = kept[_SHAFT]
        elif known.has(_MASS):
            put_in[_SHAFT] = _shaft(known)
        if _SHAFT in put_in:
            known.put(_SHAFT, put_in[_SHAFT])
    return Filled(known.data, put_in, short)


def _copied(data: Mapping[str, Any]) -> dict[str, Any]:
    """Tables copied, values not."""
    return {
        key: _copied(value) if isinstance(value, dict) else value for key, value in data.items()
    }
