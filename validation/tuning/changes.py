"""Do the intervals still hold after a change? Bows that the library did not make, changed.

Run:  nice python validation/tuning/changes.py --bows 100 --first-seed 30000 --out FOLDER

For each kind of change of truths/effects.py: a tear and a pair at 20 yd, the same with the rest
1/16 in right and up, the change, a tear and a pair, one more pair. What is said of the separation
at 20 yd is checked at each step. One row a statement goes to FOLDER/changes.csv; what is there is
not played again. Writes CHANGES.md beside this file where --write is given.
"""

import argparse
import csv
import sys
from collections.abc import Iterator, Sequence
from dataclasses import astuple, dataclass, fields, replace
from functools import cache
from pathlib import Path
from typing import Any, cast
from unittest import mock

sys.path[:0] = [] if (own := str(Path(__file__).resolve().parent)) in sys.path else [own]

import numpy as np  # noqa: E402
from changes_table import BEFORE, HEAD, Said, table  # noqa: E402
from protocol import AT, INCH, PAPER, Vector  # noqa: E402
from strategies.adviser import tuner as tuner_of  # noqa: E402
from truths.changed import Bow, Shooting  # noqa: E402
from truths.effects import EFFECTS, Told, aimed_anew, put_back  # noqa: E402
from truths.rig import read  # noqa: E402

from vireton.bow.setting import BowSetting  # noqa: E402
from vireton.flight.flight import Conditions  # noqa: E402
from vireton.job.building import Numbers  # noqa: E402
from vireton.job.read import TuningLog  # noqa: E402
from vireton.job.setups import setup_of  # noqa: E402
from vireton.rig import assemble_rig  # noqa: E402
from vireton.tuning import loop  # noqa: E402
from vireton.tuning.belief import mean_and_ends  # noqa: E402
from vireton.tuning.changes import Change  # noqa: E402
from vireton.tuning.flown import Flown  # noqa: E402
from vireton.tuning.loop import Tuner, Turn  # noqa: E402
from vireton.tuning.observations import Found, Observation, Tear, group_of_shots  # noqa: E402
from vireton.tuning.outlook import what_happened  # noqa: E402
from vireton.tuning.response import Shooter  # noqa: E402
from vireton.tuning.rounds import Round, Rounds  # noqa: E402

HERE = Path(__file__).resolve().parent
SETUP = HERE.parents[1] / "examples" / "mill_bow.toml"
#: Kinds that are played: the effects, and two of them put back.
KINDS = (*EFFECTS, "put back: cam spacer", "put back: draw weight")
FILE = "changes.csv"
_MOVED = Vector(INCH / 16.0, INCH / 16.0)


@dataclass(frozen=True)
class Remembering(Tuner):
    """A tuner that works the same rounds out once."""

    def turn(self, rounds: Any, setting: Any = None, denied: Any = ()) -> Turn:
        """See :meth:`Tuner.turn`."""
        key = repr((tuple(rounds), setting))
        if key not in _TURNS:
            # nothing is advised here, which is most of the work
            with mock.patch.object(loop, "advise", lambda *_, **__: None):
                _TURNS[key] = super().turn(rounds, setting, denied)
        return _TURNS[key]


_TURNS: dict[str, Turn] = {}


@cache
def flown_after(sets: tuple[tuple[str, str], ...], turns: float, what: str) -> Flown:
    """The arrows of the bow with the numbers that a change puts in place."""
    change = Change(cast(Any, what), turns=turns, sets=sets)
    numbers = Numbers(SETUP.read_text(encoding="utf-8")).after([change])
    log = TuningLog(SETUP, SETUP, None, Rounds(), versions=(numbers,))
    setup = setup_of(log, 0)
    return Flown(
        Shooter.of(assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight))
    )


def tuner_for(change: Change) -> Remembering:
    """Ready for the Mill bow with this change from version 1 on, where it tells numbers."""
    own = tuner_of(SETUP)
    given = {one.name: getattr(own, one.name) for one in fields(own)}
    if is_told(change):
        given["later"] = {1: flown_after(change.sets, change.turns, change.what)}
    return Remembering(**given)


def is_told(change: Change) -> bool:
    """Whether numbers of bow or arrow are others from then on."""
    return bool(change.sets or (change.turns and change.kind.per_turn))


def round_of(told: Told, number: int, setting: BowSetting) -> Round:
    """The round that a change begins, nothing shot yet."""
    if told.what == "loose part":
        return Round(number, setting, (Found("loose part"),))
    if told.what == "visit":
        return Round(number, setting, stage="visit", years=1.0)
    change = Change(cast(Any, told.what), told.right, told.up, told.turns, tuple(told.sets.items()))
    return Round(number, setting, changes=(change,), version=int(is_told(change)))


def seen(truth: Shooting, setting: Vector, tears: int = 1) -> tuple[Observation, ...]:
    """A tear and a pair at 20 yd, as they are read."""
    found: list[Observation] = [
        Tear("bare", PAPER, *truth.tear("bare", setting, PAPER)) for _ in range(tears)
    ]
    for arrow in ("fletched", "bare"):
        kind: Any = arrow
        hit = tuple(round(x / INCH * 8.0) / 8.0 * INCH for x in truth.shoot(kind, setting, AT))
        found.append(group_of_shots(kind, AT, (cast(Any, hit),)))
    return tuple(found)


def play(kind: str, seed: int) -> Iterator[Said]:
    """One bow and one change."""
    _TURNS.clear()
    random = np.random.default_rng([seed, 7, KINDS.index(kind)])
    bow = Bow.draw(random, read(SETUP))
    truth = bow.truth(random)
    setting = BowSetting(*_MOVED)
    rounds = [Round(1, BowSetting(), seen(truth, Vector(0.0, 0.0)))]
    rounds.append(Round(2, setting, seen(truth, _MOVED)))
    changed, told = EFFECTS[kind.removeprefix("put back: ")](random, bow)
    empty = round_of(told, 3, setting)
    later = aimed_anew(random, changed).truth(random)
    tuner = tuner_for(empty.changes[0] if empty.changes else Change("other"))
    before, was = truth, tuner.turn(rounds)
    if kind.startswith("put back"):
        rounds.append(replace(empty, observations=seen(later, _MOVED)))
        before = later
        later = aimed_anew(random, put_back(random, bow, changed)).truth(random)
        back = tuple(replace(one.back(), sets=()) for one in empty.changes)
        empty = Round(4, setting, changes=back, puts_back=3)
        was = tuner.turn(rounds)
    yield from _checked(kind, seed, "before", was, before)
    yield from _checked(kind, seed, "unshot", tuner.turn([*rounds, empty]), later)
    shot = [*rounds, replace(empty, observations=seen(later, _MOVED))]
    yield from _checked(kind, seed, "shot", tuner.turn(shot), later)
    yield from _happened(kind, seed, tuner, shot, before, later)
    again = replace(
        empty,
        number=empty.number + 1,
        changes=(),
        observations=seen(later, _MOVED, 0),
        stage=None,
        years=None,
        puts_back=None,
    )
    yield from _checked(kind, seed, "again", tuner.turn([*shot, again]), later)


def _checked(kind: str, seed: int, when: str, turn: Turn, truth: Shooting) -> Iterator[Said]:
    apart = turn.belief.separation(AT)
    mean, low, high = mean_and_ends(apart)
    _, near, far = mean_and_ends(apart, 0.5)
    there = truth.separation(_MOVED)
    for axis, name in enumerate(("right", "up")):
        yield Said(
            kind,
            seed,
            when,
            name,
            (there[axis] - mean[axis]) / INCH,
            0.5 * (high[axis] - low[axis]) / INCH,
            int(low[axis] <= there[axis] <= high[axis]),
            int(near[axis] <= there[axis] <= far[axis]),
        )


def _left(truth: Shooting) -> float:
    there, clean = truth.separation(_MOVED), truth.clean()
    return float(np.hypot(there.right - clean.right, there.up - clean.up))


def _happened(
    kind: str, seed: int, tuner: Tuner, rounds: Sequence[Round], was: Shooting, now: Shooting
) -> Iterator[Said]:
    found = what_happened(tuner, rounds, tuner.turn(rounds))
    if found is None or found.round != rounds[-1].number:  # a sight alone is no change
        return
    grown = _left(now) - _left(was)
    for chance, held in ((found.better, grown < 0.0), (found.worse, grown > 0.0)):
        yield Said(kind, seed, "shot", "happened", chance, 0.0, int(held), 0)


def in_order(rows: Sequence[Said]) -> list[Said]:
    """By kind."""
    return sorted(rows, key=lambda one: KINDS.index(one.kind))


def played(kinds: Sequence[str], seeds: Sequence[int], out: Path) -> list[Said]:
    """Every kind on these seeds; what is in ``out`` is not played again."""
    out.mkdir(parents=True, exist_ok=True)
    path = out / FILE
    known = _read(path)
    there = {(one.kind, one.seed) for one in known}
    fresh = not path.exists()
    with path.open("a", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        if fresh:
            writer.writerow([one.name for one in fields(Said)])
        for seed in seeds:
            for kind in kinds:
                if (kind, seed) not in there:
                    new = list(play(kind, seed))
                    known += new
                    writer.writerows(astuple(one) for one in new)
                    file.flush()
    return [one for one in known if one.kind in kinds and one.seed in seeds]


def _read(path: Path) -> list[Said]:
    if not path.exists():
        return []
    types = {one.name: cast(Any, one.type) for one in fields(Said)}
    with path.open(newline="", encoding="utf-8") as file:
        return [
            Said(**{key: types[key](value) for key, value in row.items()})
            for row in csv.DictReader(file)
        ]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--kinds", nargs="+", default=list(KINDS))
    parser.add_argument("--bows", type=int, default=100)
    parser.add_argument("--first-seed", type=int, default=30000)
    parser.add_argument("--out", type=Path, default=Path("played"))
    parser.add_argument("--write", action="store_true", help="write CHANGES.md")
    parser.add_argument("--reasoned", type=Path, help="folder of what was played before choosing")
    given = parser.parse_args()
    seeds = range(given.first_seed, given.first_seed + given.bows)
    rows = in_order(played(given.kinds, seeds, given.out))
    print(table(rows))
    if given.write:
        error = 100.0 * (0.95 * 0.05 / given.bows) ** 0.5
        head = HEAD.format(bows=given.bows, first=seeds[0], last=seeds[-1], error=error)
        text = f"{head}{table(rows)}\n"
        if given.reasoned:
            text += f"{BEFORE}{table(in_order(_read(given.reasoned / FILE)))}\n"
        (HERE / "CHANGES.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
