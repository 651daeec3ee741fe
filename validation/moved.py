"""Say how far every number of the tour has moved since 0.1.0.

Run:  python validation/moved.py

The tour's questions with what 0.1.0 answered them lie in ``tour_of_0_1_0.json``, taken from its own
``--json``. Writes ``moved.md`` beside itself, in half a minute; asserts nothing.
"""

import json
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

HERE = Path(__file__).parent
KEPT = HERE / "tour_of_0_1_0.json"
PAGE = HERE / "moved.md"

#: Keys with another name since.
RENAMED = {"centre_": "center_"}
#: Not the bow's: how it was worked out, and shares of what decides, whose list has changed.
LEFT_OUT = re.compile(
    r"^(schema|draws|seed|threads|arrows\w*)$|variance_shares|verdict|^arrow\.|\.(row|index)$|_error$"
)
#: A number that moved by less than this share of itself, or by less than this, is not listed.
STILL, NOTHING = 0.005, 0.003
#: What only says in which list of the answer a number stands.
LISTS = re.compile(r"\b(moves( \d+)?|rows|figures|variants|shafts|groups|fit)\b\.?\s*")
HEAD = """\
# How far the tour's numbers moved from 0.1.0 to now

Written by `python validation/moved.py`. The questions are those of the tour, on its invented bows;
each version answers with its own models. In brackets 9 of 10 bows like the one asked about. Why
they moved is in [the changes](../CHANGELOG.md). A number that moved by less than half a percent of
itself, or by less than 0.003, is counted and not listed.
"""


class Value(NamedTuple):
    """A number with its band's ends, where it has one."""

    middle: float
    ends: tuple[float, float] | None

    def shown(self) -> str:
        """``+1.16 (1.13 to 1.19)``."""
        ends = f" ({self.ends[0]:.3g} to {self.ends[1]:.3g})" if self.ends else ""
        return f"{self.middle:.4g}{ends}"


def values(answer: Any, at: str = "") -> Iterator[tuple[str, Value]]:
    """Every number of an answer, by where it stands: rows by their distance or their label."""
    if isinstance(answer, list):
        for index, one in enumerate(answer):
            if isinstance(one, dict):
                yield from values(one, f"{at} {_name(one, index)}".strip())
    elif isinstance(answer, dict):
        for key, one in answer.items():
            there = f"{at}.{_now(key)}".lstrip(".")
            if isinstance(one, dict | list):
                yield from values(one, there)
            elif _is_number(one) and not LEFT_OUT.search(there) and not key.startswith("distance"):
                ends = answer.get(f"{key}_range")
                yield there, Value(one, tuple(ends) if ends else None)


def _now(key: str) -> str:
    for old, new in RENAMED.items():
        key = key.replace(old, new)
    return key


def _name(row: dict[str, Any], index: int) -> str:
    if row.get("distance_yd") is not None:
        return f"{row['distance_yd']:g} yd"
    return str(row.get("label") or row.get("static_spine_in") or index + 1)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def moved(then: dict[str, Value], now: dict[str, Value]) -> tuple[list[list[str]], int]:
    """(rows of a table of what moved, how many did not)."""
    rows, still = [], 0
    for name, old in then.items():
        if (new := now.get(name)) is None:
            continue
        off = new.middle - old.middle
        if abs(off) <= max(NOTHING, STILL * max(abs(old.middle), abs(new.middle))):
            still += 1
        else:
            words = LISTS.sub("", name).replace("_", " ").replace(".", ": ")
            rows.append([words, old.shown(), new.shown(), f"{off:+.2g}"])
    return rows, still


def asked(command: str) -> Any:
    """What the command line answers now."""
    run = subprocess.run(
        [sys.executable, "-m", "vireton_cli.main", *shlex.split(command), "--json"],
        capture_output=True,
        text=True,
        cwd=HERE.parent,
        check=True,
    )
    return json.loads(run.stdout)


def main() -> None:
    """Ask everything again and write the page."""
    lines = [HEAD]
    for command, answer in json.loads(KEPT.read_text(encoding="utf-8")).items():
        rows, still = moved(dict(values(answer)), dict(values(asked(command))))
        lines.append(f"## `vireton {command}`\n")
        lines += ["| | 0.1.0 | now | moved |", "|---|---|---|---|"]
        lines += [f"| {' | '.join(row)} |" for row in rows]
        lines.append(f"\n{len(rows)} moved, {still} did not.\n")
    PAGE.write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
