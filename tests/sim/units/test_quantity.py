"""Quantities of a setup file: read, range, hints, schema."""

import datetime
import re

import pytest

from vireton.units.quantity import Quantity, Spine
from vireton.units.text import parse

SPINE = Quantity("length", "0.1 in", "3 in", "0.340 in")
LET_OFF = Quantity("fraction", "0 %", "95 %", "80 %")
WEIGHT = Quantity("force", "1 lbf", "200 lbf", "60 lbf")
OFFSET = Quantity("angle", "0 deg", "15 deg", "1.5 deg", "turn says which way")
AIR = Quantity("temperature", "-40 degF", "130 degF", "68 degF")


def refused(kind: Quantity, value: object) -> str:
    with pytest.raises(ValueError) as caught:
        kind.read(value)
    return str(caught.value)


def test_reads_into_si_with_both_ends_included() -> None:
    assert SPINE.read("0.340 in") == pytest.approx(0.008636, rel=1e-15)
    assert SPINE.read("0.1 in") == SPINE.bounds[0]
    assert SPINE.read("3 in") == SPINE.bounds[1]


@pytest.mark.parametrize(
    ("kind", "value", "message"),
    [
        (SPINE, 0.5, '0.5 has no unit; write it like "0.5 in"'),
        (SPINE, 340, '340 has no unit; write it like "0.340 in"'),
        (SPINE, "340", '"340" has no unit; write it like "0.340 in"'),
        (SPINE, " 340 ", '"340" has no unit; write it like "0.340 in"'),
        (SPINE, float("nan"), 'nan has no unit; write it like "0.340 in"'),
        (SPINE, 10**400, 'a huge integer has no unit; write it like "0.340 in"'),
        (SPINE, True, 'true is no quantity; write it like "0.340 in"'),
        (SPINE, [1], '[1] is no quantity; write it like "0.340 in"'),
        (SPINE, {}, 'a table is no quantity; write it like "0.340 in"'),
        (
            SPINE,
            datetime.date(2026, 1, 1),
            'a date is no quantity; write it like "0.340 in"',
        ),
        (LET_OFF, 0.65, '0.65 has no unit; write it like "65 %"'),
        (LET_OFF, "0.65", '"0.65" has no unit; write it like "65 %"'),
        (LET_OFF, 75, '75 has no unit; write it like "75 %"'),
        (LET_OFF, 750, '750 has no unit; write it like "80 %"'),
        (LET_OFF, "96 %", '"96 %" is outside 0 % to 95 %'),
        (SPINE, "4 in", '"4 in" is outside 0.1 in to 3 in'),
        (SPINE, "100 mm", '"100 mm" is outside 0.1 in to 3 in (2.54 to 76.2 mm)'),
        (WEIGHT, "300 lb", '"300 lb" is outside 1 lbf to 200 lbf'),
        (WEIGHT, "6000 N", '"6000 N" is outside 1 lbf to 200 lbf (4.45 to 890 N)'),
        (AIR, "60 degC", '"60 degC" is outside -40 degF to 130 degF (-40 to 54.4 degC)'),
        (AIR, "1 K", '"1 K" is outside -40 degF to 130 degF (233 to 328 K)'),
        (SPINE, "9 furlong", '"9 furlong" is outside 0.1 in to 3 in'),
        (OFFSET, "-2 deg", '"-2 deg" is outside 0 deg to 15 deg; turn says which way'),
        (SPINE, "2 kg", '"2 kg" is a mass, not a length; write it like "0.340 in"'),
    ],
)
def test_says_what_is_wrong_and_what_is_right(kind: Quantity, value: object, message: str) -> None:
    assert refused(kind, value) == message


@pytest.mark.parametrize(
    "text",
    [
        *("28 1/2 in", "28-1/2 in", "3/32in", ".094 in", "-1/16 in", "−1/16 in", "28½ in"),
        *("½ in", "1e3 mm", "8.5 gr/in", "80 %", "80%", "2 deg", "2°", "1.225 kg/m³", "20 °C"),
        " 5 in ",
    ],
)
def test_the_schema_takes_what_is_read(text: str) -> None:
    assert re.search(SPINE.describe()["pattern"], text)


@pytest.mark.parametrize(
    "text", ["28.5", "0.8", "", "in", "28,5 in", "1..2 in", "__import__", "(1) in", "1/ in"]
)
def test_the_schema_refuses_what_is_not(text: str) -> None:
    assert not re.search(SPINE.describe()["pattern"], text)


def test_the_schema_states_range_and_example() -> None:
    described = SPINE.describe()
    assert described["type"] == "string"
    assert described["examples"] == ["0.340 in"]
    assert described["x-range"] == "0.1 in to 3 in"


def test_the_example_lies_in_the_range() -> None:
    for kind in (SPINE, LET_OFF, WEIGHT, OFFSET, AIR):
        low, high = kind.bounds
        assert low <= parse(kind.like, kind.dimension) <= high


def test_a_spine_is_called_by_its_number() -> None:
    kind = Spine()
    same = ("0.340 in", "340", "340 spine", "0.34", ".340", 340, 0.34, 340.0, '0.340"', "8.636 mm")
    for value in same:
        assert kind.read(value) == pytest.approx(0.340 * 0.0254, rel=1e-14), value
    assert kind.read(1000) == pytest.approx(0.0254)
    assert kind.read("100") == kind.bounds[0]


@pytest.mark.parametrize("value", ["34", 34, "3500", 10**400, float("nan"), -340, "0.05", "99"])
def test_a_number_between_thousandths_and_inches_is_no_spine(value: object) -> None:
    assert "write it like" in refused(Spine(), value)


def test_what_the_trade_leaves_out_is_put_in() -> None:
    inches = Quantity("length", "12 in", "40 in", "29 in")
    assert inches.completed(" 28 1/2 ") == "28 1/2 in"
    assert inches.completed("28.5") == "28.5"
    assert inches.written('28 1/2"') == "28 1/2 in"
    assert WEIGHT.written("60#") == "60 lbf"
    assert WEIGHT.written("60 lb") == "60 lb"


def test_the_schema_takes_marks_of_the_trade() -> None:
    marks = ("28 1/2 in", '28 1/2"', "28 1/2″", "28 1/2''", "28 1/2’’")
    inches = Quantity("length", "12 in", "40 in", "29 in")
    for kind, text in [*((inches, one) for one in marks), (WEIGHT, "60#"), (WEIGHT, "60 pounds")]:
        assert re.search(kind.describe()["pattern"], text), text
        kind.read(text)
    told = Spine().describe()
    assert set(told["type"]) == {"string", "number"}
    assert re.search(told["pattern"], "340") and re.search(told["pattern"], "0.340 in")
    assert not re.search(inches.describe()["pattern"], "28.5")
