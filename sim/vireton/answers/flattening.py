"""Rows with objects in them as flat rows, which any table takes."""

from collections.abc import Mapping
from typing import Any


def flat(row: Mapping[str, Any]) -> dict[str, Any]:
    """Inner objects' keys behind the outer one's: ``{"a": {"b_in": 1}}`` is ``{"a_b_in": 1}``."""
    found: dict[str, Any] = {}
    for key, value in row.items():
        if isinstance(value, Mapping):
            found |= {f"{key}_{inner}": one for inner, one in flat(value).items()}
        else:
            found[key] = value
    return found
