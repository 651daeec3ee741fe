"""The shop's folder: one job file a bow. The only place that turns a name into a file.

A job's name is that of its file without ``.toml``, and is looked up in the listing: no text of a
request ever becomes a path.
"""

import re
import threading
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from vireton.units.problems import InputProblem

#: Files that are no job by far are not read.
_LARGEST = 1 << 24
_MOST_FILES = 5000


class NoSuchJobError(LookupError):
    """No job of that name is in the listing."""


@dataclass(frozen=True)
class Listed:
    """A job in the list. ``problem``: why it cannot be read, empty where it can."""

    name: str
    bow: str
    owner: str = ""
    complaint: str = ""
    date: str = ""
    rounds: int = 0
    is_done: bool = False
    problem: str = ""

    @property
    def rank(self) -> tuple[bool, str]:
        """Open ones first."""
        return self.is_done, self.bow.lower()


#: The numbers that matter most: key of the setup file, words, unit of a bare number.
SIX = (
    ("bow.draw_weight", "Draw weight", "lbf"),
    ("bow.draw_length", "Draw length", "in"),
    ("bow.arrow_speed", "Arrow speed", "fps"),
    ("arrow.shaft.spine", "Static spine", "in"),
    ("arrow.length", "Arrow length", "in"),
    ("arrow.mass", "Arrow weight", "gr"),
)
_SPINE = "arrow.shaft.spine"


class Shop:
    """The jobs and setup files of ``folder``; files are read once until they change."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._known: dict[Path, tuple[tuple[int, int], Listed | None]] = {}
        self._lock = threading.Lock()

    def jobs(self) -> list[Listed]:
        """Open ones first, the last touched first among them."""
        with self._lock:
            found = {path: one for path in self._files() if (one := self._listed(path)) is not None}
            touched = {path: self._known[path][0][0] for path in found}
        order = sorted(found, key=lambda path: (found[path].is_done, -touched[path]))
        return [found[path] for path in order]

    def path_of(self, name: str) -> Path:
        """The file of a job in the listing. Raises NoSuchJobError."""
        with self._lock:
            for path in self._files():
                if path.stem == name and self._listed(path) is not None:
                    return path
        raise NoSuchJobError(name)

    @staticmethod
    def version(path: Path) -> str:
        """Another text whenever the file has changed."""
        state = path.stat()
        return f"{state.st_mtime_ns:x}-{state.st_size:x}"

    def setups(self) -> dict[str, Path]:
        """Setup files by name: what a new job may begin from."""
        with self._lock:
            return {
                path.stem: path
                for path in self._files()
                if self._listed(path) is None and _is_setup(path)
            }

    def begin(self, given: dict[str, str]) -> str:
        """A new job, and the setup file of its bow; its name. Raises InputProblem.

        ``given``: ``like`` (a name of :meth:`setups`, or empty for the usual bow), ``bow``,
        ``owner``, ``complaint``, ``date`` and the six keys of :data:`SIX`.
        """
        from vireton.job import Intake, create_log
        from vireton.setup import parse_setup, template_text

        like = given.get("like", "")
        setups = self.setups()
        if like and like not in setups:
            raise InputProblem(f'there is no setup file "{like}" any more; choose another one')
        text = setups[like].read_text("utf-8") if like else template_text()
        text = _with_numbers(text, given)
        with self._lock:
            name = self._free_name(given.get("bow") or given.get("owner") or "bow")
            setup = self.folder / f"{name}_setup.toml"
            parse_setup(text, setup)  # before anything is written
            with setup.open("x", encoding="utf-8") as file:
                file.write(text)
            intake = {key: given.get(key, "") for key in ("bow", "owner", "date", "complaint")}
            try:
                create_log(self.folder / f"{name}.toml", setup, Intake(**intake))
            except InputProblem:
                setup.unlink()
                raise
        return name

    def _files(self) -> list[Path]:
        found = []
        for path in self.folder.glob("*.toml"):
            if path.name.startswith(".") or path.is_symlink() or not path.is_file():
                continue
            found.append(path)
            if len(found) >= _MOST_FILES:
                break
        return found

    def _listed(self, path: Path) -> Listed | None:
        """The row of a file; None where it is no job."""
        try:
            state = path.stat()
        except OSError:
            return None
        stamp = state.st_mtime_ns, state.st_size
        known = self._known.get(path)
        if known is None or known[0] != stamp:
            known = stamp, (_row(path) if state.st_size <= _LARGEST else None)
            self._known[path] = known
        return known[1]

    def _free_name(self, wanted: str) -> str:
        plain = unicodedata.normalize("NFKD", wanted).encode("ascii", "ignore").decode().lower()
        base = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")[:40] or "bow"
        taken = {one.stem.lower() for one in self.folder.iterdir()}
        names = (base if k == 1 else f"{base}_{k}" for k in range(1, 10_000))
        return next(one for one in names if not {one, f"{one}_setup"} & taken)


def _row(path: Path) -> Listed | None:
    from vireton.job import LogError, read_log
    from vireton.setup.mistaken import has_log_keys

    try:
        log = read_log(path)
    except LogError as error:
        try:
            text = path.read_text("utf-8", "replace")
        except OSError:
            return None
        if not has_log_keys(text):
            return None
        return Listed(path.stem, path.stem, problem=str(error).replace(str(path), path.name))
    dates = [one for one in (log.intake.date, *log.dates) if one]
    return Listed(
        path.stem,
        log.intake.bow or log.name or path.stem,
        log.intake.owner,
        next((p.complaint for p in reversed(log.paperwork) if p.complaint), log.intake.complaint),
        dates[-1] if dates else "",
        len(log.rounds.counting),
        log.is_done,
    )


def _is_setup(path: Path) -> bool:
    from vireton.setup.mistaken import is_setup

    try:
        return is_setup(path.read_text("utf-8"))
    except (OSError, UnicodeDecodeError):
        return False


def _with_numbers(text: str, given: dict[str, str]) -> str:
    """The setup file with what was asked put in, its comments kept."""
    import tomlkit

    from vireton.setup.reading import single_kinds

    document: Any = tomlkit.parse(text)
    kinds = single_kinds()
    wanted = {key: _with_unit(key, given.get(key, "").strip(), unit) for key, _, unit in SIX}
    names = {key: words for key, words, _ in SIX}
    if given.get("bow"):
        wanted["bow.name"] = document["name"] = given["bow"]
    for key, value in wanted.items():
        if not value:
            continue
        try:
            kinds[key].read(value)
        except ValueError as wrong:
            raise InputProblem(f"{names.get(key, 'Bow')}: {wrong}") from None
        *above, last = key.split(".")
        table = document
        for one in above:
            table = table.setdefault(one, tomlkit.table())
        table[last] = value
    return str(tomlkit.dumps(document))


def _with_unit(key: str, text: str, unit: str) -> str:
    """``"60"`` with its unit; a spine of ``"340"`` in thousandths of an inch, as shafts say it."""
    if not re.fullmatch(r"[0-9]*\.?[0-9]+", text):
        return text
    if key == _SPINE and float(text) > 10.0:
        text = f"{float(text) / 1000.0:g}"
    return f"{text} {unit}"


def numbers_of(path: Path | None) -> dict[str, str]:
    """The six numbers as a setup file writes them; those of the usual bow for None."""
    import tomlkit

    from vireton.setup import template_text

    data: Any = tomlkit.parse(path.read_text("utf-8") if path else template_text())
    found = {}
    for key, _, _ in SIX:
        value = data
        for one in key.split("."):
            value = value.get(one, "") if isinstance(value, dict) else ""
        found[key] = str(value) if value else ""
    return found
