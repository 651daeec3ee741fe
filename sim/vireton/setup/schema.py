"""The JSON Schema of setup files, from the models: editors complete and check with it."""

from typing import Any

from vireton.setup.models_around import SetupFile
from vireton.setup.usual import OF_THE_MASS, ROWS


def json_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a setup file.

    Each key has a description that ends with its range; a quantity is a string with a pattern. What
    must fit between keys, and the ranges of quantities, only the program itself checks.
    """
    schema = SetupFile.model_json_schema(by_alias=True)
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Vireton setup file",
        "description": "One bow, its arrow, air and sight.",
    }
    cleaned: dict[str, Any] = _clean(schema)
    _open(cleaned)
    return head | {key: value for key, value in cleaned.items() if key not in head}


def _open(schema: dict[str, Any]) -> None:
    """Take out of what is required what a file may leave open, and say what then stands in."""
    usual = {row.key: row for row in ROWS}
    for key in dict.fromkeys([*usual, *OF_THE_MASS]):
        *above, name = key.split(".")
        node = schema
        for one in above:
            node = _behind(schema, node["properties"][one])
        node["required"] = [one for one in node.get("required", []) if one != name]
        row, about = usual.get(key), node["properties"][name]
        if row and row.words and row.when != "short" and isinstance(row.value, str | int):
            said = about["description"].rstrip(".")
            about["description"] = f"{said}. Left open it is {row.value}, with wider bands."
    _loosen(schema, schema)
    for table in schema["$defs"].values():
        if table.get("required") == []:
            del table["required"]


def _behind(schema: dict[str, Any], node: dict[str, Any]) -> dict[str, Any]:
    ref = node.get("$ref")
    return schema["$defs"][ref.rsplit("/", 1)[1]] if ref else node


def _loosen(schema: dict[str, Any], table: dict[str, Any]) -> bool:
    """Whether the table may be left out: so may those in it in which nothing is required."""
    for name in list(table.get("required", [])):
        inner = _behind(schema, table["properties"][name])
        if "properties" in inner and _loosen(schema, inner):
            table["required"].remove(name)
    if table.get("required") == []:
        del table["required"]
    return "required" not in table


def _clean(node: Any) -> Any:
    """Take out what TOML has not (null) and what only Python knows (titles of classes)."""
    if isinstance(node, list):
        return [_clean(one) for one in node]
    if not isinstance(node, dict):
        return node
    node = {
        key: value if key in ("properties", "$defs") else _clean(value)
        for key, value in node.items()
    }
    for names in ("properties", "$defs"):
        if names in node:
            node[names] = {key: _clean(value) for key, value in node[names].items()}
    options = [one for one in node.pop("anyOf", []) if one != {"type": "null"}]
    for option in options:  # one is left of each "a table or nothing"
        node |= option
    if node.get("default", "") is None:
        del node["default"]
    if isinstance(node.get("title"), str):
        del node["title"]
    if isinstance(node.get("description"), str):
        node["description"] = node["description"].replace("``", "")
    limits = node.pop("x-range", None)
    if limits is not None and "description" in node:
        node["description"] = f"{node['description']}. Range: {limits}."
    return node
