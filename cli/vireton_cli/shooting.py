"""What every command says beside its answer."""

import hashlib
import sys
from collections.abc import Iterable
from pathlib import Path


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


def kept_folder() -> Path | None:
    """The folder of the user's own where machine code is kept, and what was said where."""
    from vireton.kernel.compiled import CACHE_FOLDER

    return CACHE_FOLDER


def said_here_before(text: str) -> bool:
    """Whether the text was said in this working folder before; False in any doubt.

    It was from now on. A newer version says all anew.
    """
    try:
        here, kept = Path.cwd(), kept_folder()
        if kept is None:
            return False
        # another folder of the same name is another place
        told = f"{here}\n{here.stat().st_ino}\n{text}"
        marker = (
            kept / f"{hashlib.sha256(told.encode('utf-8', 'surrogateescape')).hexdigest()}.said"
        )
        if marker.exists():
            return True
        marker.touch()
    except OSError:
        pass
    return False


def in_short(lines: Iterable[str]) -> list[str]:
    """The lines, standing cautions that this folder has seen as one short line at the end."""
    from vireton.bow.cautions import IN_SHORT, STANDING

    kept, shortened = [], False
    for line in lines:
        if line in STANDING and said_here_before(line):
            shortened = True
        else:
            kept.append(line)
    return [*kept, IN_SHORT] if shortened else kept


def option_name(argument: str) -> str:
    """``"--sight-in"`` of the library's ``sight_in``."""
    return f"--{argument.replace('_', '-')}"
