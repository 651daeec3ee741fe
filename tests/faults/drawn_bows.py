"""Bows and arrows drawn from what may stand in a setup file, and logs shot with them.

Two ways. Bows as benches have them, from a child's to a heavy hunter's, with any arrow: nearly all
are read. And an example whose numbers are, here and there, anything within their stated ranges.
"""

import random
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import tomlkit
from pydantic import BaseModel

from vireton.bow.bow import RestType
from vireton.bow.parts import PointShape, VaneOutline
from vireton.setup.models_around import SetupFile
from vireton.units.kinds import Choice, Count, Number
from vireton.units.quantity import Quantity
from vireton.units.text import split

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
STOCK = ("mill_bow", "orchard_bow", "mill_broadhead")

RULE = {"name": "Large game", "place": "Maple County", "date": "May", "least_energy": "40 ft·lbf"}

Keys = tuple[str, ...]
Drawn = dict[str, Any]


def drawn_bow(dice: random.Random) -> str:
    """A setup file."""
    bow = _of_a_bench(dice) if dice.random() < 0.7 else _anything(dice)
    return tomlkit.dumps(bow | {"rules": [RULE]})


def drawn_log(dice: random.Random, setup: str) -> str:
    """A log of one to three rounds for that setup file, with or without arrows shot far off."""
    far = dice.choice((0.5, 2.0, 12.0))

    def inches() -> str:
        return f"{dice.uniform(-far, far):.2f} in"

    rounds = []
    for number in range(1, dice.randint(1, 3) + 1):
        one: Drawn = {"number": number, "rest_right": "0 in", "rest_up": f"{number - 1}/32 in"}
        if number == 1 or dice.random() < 0.3:
            tear = {"arrow": "bare", "at": "6 ft"}
            one["tear"] = [tear | {"right": f"{dice.randint(-9, 9)}/16 in", "up": "1/16 in"}]
        one["group"] = [
            {"arrow": arrow, "at": f"{dice.randint(10, 40)} yd"}
            | {"shots": [f"{inches()}, {inches()}" for _ in range(dice.randint(1, 4))]}
            for arrow in ("fletched", "bare")
            if dice.random() < 0.7
        ]
        rounds.append(one)
    if dice.random() < 0.3:
        rounds[-1]["walkback"] = [
            {"at": f"{at} yd", "right": inches()} for at in (20, 30, 40, 50, 60)
        ]
    return tomlkit.dumps({"schema": 1, "setup": setup, "round": rounds})


def _of_a_bench(dice: random.Random) -> Drawn:
    """A bow and its arrow, each number by itself within what is seen on benches (our choice)."""

    def inches(low: float, high: float) -> str:
        return f"{dice.uniform(low, high):.3f} in"

    def grains(low: float, high: float) -> str:
        return f"{dice.uniform(low, high):.1f} gr"

    draw = dice.uniform(19.0, 33.0)
    outside = dice.uniform(0.166, 0.46)
    bow: Drawn = {
        "name": "Mill bow",
        "hand": dice.choice(("right", "left")),
        "draw_weight": f"{dice.uniform(8.0, 95.0):.1f} lbf",
        "let_off": f"{dice.choice((0.0, 30.0, 65.0, 80.0, 90.0)):.0f} %",
        "draw_length": f"{draw:.2f} in",
        "brace_height": inches(4.5, 9.5),
        "arrow_speed": f"{dice.uniform(90.0, 340.0):.0f} fps",
        "rest": {
            "type": dice.choice(get_args(RestType)),
            "lets_go": f"{dice.uniform(8.0, 100.0):.0f} %",
            "ahead_of_string": inches(3.0, 10.0),
        },
    }
    arrow: Drawn = {
        "name": "Maple 340",
        "length": f"{draw + dice.uniform(-2.5, 4.0):.2f} in",
        "nock": {"mass": grains(3.0, 30.0), "throat_to_shaft": inches(0.1, 0.8)},
        "shaft": {
            "outside_diameter": f"{outside:.3f} in",
            "inside_diameter": f"{outside * dice.choice((0.0, 0.6, 0.8, 0.9)):.3f} in",
            "mass_per_length": f"{dice.uniform(3.5, 16.0):.2f} gr/in",
        },
        "point": {
            "mass": grains(30.0, 400.0),
            "length": inches(0.3, 2.0),
            "shape": dice.choice(get_args(PointShape)),
        },
    }
    if dice.random() < 0.9:
        arrow["shaft"]["spine"] = inches(0.2, 2.0)
    if dice.random() < 0.9:
        arrow["vanes"] = {
            "count": dice.randint(2, 6),
            "length": inches(0.6, 5.5),
            "height": inches(0.15, 1.0),
            "thickness": f"{dice.uniform(0.2, 1.5):.2f} mm",
            "mass": grains(0.5, 20.0),
            "rear_from_throat": inches(0.8, 2.5),
            "offset": f"{dice.choice((0.0, 1.0, 3.0, 8.0)):.1f} deg",
            "outline": dice.choice(get_args(VaneOutline)),
        }
    if dice.random() < 0.7:
        arrow["insert"] = {"mass": grains(5.0, 150.0), "length": inches(0.4, 2.5)}
    if dice.random() < 0.6:
        arrow["broadhead"] = {
            "mass": grains(60.0, 350.0),
            "length": inches(0.8, 2.5),
            "blades": dice.randint(2, 4),
            "cutting_diameter": inches(0.7, 2.2),
            "blade_length": inches(0.5, 2.0),
            "blade_thickness": f"{dice.uniform(0.4, 1.5):.2f} mm",
            "ferrule_diameter": inches(0.2, 0.4),
        }
    return {
        "schema": 1,
        "launch": dice.choice(("flexible", "flexible", "flexible", "rigid")),
        "bow": bow,
        "arrow": arrow,
        "air": {"altitude": f"{dice.uniform(-500.0, 12000.0):.0f} ft"},
        "sight": {
            "sight_in": f"{dice.randint(8, 70)} yd",
            "height_above_arrow": inches(0.0, 6.0),
        },
    }


def _anything(dice: random.Random) -> Drawn:
    """An example in which a few of its values, and of those it leaves out, are any allowed ones."""
    text = (EXAMPLES / f"{dice.choice(STOCK)}.toml").read_text(encoding="utf-8")
    bow: Drawn = tomllib.loads(text)
    often = dice.choice((0.03, 0.1, 0.3))
    for keys, kind in _values(SetupFile):
        table = _table(bow, keys[:-1])
        if table is not None and dice.random() < often:
            table[keys[-1]] = _any_of(dice, kind)
    return bow


def _table(bow: Drawn, keys: Keys) -> Drawn | None:
    """The table of this place, None where the file has none and what is in it could not stand."""
    if keys[:1] not in (("bow",), ("arrow",), ("sight",)):
        return None
    table = bow
    for key in keys:
        if keys[0] == "bow":
            table.setdefault(key, {})
        if key not in table:
            return None
        table = table[key]
    return table


def _values(model: type[BaseModel], above: Keys = ()) -> Iterator[tuple[Keys, Any]]:
    """Every key of the file that is one value, and its kind."""
    for name, field in model.model_fields.items():
        keys = (*above, name)
        tables = [one for one in (field.annotation, *get_args(field.annotation)) if _is_table(one)]
        if tables:
            yield from _values(tables[0], keys)
        for kind in field.metadata:
            if isinstance(kind, Quantity | Number | Choice | Count):
                yield keys, kind


def _is_table(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _any_of(dice: random.Random, kind: Any) -> Any:
    """A value as a file writes it, the ends among them."""
    if isinstance(kind, Choice):
        return dice.choice(kind.words)
    if isinstance(kind, Count):
        return dice.randint(kind.low, kind.high)
    share = dice.choice((0.0, 1.0, *[dice.random() for _ in range(8)]))
    if isinstance(kind, Number):
        return max(kind.low + share * (kind.high - kind.low), 1e-3)
    (low, unit), (high, other) = split(kind.low), split(kind.high)
    if unit != other:
        return kind.like
    if low > 0.0 and high > 20.0 * low:
        return f"{min(max(low * (high / low) ** share, low), high):.6g} {unit}"
    return f"{low + share * (high - low):.6g} {unit}"
