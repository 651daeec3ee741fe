"""Write a commented setup file to start from."""

import os
import secrets
from importlib import resources
from pathlib import Path

from vireton.setup.errors import Problem, SetupError
from vireton.uncertain.inputs import INPUTS
from vireton.units.problems import named

#: The line of the template that the uncertain inputs take the place of.
_INPUTS_HERE = "# (a line for each uncertain input)"
_THERE = "is there already and is left as it is; give another name or move it away"


def template_text() -> str:
    """The commented setup file: an invented bow and arrow, runs as it is."""
    text = resources.files("vireton.setup").joinpath("template.toml").read_text(encoding="utf-8")
    lines = [one.template_line for one in INPUTS if one.kind is not None]
    return text.replace(_INPUTS_HERE, "\n".join(lines))


def write_template(path: Path | str) -> Path:
    """Write the template to ``path`` and return that.

    The file appears whole or not at all. Raises SetupError where something of that name is there
    already, or where it cannot be written.
    """
    path = Path(path)

    def refused(text: str) -> SetupError:
        return SetupError(str(path), [Problem("", text)])

    if os.path.lexists(path):
        raise refused(_THERE)
    if not os.path.isdir(path.parent):  # noqa: PTH112 (a name that is too long is no folder)
        raise refused(f"there is no folder {named(path.parent)}; make it first")
    part = path.with_name(f".{path.name[:100]}.{secrets.token_hex(4)}.part")
    try:
        _write_new(part, template_text())
        _publish(part, path)
    except FileExistsError:
        raise refused(_THERE) from None
    except OSError as problem:
        raise refused(f"cannot be written: {problem.strerror or problem}") from None
    finally:
        part.unlink(missing_ok=True)
    return path


def _write_new(path: Path, text: str) -> None:
    with path.open("x", encoding="utf-8", newline="\n") as stream:
        try:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        except OSError:
            path.unlink(missing_ok=True)
            raise


def _publish(part: Path, path: Path) -> None:
    """Give the finished file its name; a link, unlike a rename, never replaces what is there."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:  # a disk without hard links (many USB sticks)
        _write_new(path, part.read_text(encoding="utf-8"))
