"""The JSON Schema, against the models and against a small checker of its own."""

import json
import re
import tomllib
from typing import Any

import pytest

from vireton.setup.schema import json_schema
from vireton.setup.template import template_text

SCHEMA = json_schema()
TEMPLATE = tomllib.loads(template_text())


def faults(node: dict[str, Any], value: Any, where: str = "") -> list[str]:
    """What is wrong with ``value`` by the few words of JSON Schema that ours uses."""
    if "$ref" in node:
        node = SCHEMA["$defs"][node["$ref"].rsplit("/", 1)[1]]
    kinds: dict[str, Any] = {"object": dict, "string": str, "array": list}
    kinds |= {"number": (int, float), "integer": int}
    if isinstance(node["type"], list):  # a spine may be a text or a number
        named = next((one for one in node["type"] if isinstance(value, kinds[one])), "string")
        return faults(node | {"type": named}, value, where)
    if not isinstance(value, kinds[node["type"]]):
        return [f"{where}: type"]
    found = []
    if node["type"] == "object":
        assert node["additionalProperties"] is False
        found += [f"{where}.{key}: needed" for key in node.get("required", []) if key not in value]
        for key, one in value.items():
            inner = node["properties"].get(key)
            found += (
                [f"{where}.{key}: unknown"]
                if inner is None
                else faults(inner, one, f"{where}.{key}")
            )
    elif node["type"] == "array":
        if not node["minItems"] <= len(value) <= node["maxItems"]:
            found.append(f"{where}: length")
        for one in value:
            found += faults(node["items"], one, where)
    elif node["type"] == "string":
        if "pattern" in node and not re.search(node["pattern"], value):
            found.append(f"{where}: pattern")
        if "enum" in node and value not in node["enum"]:
            found.append(f"{where}: enum")
    else:
        low = value >= node.get("minimum", value) and value > node.get("exclusiveMinimum", -1e9)
        if not (low and value <= node.get("maximum", value)) or value != node.get("const", value):
            found.append(f"{where}: range")
    return found


def leaves(node: Any) -> list[tuple[str, dict[str, Any]]]:
    found = []
    for properties in [node["properties"], *(d["properties"] for d in node["$defs"].values())]:
        found += list(properties.items())
    return found


def test_it_is_plain_json() -> None:
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SCHEMA["required"] == ["bow", "arrow"]


def test_it_requires_what_has_no_usual_value() -> None:
    required = {name: table.get("required") for name, table in SCHEMA["$defs"].items()}
    assert required["BowTable"] == ["draw_weight", "draw_length", "arrow_speed"]
    assert required["ArrowTable"] == ["length"]
    assert all(required[f"{name}Table"] is None for name in ("Rest", "Nock", "Shaft", "Vanes"))
    brace = SCHEMA["$defs"]["BowTable"]["properties"]["brace_height"]["description"]
    assert brace.endswith("Range: 3 in to 12 in. Left open it is 6.5 in, with wider bands.")


def test_it_takes_the_template() -> None:
    assert faults(SCHEMA, TEMPLATE) == []


@pytest.mark.parametrize(
    ("table", "key", "value", "fault"),
    [
        ("bow", "draw_weight", 60, ".bow.draw_weight: type"),
        ("bow", "draw_weight", "60", ".bow.draw_weight: pattern"),
        ("bow", "hand", "both", ".bow.hand: enum"),
        ("bow", "color", "red", ".bow.color: unknown"),
        ("wind", "from_clock", 0, ".wind.from_clock: range"),
        ("uncertainty", "string_mass", ["10 g"], ".uncertainty.string_mass: length"),
    ],
)
def test_it_refuses_what_the_program_refuses(
    table: str, key: str, value: object, fault: str
) -> None:
    data = {**TEMPLATE, "wind": {"speed": "1 mph", "from_clock": 3}}
    data[table] = {**data[table], key: value}
    assert faults(SCHEMA, data) == [fault]


def test_every_key_has_a_description_and_every_quantity_its_range() -> None:
    for key, node in leaves(SCHEMA):
        assert node["description"], key
        assert "x-range" not in node
        assert "anyOf" not in node
        assert node.get("default", 0) is not None
        if "pattern" in node:
            assert re.search(r"\. Range: .+ to .+\.$", node["description"])
            assert all(re.search(node["pattern"], one) for one in node["examples"])
            if "default" in node:
                assert re.search(node["pattern"], node["default"])


def test_defaults_stand_as_they_are_written() -> None:
    string = SCHEMA["$defs"]["StringTable"]["properties"]
    assert string["mass"]["default"] == "10 g"
    assert string["cam_mass"]["default"] == "200 g"
    assert SCHEMA["$defs"]["RestTable"]["properties"]["step"]["default"] == "1/32 in"
