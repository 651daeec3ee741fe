"""Films for ``vireton record``: tables of marks, and whether they can be of this bow."""

from pathlib import Path
from typing import TYPE_CHECKING

from vireton.units.problems import InputProblem, named
from vireton.units.text import as_typed

if TYPE_CHECKING:
    from vireton.job import NewRound
    from vireton.tuning.observations import Film

_LARGEST = 1 << 20


def read_film_file(arrow: str, view: str, file: str, fps: str | None) -> "Film":
    """One ``--film ARROW VIEW FILE``. Raises InputProblem."""
    from vireton.film.clip import VIEWS
    from vireton.film.marks import SAID, plain_number, read_marks
    from vireton.tuning.observations import Film, parse_arrow

    kind = parse_arrow(arrow, "--film")
    seen = next((one for one in VIEWS if one == view.strip().lower()), None)
    if seen is None:
        raise InputProblem(
            f'--film: {as_typed(view)} is no view; write "above" (looking down on the path) or '
            '"beside"'
        )
    usual = {}
    if fps is not None:
        try:
            usual["frames_a_second"] = SAID["frames_a_second"].read(plain_number(fps.strip()))
        except ValueError as wrong:
            raise InputProblem(f"--fps: {wrong}") from None
    return Film(kind, read_marks(_text(file), seen, f"--film: {named(file)}", **usual))


def check_against_bow(log: Path, setup: Path | None, new: "NewRound") -> None:
    """Refuse a film whose speed is not the bow's; nothing where the bow cannot be read."""
    from vireton.tuning.observations import Film

    films = tuple(one for one in new.observations if isinstance(one, Film))
    if not films:
        return
    from vireton.answers.filmed import check_films
    from vireton.answers.tune import Tune
    from vireton.files.whole import is_there
    from vireton.flight.flight import Conditions
    from vireton.job import read_log
    from vireton.rig import assemble_rig
    from vireton.setup import load_setup

    try:
        if is_there(log):
            rig = Tune.read({"log": read_log(log)}).rig
        elif setup is not None:
            given = load_setup(setup)
            rig = assemble_rig(given.bow, given.parts, Conditions(given.air), given.sight)
        else:
            return
    except InputProblem:
        return  # what is wrong with the bow is told when it is needed
    check_films(films, rig)


def _text(file: str) -> str:
    path = Path(file)
    try:
        with path.open("rb") as stream:
            raw = stream.read(_LARGEST + 1)
    except (OSError, ValueError) as wrong:
        reason = getattr(wrong, "strerror", None) or wrong
        raise InputProblem(
            f"--film: {named(file)} cannot be read: {reason}. Give a table of marks: frame, nock "
            "right and down, point right and down, one frame a line"
        ) from None
    try:
        return raw[:_LARGEST].decode("utf-8")
    except UnicodeDecodeError:
        raise InputProblem(
            f"--film: {named(file)} is no text; it takes a table of marks, not the film itself"
        ) from None
