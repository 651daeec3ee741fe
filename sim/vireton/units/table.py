"""What all tables of a file share."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class Table(BaseModel):
    """A table of the file. Keys that it does not know are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def need(description: str) -> Any:
    """A key that must be there, if only by the usual value that a setup file may leave to it."""
    return Field(description=description)


def may(description: str) -> Any:
    """A key that may be left out and then is None."""
    return Field(default=None, description=description)


def usual(written: Any, description: str) -> Any:
    """A key with a default, as it would be written and read the same way."""
    return Field(default=written, validate_default=True, description=description)
