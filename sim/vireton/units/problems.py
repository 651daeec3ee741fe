"""The one base of errors that are the input's fault, not a bug."""

_LONGEST_NAME = 200


class InputProblem(ValueError):  # noqa: N818 (it is shown to people, who have problems)
    """What was given cannot be used. The message says what, why and what to do next.

    The command line shows it without a traceback; every other exception is a bug and keeps its.
    """


def printable(text: str, longest: int | None = None) -> str:
    """The text in one line, with "?" for what a terminal cannot show or would obey; cut short."""
    shown = "".join(c if c.isprintable() else "?" for c in text)
    return shown if longest is None or len(shown) <= longest else f"{shown[: longest - 3]}..."


def named(file: object) -> str:
    """A file's name as a message repeats it: printable, a very long one by its end."""
    shown = printable(str(file))
    return shown if len(shown) <= _LONGEST_NAME else f"...{shown[-_LONGEST_NAME:]}"
