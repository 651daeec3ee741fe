"""Any truth against any strategy, played to the end and scored. PROTOCOL.md says how.

Run:  python validation/tuning/play.py --truths bent linear --strategies turning --bows 100

A truth or a strategy is a name from truths/ or strategies/, or FILE.py:NAME of your own. One row a
bow goes to bows.csv, one a stated chance to claims.csv, both in --out; bows that are in there
already are not played again. Prints the table at the end; asserts nothing.
"""

import argparse
import csv
import importlib.util
import math
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, field, fields
from functools import partial
from pathlib import Path
from typing import Any, cast

sys.path[:0] = [] if (own := str(Path(__file__).resolve().parent)) in sys.path else [own]

from protocol import (  # noqa: E402
    HERE,
    INCH,
    Aim,
    Ask,
    Claims,
    Film,
    Filmed,
    Move,
    Other,
    Paper,
    Round,
    Shoot,
    Shot,
    Stop,
    Strategy,
    Tear,
    Truth,
    Vector,
)
from scoring import Claim, Outcome, tables  # noqa: E402

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
#: Nobody shoots more than this at one bow, or does more things (both our choice).
MOST_ARROWS = 200
MOST_ACTIONS = 120
#: A move counts as worse beyond this; less is nothing that anybody could tell.
NOTHING = 0.01 * INCH


@dataclass
class _Table:
    """The bow on the bench: what is, and what the log says."""

    truth: Truth
    outcome: Outcome
    aim: Aim
    really: Vector = HERE
    history: list[Round] = field(default_factory=lambda: [Round(1, HERE)])
    exact: list[Round] = field(default_factory=lambda: [Round(1, HERE)])
    claims: list[Claim] = field(default_factory=list)
    settled: set[tuple[str, int]] = field(default_factory=set)
    first: bool = False

    @property
    def number(self) -> int:
        return self.history[-1].number

    def separation(self) -> Vector:
        return self.truth.separation(self.really)

    def left(self, aim: Aim | None = None) -> float:
        """From the aim, m."""
        goal = self.truth.clean() if (aim or self.aim) == "clean" else HERE
        there = self.separation()
        return math.hypot(there.right - goal.right, there.up - goal.up)

    def note(self, what: str, axis: str, size: float, chance: float, held: bool) -> None:
        s = self.outcome
        whose = (s.truth, s.strategy, s.rig, s.seed, self.number)
        self.claims.append(Claim(*whose, what, axis, size, chance, int(held), int(self.first)))

    def hear(self, claims: Claims) -> None:
        """Check what is said of the bow as it stands."""
        for size, chance in claims.within.items():
            self.note("within", "both", size / INCH, chance, self.left() < size)
        for level, axes in claims.intervals.items():
            for axis, (least, most), there in zip(
                ("right", "up"), axes, self.separation(), strict=True
            ):
                width = (most - least) / INCH
                self.note("interval", axis, width, level, least <= there <= most)

    def shoot(self, action: Shoot) -> None:
        for arrow, count in (("bare", action.bare), ("fletched", action.fletched)):
            kind: Any = arrow
            for _ in range(count):
                hit = self.truth.shoot(kind, self.really, action.distance)
                typed = self.truth.written(hit, self.number)
                self.exact[-1].shots.append(Shot(kind, action.distance, hit))
                self.history[-1].shots.append(Shot(kind, action.distance, typed))
                self.outcome.arrows += 1

    def paper(self, action: Paper) -> None:
        for _ in range(action.count):
            size = self.truth.tear(action.arrow, self.really, action.paper)
            typed = self.truth.written(size, self.number)
            self.exact[-1].tears.append(Tear(action.arrow, action.paper, size))
            self.history[-1].tears.append(Tear(action.arrow, action.paper, typed))
            self.outcome.arrows += 1
            self.outcome.tears += 1

    def film(self, action: Film) -> None:
        for _ in range(action.count):
            marks = self.truth.film(action.arrow, self.really, action.view, action.error)
            self.outcome.arrows += 1
            self.outcome.films += 1
            if marks is not None:
                seen = Filmed(action.arrow, action.view, action.error, tuple(map(tuple, marks)))
                self.history[-1].films.append(seen)
                self.exact[-1].films.append(seen)

    def move(self, action: Move) -> None:
        s, before = self.outcome, self.left()
        number = self.number + 1
        done = self.truth.carried_out(action.by, number)
        logged = self.history[-1].setting
        self.really = Vector(self.really.right + done.right, self.really.up + done.up)
        after = self.left()
        s.moves += 1
        s.rounds = number
        s.worse += after > before + NOTHING
        if action.claims.helps is not None:
            chance = action.claims.helps
            self.note("helps", "both", 0.0, chance, after < before - NOTHING)
            if chance >= 0.95:
                s.sure += 1
                s.sure_worse += after > before + NOTHING
                s.sure_nothing += abs(after - before) <= NOTHING
        there = Vector(logged.right + action.by.right, logged.up + action.by.up)
        self.history.append(Round(number, there))
        self.exact.append(Round(number, self.really))

    def ask(self, action: Ask) -> bool:
        """Whether it was so; then log and bow are put right. True ends it: contact is found."""
        which = (action.story, action.round)
        s = self.outcome
        so = any(
            story == action.story and (story == "contact" or at == action.round)
            for story, at in self.truth.happened()
        )
        self.history[-1].answers.append((action.story, action.round, so))
        if not so:
            s.false_alarms += 1
        elif action.story == "contact":
            s.contact, s.named_round = 1, self.number
            return True
        elif which not in self.settled:
            self.settled.add(which)
            s.asked_in_time += self.number <= action.round + 1
            self._correct(action)
        return False

    def _correct(self, action: Ask) -> None:
        at = action.round - 1
        if action.story in ("reversed", "slipped"):
            said, was = self.history[at], self.exact[at]
            before_said, before_was = self.history[at - 1], self.exact[at - 1]
            error = [
                (was.setting[k] - before_was.setting[k])
                - (said.setting[k] - before_said.setting[k])
                for k in (0, 1)
            ]
            for later in self.history[at:]:
                setting = later.setting
                later.setting = Vector(setting.right + error[0], setting.up + error[1])
        else:
            self.history[at].shots = list(self.exact[at].shots)
            self.history[at].tears = list(self.exact[at].tears)


def play(truth: Truth, strategy: Strategy, setup_path: Path, outcome: Outcome) -> list[Claim]:
    """Play one bow to its end; fills ``outcome`` and gives back the stated chances."""
    table = _Table(truth, outcome, strategy.aim)
    outcome.start = table.left() / INCH
    strategy.begin(setup_path)
    for _ in range(MOST_ACTIONS):
        action = strategy.next(table.history)
        table.first = isinstance(action, Move) and outcome.moves == 0
        table.hear(action.claims)
        if isinstance(action, Stop):
            outcome.ended = "stop"
            break
        if isinstance(action, Ask):
            if table.ask(action):
                outcome.ended = "contact"
                break
        elif isinstance(action, Move):
            table.move(action)
        elif isinstance(action, Shoot):
            table.shoot(action)
        elif isinstance(action, Paper):
            table.paper(action)
        elif isinstance(action, Film):
            table.film(action)
        else:
            assert isinstance(action, Other)  # nothing here can be done about it
        if outcome.arrows >= MOST_ARROWS:
            break
    outcome.happened = sum(story != "contact" for story, _ in truth.happened())
    outcome.left = table.left() / INCH
    outcome.left_clean = table.left("clean") / INCH
    outcome.left_together = table.left("together") / INCH
    return table.claims


# -- who plays ------------------------------------------------------------------------------------


def _from_file(name: str) -> Any:
    path, _, wanted = name.rpartition(":")
    spec = importlib.util.spec_from_file_location(Path(path).stem, path)
    if spec is None or spec.loader is None:
        raise SystemExit(f"{path} is no Python file. Give FILE.py:NAME.")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return getattr(module, wanted)


def truth_maker(name: str) -> Callable[[Path, int], Truth]:
    """By its name, or FILE.py:MAKER."""
    from truths import TRUTHS  # noqa: PLC0415  (the compiler's import takes a second)

    made: Callable[[Path, int], Truth] = TRUTHS[name] if name in TRUTHS else _from_file(name)
    return made


def strategy_maker(name: str) -> Callable[[], Strategy]:
    """By its name, or FILE.py:CLASS."""
    from strategies import STRATEGIES  # noqa: PLC0415

    made: Callable[[], Strategy]
    made = STRATEGIES[name] if name in STRATEGIES else _from_file(name)
    return made


def one_bow(truth: str, strategy: str, setup: Path, seed: int) -> tuple[Outcome, list[Claim]]:
    """One bow played, from names and a seed."""
    outcome = Outcome(truth, strategy, setup.stem, seed)
    claims = play(truth_maker(truth)(setup, seed), strategy_maker(strategy)(), setup, outcome)
    return outcome, claims


# -- files ----------------------------------------------------------------------------------------


def _append(path: Path, rows: Sequence[Outcome | Claim], kind: type[Outcome | Claim]) -> None:
    fresh = not path.exists()
    with path.open("a", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, [f.name for f in fields(kind)])
        if fresh:
            writer.writeheader()
        for row in rows:
            values = asdict(row).items()
            writer.writerow({k: f"{v:.4g}" if isinstance(v, float) else v for k, v in values})


def _read(path: Path, kind: type[Any]) -> list[Any]:
    if not path.exists():
        return []
    types: dict[str, Callable[[str], Any]] = {f.name: cast(Any, f.type) for f in fields(kind)}
    with path.open(newline="", encoding="utf-8") as file:
        return [
            kind(**{key: types[key](value) for key, value in row.items()})
            for row in csv.DictReader(file)
        ]


def read_outcomes(out: Path) -> tuple[list[Outcome], list[Claim]]:
    """All that was played into a folder."""
    return _read(out / "bows.csv", Outcome), _read(out / "claims.csv", Claim)


def _whose(row: Outcome | Claim) -> tuple[str, str, str, int]:
    return row.truth, row.strategy, row.rig, row.seed


def played(
    truths: Sequence[str],
    strategies: Sequence[str],
    setup: Path,
    seeds: Sequence[int],
    out: Path,
    processes: int = 1,
) -> tuple[list[Outcome], list[Claim]]:
    """Every truth against every strategy on these seeds; what is in ``out`` is not played again."""
    out.mkdir(parents=True, exist_ok=True)
    files = out / "bows.csv", out / "claims.csv"
    known = {_whose(s) for s in _read(files[0], Outcome)}
    said = _read(files[1], Claim)
    if any(_whose(claim) not in known for claim in said):  # stopped between the two files
        files[1].unlink()
        _append(files[1], [claim for claim in said if _whose(claim) in known], Claim)
    for truth in truths:
        for strategy in strategies:
            todo = [s for s in seeds if (truth, strategy, setup.stem, s) not in known]
            work = partial(one_bow, truth, strategy, setup)
            for outcome, claims in _each(work, todo, processes):
                _append(files[1], claims, Claim)
                _append(files[0], [outcome], Outcome)
    wanted = set(seeds)
    outcomes, claims = _read(files[0], Outcome), _read(files[1], Claim)

    def ours(row: Outcome | Claim) -> bool:
        named = row.truth in truths and row.strategy in strategies
        return named and row.rig == setup.stem and row.seed in wanted

    return [s for s in outcomes if ours(s)], [c for c in claims if ours(c)]


def _each(
    work: Callable[[int], tuple[Outcome, list[Claim]]], seeds: Sequence[int], processes: int
) -> Iterator[tuple[Outcome, list[Claim]]]:
    if processes == 1 or len(seeds) < 8:
        yield from map(work, seeds)
        return
    with ProcessPoolExecutor(min(processes, 2)) as pool:
        yield from pool.map(work, seeds, chunksize=4)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--truths", nargs="+", default=["bent"])
    parser.add_argument("--strategies", nargs="+", default=["turning"])
    parser.add_argument("--setup", type=Path, default=EXAMPLES / "mill_bow.toml")
    parser.add_argument("--bows", type=int, default=100)
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--out", type=Path, default=Path("played"))
    parser.add_argument("--processes", type=int, choices=(1, 2), default=1)
    given = parser.parse_args()
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    seeds = range(given.first_seed, given.first_seed + given.bows)
    print(
        tables(
            *played(given.truths, given.strategies, given.setup, seeds, given.out, given.processes)
        )
    )


if __name__ == "__main__":
    main()
