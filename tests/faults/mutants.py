"""Small mistakes made in the source, one by one: which test sees each? ``mutants.py --first-only``.

The list is ``mutations.txt`` beside this: a name and the test files most likely to see it, what the
source says, what it then says instead. Each text is looked for wherever it lies, and is there once.
With ``--drawn 100 1`` (how many, the seed) they are drawn by ``mistakes.py`` instead, and their
likely tests are those of the module's own name.

Works in a copy of the whole tree. First each mistake by itself against its likely tests; then those
that are left, together, against all others (a test that fails is tried with each alone), those of
the library first. A test counts only if it passes on the unharmed source.
"""

import argparse
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from fnmatch import fnmatch
from pathlib import Path
from typing import NamedTuple

from mistakes import drawn_mistakes

ROOT = Path(__file__).resolve().parents[2]
LIST = Path(__file__).with_name("mutations.txt")

#: Run on the unharmed source first: they compile most of the kernel, and must pass.
WARMING = "test_flight.py test_fit.py test_release.py test_outlook*"
#: All tests in the order in which they are tried on what is left: folders, and a pattern.
WIDER = "tests/sim tests/properties tests/validation test_*"

PYTEST = ("-x", "-q", "-n0", "-p", "no:cacheprovider", "--hypothesis-seed=0", "--tb=no", "-rfE")
ASK_CACHE = "from vireton.kernel.compiled import CACHE_FOLDER as c; print(c, end='')"
FAILED = re.compile(r"^(?:FAILED|ERROR) (\S+?(?:\[.*?\])?)(?: - .*)?$", re.M)
LONGEST = 900.0  # s for likely tests, or for one test: beyond it a mutant does not end


class Mutation(NamedTuple):
    """One mistake: its name, the test files most likely to see it, and two texts."""

    name: str
    likely: str
    text: str
    instead: str
    file: Path | None = None  # where it lies, None to look for it


def drawn(count: int, seed: int) -> list[Mutation]:
    """Drawn mistakes, each with the tests named like its module."""
    made = []
    for one in drawn_mistakes(ROOT, count, seed):
        file = one.file.relative_to(ROOT)
        stem = file.stem.removesuffix("_words")
        likely = f"test_{file.stem}*.py test_{stem}*.py"
        name = f"{file}:{one.line}: {one.instead.splitlines()[-1].strip()}"
        made.append(Mutation(name, likely, one.text, one.instead, file))
    return made


def mutations() -> list[Mutation]:
    """The whole list."""
    lines = [line.strip() for line in LIST.read_text(encoding="utf-8").splitlines()]
    heads = [line.partition(":") for line in lines[::3]]
    return [
        Mutation(name, likely, *texts)
        for (name, _, likely), *texts in zip(heads, lines[1::3], lines[2::3], strict=True)
    ]


class Tree:
    """A copy of the source in a temporary folder, its machine code beside it.

    Mistakes are made in it and taken back, so that machine code of what is sound serves again.
    """

    def __init__(self, folder: Path, end: float) -> None:
        self.root, self._kept, self._end = folder / "tree", folder / "kept", end
        leave = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info", "build", "dist")
        shutil.copytree(ROOT, self.root, ignore=leave)
        self._sources = [p for d in ("sim", "cli") for p in (self.root / d).rglob("*.py")]
        self._passing: set[str] = set()
        self.broken: list[str] = []  # fail on the unharmed source

    def places(self, mutation: Mutation) -> list[Path]:
        """The files that hold its text, one for each time."""
        sources = [self.root / mutation.file] if mutation.file else self._sources
        times = {path: path.read_text("utf-8").count(mutation.text) for path in sources}
        return [path for path, count in times.items() for _ in range(count)]

    def tests(self, wanted: str) -> list[str]:
        """Test files by patterns of their names, or below folders, in the order asked for."""
        files = sorted((self.root / "tests").rglob("test_*.py"))
        found = [
            str(file.relative_to(self.root))
            for one in wanted.split()
            for file in files
            if fnmatch(file.name, one) or file.is_relative_to(self.root / one)
        ]
        return list(dict.fromkeys(found))

    def first_failing(
        self, made: list[Mutation], tests: list[str], longest: float = LONGEST
    ) -> str | None:
        """The first test that fails with these mistakes made, None where all pass.

        "no end" beyond ``longest`` s. TimeoutError where all time is over.
        """
        while found := self._run(made, tests, longest):
            if found in self._passing or found == "no end":
                return found
            if self._run([], [found], LONGEST) is None:
                self._passing.add(found)
                return found
            self.broken.append(found)
        return None

    def _run(self, made: list[Mutation], tests: list[str], longest: float) -> str | None:
        harmed = {self.places(one)[0] for one in made}
        before = {path: (path.read_bytes(), path.stat()) for path in harmed}
        try:
            for one in made:
                path = self.places(one)[0]
                path.write_text(path.read_text("utf-8").replace(one.text, one.instead), "utf-8")
            return self._pytest(tests, self._environment(harmed), longest)
        finally:
            for path, (raw, status) in before.items():
                path.write_bytes(raw)  # with its old date, which machine code is known by
                os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))

    def _environment(self, harmed: set[Path]) -> dict[str, str]:
        """For the copy's own sources, and machine code beside it."""
        paths = os.pathsep.join(str(self.root / one) for one in ("sim", "cli"))
        own = os.environ | {"PYTHONPATH": paths, "PYTHONDONTWRITEBYTECODE": "1"}
        kept = self._kept / ("harmed" if harmed else "unharmed")
        own["VIRETON_CACHE_DIR"] = str(kept)
        if harmed:
            shutil.rmtree(kept, ignore_errors=True)
        if harmed and all("kernel.compiled import" not in p.read_text("utf-8") for p in harmed):
            # what is compiled is not harmed, though the hash of all sources says so
            asked = (sys.executable, "-c", ASK_CACHE)
            said = subprocess.run(asked, env=own, capture_output=True, text=True, check=False)
            for folder in (self._kept / "unharmed").glob("*") if said.stdout else ():
                shutil.copytree(folder, said.stdout, dirs_exist_ok=True)
        return own

    def _pytest(self, tests: list[str], environment: dict[str, str], longest: float) -> str | None:
        left = max(0.0, self._end - time.monotonic())
        skipped = [word for one in self.broken for word in ("--deselect", one)]
        run = subprocess.Popen(
            [sys.executable, "-m", "pytest", *PYTEST, *tests, *skipped],
            cwd=self.root,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        try:
            said, _ = run.communicate(timeout=min(left, longest))
        except subprocess.TimeoutExpired:
            if left <= longest:
                raise TimeoutError from None
            return "no end"
        finally:
            if run.poll() is None:
                os.killpg(run.pid, signal.SIGKILL)
                run.communicate()
        found = FAILED.search(said)
        if run.returncode in (0, 5):  # 5: all that was asked for is left out
            return None
        if not found:  # a crash, or somebody ended it
            raise RuntimeError(f"pytest ended with {run.returncode}: {said}")
        return found[1]


class Outcomes(dict[str, dict[str, object]]):
    """What became of each mistake, printed and kept in a file as it comes."""

    def __init__(self, file: Path | None) -> None:
        super().__init__()
        self._file = file

    def tell(self, mutation: Mutation, outcome: str, **more: object) -> None:
        """Keep it in place of what was told before."""
        self[mutation.name] = {"outcome": outcome, **more}
        print(f"{mutation.name}: {outcome}", *(f"{k} {v}" for k, v in more.items()), flush=True)
        if self._file:
            self._file.write_text(json.dumps(self, indent=1) + "\n", encoding="utf-8")


def likely_tests(tree: Tree, chosen: list[Mutation], outcomes: Outcomes) -> list[Mutation]:
    """Each by itself against its likely tests; returns those that no test has seen."""
    left: list[Mutation] = []
    for one in chosen:
        if (times := len(tree.places(one))) != 1:
            outcomes.tell(one, f"found {times} times" if times else "not found")
            continue
        began, tests = time.monotonic(), tree.tests(one.likely)
        found = tree.first_failing([one], tests) if tests else None
        outcome, seconds = "caught" if found else "survived so far", round(time.monotonic() - began)
        outcomes.tell(one, outcome, by=found, seconds=seconds, stage=f"{len(tests)} likely files")
        left += [] if found else [one]
    return left


def wider_tests(tree: Tree, left: list[Mutation], outcomes: Outcomes) -> list[Mutation]:
    """Those that are left, made together, against all other tests; returns those still left."""
    began, tests = time.monotonic(), tree.tests(WIDER)
    while left and (found := tree.first_failing(left, tests, 1e9)):
        seen = [one for one in left if tree.first_failing([one], [found]) == found]
        for one in seen:
            seconds = round(time.monotonic() - began)
            outcomes.tell(one, "caught", by=found, seconds=seconds, stage="all")
        if not seen:  # fails with several of them only
            print(f"{found} sees {', '.join(one.name for one in left)} together", flush=True)
            tree.broken.append(found)
        left = [one for one in left if one not in seen]
        # those before it have passed with more mistakes than are left
        tests = tests[tests.index(found.partition("::")[0]) :]
    return left


def main() -> None:
    """Read the options, run, and say what is left."""
    read = argparse.ArgumentParser(
        description="Small mistakes in the source: which test sees each?"
    )
    read.add_argument("--only", action="append", metavar="NAME", help="this one; may be repeated")
    read.add_argument("--list", action="store_true", help="say which and where, run nothing")
    read.add_argument("--drawn", type=int, nargs=2, metavar=("COUNT", "SEED"), help="drawn ones")
    read.add_argument("--first-only", action="store_true", help="only each one's likely tests")
    read.add_argument("--json", type=Path, metavar="FILE", help="keep the outcomes in this file")
    read.add_argument("--minutes", type=float, default=1e6, help="end after this long")
    given = read.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # leave no process and no folder
    known = drawn(*given.drawn) if given.drawn else mutations()
    chosen = [one for one in known if not given.only or one.name in given.only]
    if not chosen:
        read.error("no mutation has that name; see --list")
    outcomes = Outcomes(given.json)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        tree = Tree(Path(folder), time.monotonic() + 60.0 * given.minutes)
        if given.list:
            for one in chosen:
                print(f"{one.name}: in {len(tree.places(one))} place(s);{one.likely}")
            return
        try:
            tree.first_failing([], tree.tests(WARMING))
            left = likely_tests(tree, chosen, outcomes)
            if not given.first_only:
                for one in wider_tests(tree, left, outcomes):
                    outcomes.tell(one, "survived")
        except TimeoutError:
            print("the time is over")
    for outcome, count in Counter(str(one["outcome"]) for one in outcomes.values()).items():
        print(f"{count} of {len(chosen)} {outcome}")
    if tree.broken:
        print(f"fail on the unharmed source too, and were left out: {', '.join(tree.broken)}")


if __name__ == "__main__":
    main()
