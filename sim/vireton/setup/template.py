"""Write a commented setup file to start from."""

import os
from importlib import resources
from pathlib import Path

from vireton.files.whole import create_whole
from vireton.setup.errors import SETUP_FILE
from vireton.uncertain.inputs import INPUTS
from vireton.uncertain.measurements import MEASUREMENTS
from vireton.units.problems import named

#: The line of the template that the uncertain inputs take the place of.
_INPUTS_HERE = "# (a line for each uncertain input)"
#: And the same of the measurements.
_MEASURED_HERE = "# (a line for each measurement)"
_THERE = "is there already and is left as it is; give another name or move it away"


def template_text() -> str:
    """The commented setup file: an invented bow and arrow, runs as it is."""
    text = resources.files("vireton.setup").joinpath("template.toml").read_text(encoding="utf-8")
    lines = [one.template_line for one in INPUTS if one.kind is not None]
    measured = [f"# {line}" for one in MEASUREMENTS if not one.place for line in one.typed]
    return text.replace(_INPUTS_HERE, "\n".join(lines)).replace(_MEASURED_HERE, "\n".join(measured))


def write_template(path: Path | str) -> Path:
    """Write the template to ``path`` and return that, see :func:`write_new`."""
    return write_new(path, template_text())


def check_new(path: Path | str) -> Path:
    """The path, for a setup file that is not there yet.

    Raises SetupError where something of that name is there, or no folder to write it in.
    """
    path = Path(path)
    if os.path.lexists(path):
        raise SETUP_FILE.refused(path, _THERE)
    if not os.path.isdir(path.parent):  # noqa: PTH112 (a name that is too long is no folder)
        raise SETUP_FILE.refused(path, f"there is no folder {named(path.parent)}; make it first")
    return path


def write_new(path: Path | str, text: str) -> Path:
    """Write a new setup file and return its path.

    The file appears whole or not at all. Raises SetupError where something of that name is there
    already, or where it cannot be written.
    """
    path = check_new(path)
    try:
        create_whole(path, text.encode("utf-8"))
    except FileExistsError:
        raise SETUP_FILE.refused(path, _THERE) from None
    except OSError as problem:
        reason = problem.strerror or problem
        raise SETUP_FILE.refused(path, f"cannot be written: {reason}") from None
    return path
