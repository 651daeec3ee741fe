"""Every question asked of drawn bows: ``python tests/faults/drawn.py 1000 7`` (bows, seed).

An answer, read every way (words, JSON, now and then the picture), or a refusal in words; anything
else is a bug: another exception, a warning of a library, an array or a nan among the words, or more
than 10 s of the processor in silence. The same seed gives the same bows, logs and options.
"""

import argparse
import json
import math
import random
import re
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import Any

sys.path[:0] = [] if (tests := str(Path(__file__).resolve().parents[1])) in sys.path else [tests]

from faults.drawn_bows import drawn_bow, drawn_log  # noqa: E402
from faults.fuzz import Tally, attempt  # noqa: E402
from vireton.answers.kinds import One, Several  # noqa: E402
from vireton.answers.question import Question, about  # noqa: E402
from vireton.answers.reference import questions  # noqa: E402
from vireton.answers.table import Lines, Part  # noqa: E402
from vireton.report.page import page_html  # noqa: E402
from vireton.report.setup_page import SetupPage, setup_page  # noqa: E402
from vireton.setup import load_setup  # noqa: E402
from vireton.units.display import display  # noqa: E402
from vireton.units.problems import InputProblem  # noqa: E402
from vireton.units.quantity import Quantity  # noqa: E402
from vireton.units.text import split  # noqa: E402

#: s of the processor for one answer; a longer one shows how far it is.
LONGEST = 10.0
#: How often an option is anything that it may be, a picture is drawn, bands are as fine as usual.
ANY_OPTION, PICTURE, USUAL_DRAWS, PAGE = 0.15, 0.03, 0.04, 0.03
_FEW = 8

#: What no sentence for people holds.
_RAW = re.compile(
    r"\bnan\b|\binf\b|array\(|\[\s*-?[0-9.]+[\s\]]|\bNone\b(?! of)|object at 0x|Traceback"
)

#: What a question needs, or what makes it quick.
_NEEDED: dict[str, dict[str, Any]] = {
    "rest": {"up": "1/32 in", "right": "1/32 in"},
    "compare": {"vary": ["point.mass=80,150 gr"]},
    "marks": {"radius": "33 in"},
    "scatter": {"arrows": 256},
}


def ask(question: type[Question], given: dict[str, Any], units: str, *, picture: bool) -> None:
    """Ask, and read the answer every way. Raises InputProblem as commands do."""
    shown: list[str] = []

    def progress(items: Sequence[Any], doing: str) -> Sequence[Any]:
        shown.append(doing)
        return items

    began = time.process_time()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for of_others in (DeprecationWarning, PendingDeprecationWarning):  # no bow's fault
            warnings.simplefilter("ignore", of_others)
        try:
            read = question.read(given, system=units)  # type: ignore[arg-type]
            said = list(read.warnings)
            if question is SetupPage:
                page, _ = setup_page(read, display(units), progress)  # type: ignore[arg-type]
                page_html(page)
                return
            found = read.answer(progress)
            json.dumps(found.to_dict(), allow_nan=False)
            said += _texts(found.page(display(units)))  # type: ignore[arg-type]
            if picture and found.has_figure:
                found.figure(units)
        except InputProblem as problem:
            _demand_words([str(problem)])
            raise
    _demand_words(said)
    took = time.process_time() - began
    assert shown or took < LONGEST, f"{took:.0f} s in silence"


def _texts(page: Sequence[Part]) -> list[str]:
    """All that a page says."""
    found: list[str] = []
    for part in page:
        cells = () if isinstance(part, Lines) else (part.heads, *part.cells)
        found += part.lines if isinstance(part, Lines) else [" | ".join(row) for row in cells]
    return found


def _demand_words(texts: list[str]) -> None:
    raw = [one for one in texts if _RAW.search(one)]
    assert not raw, raw


def drawn_options(dice: random.Random, question: type[Question]) -> dict[str, Any]:
    """What else is asked: what is usual, here and there anything that may be."""
    given = {**_NEEDED.get(getattr(question, "command", ""), {})}
    for name, one in about(question).items():
        if name == "draws" and dice.random() >= USUAL_DRAWS:
            given[name] = _FEW
        elif name not in ("draws", "seed") and dice.random() < ANY_OPTION:
            if isinstance(one.kind, One):
                given[name] = _any_of(dice, one.kind.quantity)
            elif isinstance(one.kind, Several):
                some = [_any_of(dice, one.kind.item.quantity) for _ in range(dice.randint(1, 3))]
                given[name] = ",".join(some)
    return given


def _any_of(dice: random.Random, quantity: Quantity) -> str:
    """Within its stated range, both ends in one unit; near the usual one half of the time."""
    (low, unit), (high, other), (like, usual) = map(
        split, (quantity.low, quantity.high, quantity.like)
    )
    if unit != other or dice.random() < 0.5:
        return f"{like * dice.uniform(0.3, 3.0):.6g} {usual}"
    if low > 0.0 and high > 20.0 * low:
        return f"{min(max(low * (high / low) ** dice.random(), low), high):.6g} {unit}"
    return f"{dice.uniform(low, high):.6g} {unit}"


def drawn(
    bows: int, seed: int, seconds: float = math.inf, only: Collection[str] = ()
) -> tuple[int, dict[str, Tally]]:
    """Draw that many bows, or as many as the time allows, and ask every question of each.

    ``only``: the classes of some questions alone. How many bows were reached, and what came of it.
    """
    dice = random.Random(seed)
    asked = [SetupPage, *(question for question, _ in questions())]
    asked = [one for one in asked if not only or one.__name__ in only]
    tallies = {one.__name__: Tally() for one in asked}
    end = time.monotonic() + seconds
    reached = 0
    with tempfile.TemporaryDirectory() as folder:
        setup, log = Path(folder) / "bow.toml", Path(folder) / "log.toml"
        while reached < bows and time.monotonic() < end:
            setup.write_text(drawn_bow(dice), encoding="utf-8")
            log.write_text(drawn_log(dice, setup.name), encoding="utf-8")
            units = dice.choice(("us", "metric"))
            reached += 1
            if not _is_read(setup, tallies):
                continue
            for one in asked:
                given = drawn_options(dice, one)
                picture = dice.random() < PICTURE
                if one is SetupPage and dice.random() >= PAGE:
                    continue  # some seconds each
                name = next(iter(about(one)))
                either = log if reached % 2 else setup
                given[name] = {"log": log, "setups": [setup], "bow": either}.get(name, setup)
                read = _asking(one, given, units, picture=picture)
                attempt(read, setup, tallies[one.__name__], math.inf, str(given))
    return reached, tallies


def _asking(
    question: type[Question], given: dict[str, Any], units: str, *, picture: bool
) -> Callable[[Path], None]:
    def read(_path: Path) -> None:
        ask(question, given, units, picture=picture)

    return read


def _is_read(setup: Path, tallies: dict[str, Tally]) -> bool:
    """Whether the file is one; what is wrong with it every question would say."""
    tally = tallies.setdefault("reading", Tally())
    attempt(load_setup, setup, tally, LONGEST)
    return tally.last == "accepted"


def main() -> None:
    """Ask at length, and print the counts and every kind of bug."""
    parser = argparse.ArgumentParser(description="Every question asked of drawn bows.")
    parser.add_argument("bows", type=int, help="how many")
    parser.add_argument("seed", type=int, help="of the draws")
    parser.add_argument("--seconds", type=float, default=math.inf, help="no more bows after these")
    parser.add_argument("--only", nargs="*", default=(), help="such as FindHolds AimBroadhead")
    asked = parser.parse_args()
    reached, tallies = drawn(asked.bows, asked.seed, asked.seconds, asked.only)
    print(f"{reached} bows")
    for name, tally in tallies.items():
        print(f"{name}: {dict(tally.counts)}; slowest {tally.slowest:.1f} s")
    for name, tally in tallies.items():
        for kind, (raw, told) in tally.bugs.items():
            print(f"\n{name}: {kind}\n{raw.decode()}\n{told}")
    sys.exit(any(tally.bugs for tally in tallies.values()))


if __name__ == "__main__":
    main()
