"""Writers of a job file that are killed at random: ``python tests/faults/kills.py 1000 7``.

Each is a process of its own that records rounds one after the other and tells the number of each
as soon as it is recorded. It dies by SIGKILL at a random moment. Then the file must be read, begin
with the bytes it had, and hold every round that was told exactly once, in order, with at most one
more: the one that was recorded and not yet told. POSIX only, for the writers are forked.
"""

import itertools
import os
import random
import signal
import sys
import tempfile
import time
import traceback
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from vireton.job import NewRound, append_round, create_log, read_log
from vireton.setup import template_text
from vireton.tuning.observations import Tear
from vireton.units.problems import InputProblem

#: Deaths that one file takes, with what they leave beside it; a long file would be slow.
_LIVES = 25
_TEAR = Tear("bare", 1.8288, 0.001, 0.002)


@dataclass
class Tally:
    """What came of it. ``untold``: deaths between the recording and the telling.

    ``parts``: deaths that left a part of a new file beside the old one. ``faults`` must be empty.
    """

    kills: int = 0
    told: int = 0
    untold: int = 0
    parts: int = 0
    faults: list[str] = field(default_factory=list)


class _End(NamedTuple):
    """A writer is killed so many seconds after it has told so many rounds."""

    rounds: int
    seconds: float


def kill_writers(folder: Path, kills: int, seed: int) -> Tally:
    """Kill that many writers, one after the other."""
    dice = random.Random(seed)
    setup = folder / "bow.toml"
    setup.write_text(template_text(), encoding="utf-8")
    tally = Tally()
    for first in range(0, kills, _LIVES):
        path = create_log(folder / f"job_{first}.toml", setup).path
        began = time.monotonic()
        append_round(path, NewRound((_TEAR,), note="begun"))
        pace = time.monotonic() - began
        notes = ["begun"]
        for life in range(first, min(first + _LIVES, kills)):
            end = _End(dice.randrange(4), dice.uniform(0.0, 1.5 * pace))
            notes = _live(path, life, notes, end, tally)
    return tally


def _live(path: Path, life: int, notes: list[str], end: _End, tally: Tally) -> list[str]:
    """Let one writer record until its end, and check. The notes of all rounds that there are."""
    before, parts = path.read_bytes(), _parts(path)
    told = _told_before_death(path, life, end, tally)
    tally.kills += 1
    tally.told += len(told)
    tally.parts += bool(_parts(path) - parts)
    try:
        rounds = read_log(path).rounds.all
    except InputProblem as problem:
        tally.faults.append(f"writer {life}: the file cannot be read: {problem}")
        return notes
    after = [one.note for one in rounds]
    own = [f"{life} {turn}" for turn in range(len(told))]
    untold = after[len(notes) + len(own) :]
    tally.untold += len(untold)
    if not path.read_bytes().startswith(before):
        tally.faults.append(f"writer {life}: what was there has changed")
    if after[: len(after) - len(untold)] != notes + own or untold not in (
        [],
        [f"{life} {len(own)}"],
    ):
        tally.faults.append(f"writer {life}: told {own}, behind {len(notes)} rounds: {after}")
    if [one.number for one in rounds] != list(range(1, len(rounds) + 1)):
        tally.faults.append(f"writer {life}: numbers {[one.number for one in rounds]}")
    if told != list(range(len(notes) + 1, len(notes) + 1 + len(told))):
        tally.faults.append(f"writer {life}: told {told} behind {len(notes)} rounds")
    return after


def _parts(path: Path) -> set[tuple[str, int]]:
    """Name and time of what dead writers left beside the file."""
    return {(one.name, one.stat().st_mtime_ns) for one in path.parent.glob(f".{path.name}*.part")}


def _told_before_death(path: Path, life: int, end: _End, tally: Tally) -> list[int]:
    """Numbers of the rounds that a writer told before it was killed."""
    here, there = os.pipe()
    writer = os.fork()
    if writer == 0:
        _write(path, life, there)
    os.close(there)
    with os.fdopen(here, encoding="ascii") as stream:
        lines = [stream.readline() for _ in range(end.rounds)]
        time.sleep(end.seconds)
        os.kill(writer, signal.SIGKILL)
        _, status = os.waitpid(writer, 0)
        lines += stream.readlines()
    if not os.WIFSIGNALED(status):
        tally.faults.append(f"writer {life}: ended by itself")
    return [int(line) for line in lines if line.endswith("\n")]


def _write(path: Path, life: int, teller: int) -> None:
    """Record and tell until death; never returns into what was forked."""
    try:
        for turn in itertools.count():
            number = append_round(path, NewRound((_TEAR,), note=f"{life} {turn}")).number
            os.write(teller, f"{number}\n".encode())
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(1)


def main() -> None:
    """Kill at length and print the counts and every fault."""
    kills, seed = (int(text) for text in (*sys.argv[1:], "1000", "1")[:2])
    with tempfile.TemporaryDirectory() as folder:
        tally = kill_writers(Path(folder), kills, seed)
    print(
        f"{tally.kills} writers killed: {tally.told} rounds told, all there; {tally.untold} more "
        f"recorded and not yet told; {tally.parts} left a part of a new file"
        if not tally.faults
        else "\n".join(tally.faults)
    )
    sys.exit(1 if tally.faults else 0)


if __name__ == "__main__":
    main()
