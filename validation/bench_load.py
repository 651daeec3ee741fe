"""Ten phones at one bench: is every entry kept once, and how long does an answer take?

``python validation/bench_load.py [PHONES] [ENTRIES] [SECONDS]``: so many phones, so many entries in
all, one each so many seconds from each phone (3 if not said: faster than anybody shoots). Each
phone has a bow of its own with 12 rounds; every tenth entry is sent twice, as a phone does that
heard no answer.
"""

import json
import secrets
import shutil
import statistics
import sys
import tempfile
import threading
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from bench_page.served import Served, serving  # noqa: E402
from vireton.job import create_log, read_log  # noqa: E402

ROUNDS = 12


def entry(k: int) -> dict[str, object]:
    """A bare tear that differs a little each time."""
    tears = ("right 1/16 in, high 1/16 in", "high 1/8 in", "left 1/16 in, high 1/16 in", "clean")
    return {
        "id": secrets.token_hex(16),
        "do": "add",
        "date": "2026-05-02",
        "reading": None,
        "typed": {"tear": [["bare", tears[k % 4]]], "at": "6 ft", "note": f"entry {k}"},
    }


def send(bench: Served, job: str, one: dict[str, object]) -> dict[str, object]:
    """The answer, advice and all; what is asked is taken as typed."""
    request = urllib.request.Request(
        f"{bench.url}api/jobs/{job}/entries",
        json.dumps(one).encode(),
        {"content-type": "application/json", "origin": bench.url[:-1]},
    )
    with urllib.request.urlopen(request, timeout=120) as answer:
        found: dict[str, object] = json.load(answer)
    return send(bench, job, one | {"reading": "typed"}) if "asks" in found else found


def phone(bench: Served, job: str, count: int, every: float, took: list[float]) -> None:
    """Send entries at a steady pace, some of them twice."""
    due = time.monotonic() + every * secrets.randbelow(1000) / 1000.0
    for k in range(count):
        time.sleep(max(0.0, due - time.monotonic()))
        one = entry(k)
        began = time.monotonic()
        assert "taken" in send(bench, job, one)
        took.append(time.monotonic() - began)
        if k % 10 == 9:
            send(bench, job, one)
        due += every


def main(phones: int = 10, entries: int = 600, every: float = 3.0) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copy(ROOT / "examples" / "mill_bow.toml", folder)
        jobs = [f"bow_{k}" for k in range(phones)]
        for job in jobs:
            create_log(folder / f"{job}.toml", folder / "mill_bow.toml")
        each = entries // phones
        with serving(folder) as bench:
            began = time.monotonic()
            for job in jobs:
                for k in range(ROUNDS):
                    send(bench, job, entry(k))
            warm = time.monotonic() - began
            took: list[list[float]] = [[] for _ in jobs]
            threads = [
                threading.Thread(target=phone, args=(bench, job, each, every, took[k]))
                for k, job in enumerate(jobs)
            ]
            began = time.monotonic()
            for one in threads:
                one.start()
            for one in threads:
                one.join()
            whole = time.monotonic() - began
        lost = 0
        for job in jobs:
            notes = [one.note for one in read_log(folder / f"{job}.toml").rounds.all[ROUNDS:]]
            lost += notes != [f"entry {k}" for k in range(each)]
    times = sorted(one for mine in took for one in mine)
    print(f"{phones} phones, {len(times)} entries in {whole:.0f} s ({warm:.0f} s to begin)")
    print(f"jobs with an entry lost, doubled or out of order: {lost}")
    print(
        f"answer: median {statistics.median(times):.3f} s, 95 % within "
        f"{times[int(0.95 * len(times)) - 1]:.3f} s, longest {times[-1]:.3f} s"
    )


if __name__ == "__main__":
    given = [float(one) for one in sys.argv[1:]]
    main(*(int(one) for one in given[:2]), *given[2:])
