"""The base of all kinds of value in a file, and how error messages repeat a value."""

from typing import TYPE_CHECKING, Any

from vireton.units.text import as_typed

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema


def shown(value: object) -> str:
    """A TOML value as an error message repeats it, cut short."""
    match value:
        case str():
            return as_typed(value)
        case bool():
            return "true" if value else "false"
        case int() | float():
            return f"{value:.12g}" if isinstance(value, float) else _digits(value)
        case list() if 0 < len(value) <= 3 and not any(isinstance(v, list | dict) for v in value):
            return f"[{', '.join(shown(one) for one in value)}]"
        case list():
            return f"a list of {len(value)}"
        case dict():
            return "a table"
        case _:
            return f"a {type(value).__name__}"


def _digits(value: int) -> str:
    # writing out a huge integer is slow, and Python refuses beyond some thousands of digits
    return str(value) if abs(value) < 10**15 else "a huge integer"


class Kind:
    """One kind of value. Subclasses read it and describe it."""

    def read(self, value: object) -> Any:
        """The value in SI. Raises ValueError with what is wrong and what is right."""
        raise NotImplementedError

    def describe(self) -> dict[str, Any]:
        """JSON Schema of what :meth:`read` takes."""
        raise NotImplementedError

    @property
    def example(self) -> str:
        """A right value, as it stands in TOML."""
        raise NotImplementedError

    def __get_pydantic_core_schema__(
        self, source: object, handler: "GetCoreSchemaHandler"
    ) -> "CoreSchema":
        from pydantic_core import core_schema  # noqa: PLC0415 (--help does without)

        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: "CoreSchema", handler: "GetJsonSchemaHandler"
    ) -> dict[str, Any]:
        return self.describe()
