"""What every command says beside its answer."""

import sys
from collections.abc import Iterable


def say_if_first_run(*, derivatives: bool = False) -> None:
    """One line on stderr when the flight kernel has to be compiled first.

    ``derivatives``: the tuner needs it a second time, for the slopes of its flights.
    """
    from vireton.kernel.compiled import CACHE_FOLDER, is_compiled_before

    if is_compiled_before(derivatives=derivatives):
        return
    seconds = 20 if derivatives else 10
    if CACHE_FOLDER is None:
        warn(
            [
                f"compiling the flight kernel, some {seconds} s, as on every run: it is kept only "
                "in a folder that nobody else can write; set VIRETON_CACHE_DIR to such a one"
            ]
        )
    else:
        warn([f"first run of this version: compiling the flight kernel once, some {seconds} s"])


def warn(texts: Iterable[str]) -> None:
    """Say each on stderr, where it is seen whatever becomes of the results."""
    for text in texts:
        print(f"vireton: {text}", file=sys.stderr)


def option_name(argument: str) -> str:
    """``"--sight-in"`` of the library's ``sight_in``."""
    return f"--{argument.replace('_', '-')}"
