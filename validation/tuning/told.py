"""Bows played to their end through a log, as a technician reads it: writes LOGS.md.

Run:  python validation/tuning/told.py

What is typed stands behind ``>``; below it what is answered, without the cautions. The bows are
invented, by truths that the library did not make, on seeds that nothing was tried on.
"""

import sys
import tempfile
from pathlib import Path
from typing import Any, NamedTuple

sys.path[:0] = [] if (own := str(Path(__file__).resolve().parent)) in sys.path else [own]

from play import truth_maker  # noqa: E402
from protocol import AT, PAPER, Truth, Vector  # noqa: E402

import vireton  # noqa: E402
from vireton.answers.tune import Tuned  # noqa: E402
from vireton.answers.tune_words import advice_words, standing_words  # noqa: E402
from vireton.bow.setting import BowSetting  # noqa: E402
from vireton.job import NewRound, append_round, create_log, read_log  # noqa: E402
from vireton.job.round_words import round_lines  # noqa: E402
from vireton.tuning.evidence import rest_of  # noqa: E402
from vireton.tuning.observations import Looked, Observation, Tear, group_of_shots  # noqa: E402
from vireton.units.display import US  # noqa: E402
from vireton.units.numbers import INCH  # noqa: E402

HERE = Path(__file__).resolve().parent
SETUP = HERE.parents[1] / "examples" / "mill_bow.toml"
MOST = 25


class Told(NamedTuple):
    """A bow: what is told of it, its truth, its seed, and whether only paper is shot."""

    title: str
    truth: str
    seed: int
    paper: bool = False


BOWS = (
    Told("A bow by the second launch model", "bent", 9001),
    Told("The same kind of bow, by paper alone", "bent", 9002, paper=True),
    Told("A bow that answers by common practice", "linear", 9003),
    Told("A rest that does not answer: something touches", "contact", 9004),
    Told("A move that went the other way", "reversed", 9005),
)


def shot(truth: Truth, tuned: Tuned, really: Vector, number: int) -> tuple[Observation, ...]:
    """What the next test shows: every tear, every arrow."""
    test = tuned.advice.test
    if test.kind == "tear":
        sizes = [truth.tear("bare", really, PAPER) for _ in range(test.count)]
        return tuple(Tear("bare", PAPER, *rounded(truth.written(s, number), 16)) for s in sizes)
    found = []
    for arrow in ("fletched", "bare"):
        kind: Any = arrow
        hits = [truth.shoot(kind, really, AT) for _ in range(test.count)]
        shots = tuple(rounded(truth.written(hit, number), 8) for hit in hits)
        found.append(group_of_shots(kind, AT, shots))
    return tuple(found)


def rounded(place: Vector, grain: int) -> tuple[float, float]:
    """As a ruler reads it."""
    right, up = (round(x / INCH * grain) / grain * INCH for x in place)
    return right, up


def told(bow: Told, folder: Path) -> list[str]:
    """The whole log, typed and answered."""
    truth = truth_maker(bow.truth)(SETUP, bow.seed)
    path = folder / "log.toml"
    create_log(path, SETUP)
    really, move = Vector(0.0, 0.0), BowSetting()
    lines = [f"## {bow.title}", "", f"Truth `{bow.truth}`, seed {bow.seed}.", "", "```"]
    for _ in range(MOST):
        tuned = vireton.tune(path, paper=bow.paper)
        lines += [f"  {standing_words(tuned, US)}"] if tuned.question.log.rounds.all else []
        lines += [f"  {line}" for line in advice_words(tuned, US)]
        number = len(read_log(path).rounds.all) + 1
        seen: tuple[Observation, ...]
        if tuned.advice.verdict == "stop":
            break
        if tuned.advice.verdict == "look":
            assert tuned.advice.story is not None
            story = tuned.advice.story
            so = any(k == story.kind and story.round in (0, n) for k, n in truth.happened())
            seen = (Looked(story.kind, max(story.round, 1), so),)  # type: ignore[arg-type]
            move = BowSetting()
        else:
            move = tuned.advice.move
            by = rest_of(move)
            if by:
                done = truth.carried_out(Vector(by.real, by.imag), number)
                really = Vector(really.right + done.right, really.up + done.up)
            seen = shot(truth, tuned, really, number)
        one = append_round(path, NewRound(seen, move=move), "us")
        said = [
            x for x in round_lines(read_log(path), one, "us") if not x.startswith("the rest now")
        ]
        lines += ["", *(f"> {line}" for line in said)]
        if isinstance(seen[0], Looked) and seen[0].found and seen[0].into == "contact":
            break
    left = truth.separation(really)
    clean = truth.clean()
    off = ((left.right - clean.right) ** 2 + (left.up - clean.up) ** 2) ** 0.5 / INCH
    return [*lines, "```", "", f"Really left: {off:.2f} in from a clean launch at 20 yd.", ""]


def main() -> None:
    """Write the file."""
    lines = ["# Logs as a technician reads them", "", __doc__.split("\n\n", 2)[2].strip(), ""]
    for bow in BOWS:
        with tempfile.TemporaryDirectory() as folder:
            lines += told(bow, Path(folder))
    (HERE / "LOGS.md").write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
