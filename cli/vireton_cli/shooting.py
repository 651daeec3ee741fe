"""What is said on stderr before a result, and how options are spelled."""

import sys
from collections.abc import Iterable


def say_if_first_run(*, derivatives: bool = False) -> None:
    """One line on stderr when the flight kernel has to be compiled first.

    ``derivatives``: the tuner needs it a second time, for the slopes of its flights.
    """
    from vireton.kernel.compiled import is_compiled_before

    if not is_compiled_before(derivatives=derivatives):
        seconds = 20 if derivatives else 10
        print(
            "vireton: first run of this version: compiling the flight kernel once, "
            f"some {seconds} s",
            file=sys.stderr,
        )


def warn(texts: Iterable[str]) -> None:
    """Say each on stderr, where it is seen whatever becomes of the results."""
    for text in texts:
        print(f"vireton: {text}", file=sys.stderr)


def option_name(argument: str) -> str:
    """``"--sight-in"`` of the library's ``sight_in``."""
    return f"--{argument.replace('_', '-')}"
