"""The shop's folder: one job file a bow. The only place that turns a name into a file.

A job's name is that of its file without ``.toml``, and is looked up in the listing: no text of a
request ever becomes a path.
"""

import os
import re
import threading
import unicodedata
from pathlib import Path

from vireton.job.folder import JobLine, jobs_in
from vireton.units.problems import InputProblem

#: What a new job and its setup file may begin from: keys of the intake's questions.
_BOW_NAME = "bow.name"


class NoSuchJobError(LookupError):
    """No job of that name is in the listing."""


class Shop:
    """The jobs and setup files of ``folder``."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._jobs: dict[str, tuple[int, int]] = {}
        self._listed: tuple[object, list[tuple[str, JobLine]]] = (None, [])
        self._lock = threading.Lock()

    def jobs(self) -> list[tuple[str, JobLine]]:
        """Names and lines: open ones first, the last touched first among them."""
        state = [(path.name, self.version(path)) for path in self._files()]
        with self._lock:
            known, found = self._listed
        if known != state:
            own = {name for name, _ in state}
            found = [(Path(one.file).stem, one) for one in jobs_in(self.folder) if one.file in own]
            with self._lock:
                self._listed = state, found
        return found

    def path_of(self, name: str) -> Path:
        """The file of a job in the folder. Raises NoSuchJobError."""
        for path in self._files():
            if path.stem == name and self._is_job(path):
                return path
        raise NoSuchJobError(name)

    @staticmethod
    def version(path: Path) -> str:
        """Another text whenever the file has changed."""
        state = path.stat()
        return f"{state.st_mtime_ns:x}-{state.st_size:x}"

    def setups(self) -> dict[str, Path]:
        """Setup files by name: what a new job may begin from."""
        return {path.stem: path for path in self._files() if _is_setup(path)}

    def begin(self, paper: dict[str, str], answers: dict[str, str], like: str = "") -> str:
        """A new job, and the setup file of its bow; its name. Raises InputProblem.

        ``paper``: ``bow``, ``owner``, ``complaint`` and ``date``. ``answers`` by key of
        :data:`vireton.setup.intake.QUESTIONS`; ``like`` is a name of :meth:`setups` whose file
        holds all that is not answered.
        """
        from vireton.job import Intake, create_log
        from vireton.setup import parse_setup

        setups = self.setups()
        if like and like not in setups:
            raise InputProblem(f'there is no setup file "{like}" any more; choose another one')
        if paper.get("bow"):
            answers = {**answers, _BOW_NAME: paper["bow"]}
        text = _setup_text(answers, setups[like].read_text("utf-8") if like else "")
        with self._lock:
            name = self._free_name(paper.get("bow") or paper.get("owner") or "bow")
            setup = self.folder / f"{name}_setup.toml"
            parse_setup(text, setup)  # before anything is written
            with setup.open("x", encoding="utf-8") as file:
                file.write(text)
            try:
                create_log(self.folder / f"{name}.toml", setup, Intake(**paper))
            except InputProblem:
                setup.unlink()
                raise
        return name

    def _files(self) -> list[Path]:
        """Files of the folder itself; a link may lead out of it and is left out."""
        with os.scandir(self.folder) as entries:
            return [
                Path(one.path)
                for one in entries
                if one.name.endswith(".toml")
                and not one.name.startswith(".")
                and one.is_file(follow_symlinks=False)
            ]

    def _is_job(self, path: Path) -> bool:
        """Whether it is a job, read anew where the file has changed."""
        from vireton.job.line import read_line

        state = path.stat()
        stamp = state.st_mtime_ns, state.st_size
        if self._jobs.get(path.name) == stamp:
            return True
        if read_line(path)[0] is None:
            return False
        self._jobs[path.name] = stamp
        return True

    def _free_name(self, wanted: str) -> str:
        plain = unicodedata.normalize("NFKD", wanted).encode("ascii", "ignore").decode().lower()
        base = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")[:40] or "bow"
        taken = {one.stem.lower() for one in self.folder.iterdir()}
        names = (base if k == 1 else f"{base}_{k}" for k in range(1, 10_000))
        return next(one for one in names if not {one, f"{one}_setup"} & taken)


def problem_with(key: str, typed: str, before: dict[str, str]) -> str:
    """Why an answer cannot be taken beside those ``before`` it; empty where it can."""
    from vireton.setup.intake import BY_KEY, taken

    if key not in BY_KEY:
        return "that is no question of the intake"
    try:
        taken(key, typed, _checked(before))
    except InputProblem as error:
        return str(error)
    return ""


def without_folder(problem: InputProblem, folder: Path) -> str:
    """Its words without this folder, which is nobody's business on a phone."""
    return str(problem).replace(f"{folder}{os.sep}", "")


def _is_setup(path: Path) -> bool:
    from vireton.setup.mistaken import is_setup

    try:
        return is_setup(path.read_text("utf-8"))
    except (OSError, UnicodeDecodeError):
        return False


def _setup_text(answers: dict[str, str], like: str) -> str:
    """A short setup file of the answers; or the file that it is like, with them put in."""
    from vireton.setup.intake import BY_KEY, misfit, setup_text

    answers = {key: typed.strip() for key, typed in answers.items() if typed.strip()}
    for key in answers:
        if key not in BY_KEY:
            raise InputProblem(f"{key}: is no question of the intake")
    checked = _checked(answers)
    if like:
        return _put_in(like, answers)
    for one in BY_KEY.values():
        if one.needed and one.key not in answers:
            raise InputProblem(f"{one.ask}: nothing runs without it. Such as {one.like}")
    if problem := misfit(checked):
        key, _, told = problem.partition(": ")
        raise InputProblem(f"{BY_KEY[key].ask}: {told}" if key in BY_KEY else problem)
    return setup_text(answers)


def _checked(answers: dict[str, str]) -> dict[str, str]:
    """As the file holds them. Raises InputProblem that names the question."""
    from vireton.setup.intake import BY_KEY, written

    found = {}
    for key, typed in answers.items():
        try:
            found[key] = str(written(key, typed))
        except InputProblem as problem:
            raise InputProblem(f"{BY_KEY[key].ask}: {problem}") from None
    return found


def _put_in(text: str, answers: dict[str, str]) -> str:
    """The setup file with what was answered put in, its comments kept."""
    import tomlkit

    from vireton.setup.intake import written

    document = tomlkit.parse(text)
    for key, typed in answers.items():
        *above, last = key.split(".")
        table: dict[str, object] = document
        for one in above:
            inner = table.setdefault(one, tomlkit.table())
            if not isinstance(inner, dict):
                raise InputProblem(f"{one}: is no table in the setup file that it begins from")
            table = inner
        table[last] = written(key, typed)
    if _BOW_NAME in answers and "name" in document:
        document["name"] = answers[_BOW_NAME]
    return str(tomlkit.dumps(document))
