"""HTML and SVG as text: every tag is closed and every text escaped because nothing else is left."""

import html

_VOID = frozenset({"meta", "input", "br"})


class Markup(str):
    """Text that is HTML already."""

    __slots__ = ()


def element(tag: str, *inside: str, **attributes: str | float | bool | None) -> Markup:
    """One element. Plain strings inside are escaped, :class:`Markup` is taken as it is.

    Attributes: ``class_`` for ``class``, an underscore elsewhere for a hyphen; True for one without
    a value, False and None for none.
    """
    opened = "".join([tag, *(_attribute(name, value) for name, value in attributes.items())])
    if tag in _VOID:
        return Markup(f"<{opened}>")
    return Markup(f"<{opened}>{joined(*inside)}</{tag}>")


def joined(*parts: str) -> Markup:
    """Several pieces, one after the other."""
    return Markup("".join(p if isinstance(p, Markup) else html.escape(p) for p in parts))


def _attribute(name: str, value: str | float | bool | None) -> str:
    if value is None or value is False:
        return ""
    spelt = name.rstrip("_").replace("_", "-")
    return f" {spelt}" if value is True else f' {spelt}="{html.escape(_text(value))}"'


def _text(value: str | float) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)
