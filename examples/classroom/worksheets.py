"""Write the worksheets of the lessons and their answer keys: one printed sheet each.

Run:  python examples/classroom/worksheets.py

Both come from one list of questions. What stands in a key is worked out here, by the same questions
that the lesson's commands ask; the tests compare the sheets with it and with the lessons' outputs.
"""

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import vireton
from vireton.answers.table import Grid
from vireton.report.markup import Markup, element
from vireton.report.page import asset, head_of, section
from vireton.units.display import US
from vireton.units.numbers import FOOT, INCH

HERE = Path(__file__).parent
MILL = HERE.parent / "mill_bow.toml"
#: Bow, arrows and class are invented.
SAFETY = (
    "At a table: nobody draws a bow in class, nobody lets go of a string without an arrow on it, "
    "and nothing is shot. Who goes on to shoot does so on a range, at a backstop rated to stop the "
    "arrows, under a qualified instructor, by the range's rules and local law. Bow and arrows of "
    "this sheet are invented."
)
#: in, of one arrow on one axis, as lesson 3 supposes it.
SCATTER = 0.6


@dataclass(frozen=True)
class Ask:
    """A question, what a key answers, and how many lines a sheet leaves for it."""

    question: str
    answer: str
    lines: int = 2


@dataclass(frozen=True)
class Fill:
    """A table whose first column is given and whose other cells are read off a screen."""

    task: str
    heads: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Worksheet:
    """A lesson's sheet: parts by their heading."""

    title: str
    parts: tuple[tuple[str, tuple[Ask | Fill, ...]], ...]


def html_of(sheet: Worksheet, *, is_key: bool) -> str:
    """The sheet, or its key, as one page that prints on letter and A4."""
    title = f"{sheet.title}: {'answer key' if is_key else 'worksheet'}"
    parts = (
        section(f"part{k}", name, *(_part(one, is_key=is_key) for one in some))
        for k, (name, some) in enumerate(sheet.parts, 1)
    )
    who = "For the teacher" if is_key else "Name: ______________________   Date: ____________"
    body = element(
        "body",
        element("header", element("h1", title), element("p", who)),
        element("main", *parts),
        element("footer", element("p", SAFETY)),
        class_="lesson",
    )
    head = head_of(title, asset("sheet.css"))
    return "<!doctype html>\n" + element("html", head, body, lang="en") + "\n"


def _part(one: Ask | Fill, *, is_key: bool) -> Markup:
    if isinstance(one, Fill):
        return _table(one, is_key=is_key)
    if is_key:
        return element("p", f"{one.question} ", element("strong", one.answer))
    return element(
        "div",
        element("p", one.question),
        *(element("p", class_="write") for _ in range(one.lines)),
        class_="ask",
    )


def _table(one: Fill, *, is_key: bool) -> Markup:
    heads = element("tr", *(element("th", name, scope="col") for name in one.heads))
    rows = (
        element(
            "tr",
            element("th", row[0], scope="row"),
            *(element("td", cell if is_key else "") for cell in row[1:]),
        )
        for row in one.cells
    )
    kind = None if is_key else "fill"
    table = element("table", element("thead", heads), element("tbody", *rows), class_=kind)
    return element("div", element("p", one.task), table, class_="ask")


def _flown(setup: Path, rate: str, distances: str) -> tuple[Any, dict[str, Grid]]:
    """The answer of `vireton fly` as a lesson asks it, and its tables by title."""
    launch = {"yaw": "0 deg", "yaw_rate": rate} if rate else {}
    found = vireton.fly(setup, distances, **launch)
    return found, {grid.title: grid for grid in found.tables(US)}


def _column(grid: Grid, head: str) -> list[str]:
    return [row[grid.heads.index(head)] for row in grid.cells]


def _rows(*columns: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    return tuple(zip(*columns, strict=True))


def lesson_1() -> Worksheet:
    """Yaw, and what vanes do about it."""
    slow, tables = _flown(MILL, "0.5 rad/s", "5:30:5 yd")
    fast, _ = _flown(MILL, "1 rad/s", "10,20,30 yd")
    vanes, bare = tables["fletched, on the way"], tables["bare, on the way"]
    once, twice = (_bare_right(found, 20.0) for found in (slow, fast))
    yaw = [float(one) for one in _column(bare, "yaw °")]
    top = _column(bare, "at")[yaw.index(max(yaw))]
    swings = [float(one) for one in _column(vanes, "yaw °")]
    return Worksheet(
        "Lesson 1, yaw and vanes",
        (
            (
                "Predict",
                (
                    Ask(
                        "Two arrows leave with the nose turning right, one with vanes, one bare. "
                        "Does the yaw of each grow, stay, or come back?",
                        "With vanes it swings to both sides and dies away; bare it grows and comes "
                        "back slowly.",
                    ),
                    Ask("To which side does the bare shaft drift?", "To the side of its nose.", 1),
                ),
            ),
            (
                "Check: nose turning right at 0.5 rad/s",
                (
                    Fill(
                        "Read it off the screen.",
                        ("at", "with vanes: yaw °", "bare: yaw °", "bare: right, in"),
                        _rows(
                            _column(vanes, "at"),
                            _column(vanes, "yaw °"),
                            _column(bare, "yaw °"),
                            _column(tables["where they land"], "bare right, in"),
                        ),
                    ),
                    Ask(
                        "Where is the yaw of the bare shaft greatest, of these distances? And how "
                        "large is it, times the greatest with vanes?",
                        f"At {top}; {max(yaw) / max(map(abs, swings)):.1f} times.",
                        1,
                    ),
                ),
            ),
            (
                "Twice the turning",
                (
                    Ask(
                        "The nose now turns at 1 rad/s. By what factor does the bare shaft land "
                        "farther right at 20 yd? Why is it not 2?",
                        f"{twice:.2f} in against {once:.2f} in: {twice / once:.1f} times. The push "
                        "of the air across a shaft grows faster than the angle.",
                    ),
                ),
            ),
            (
                "Think",
                (
                    Ask(
                        "What do vanes cost? Compare the speeds at 20 yd.",
                        f"{_at(vanes, '20 yd', 'fps')} fps with vanes, "
                        f"{_at(bare, '20 yd', 'fps')} fps bare: they brake, and they weigh.",
                        1,
                    ),
                ),
            ),
        ),
    )


def _bare_right(found: Any, yards: float) -> float:
    rows = found.to_dict()["flights"]["bare"]
    return next(row["right_in"] for row in rows if abs(row["distance_yd"] - yards) < 1e-6)


def _at(grid: Grid, where: str, head: str) -> str:
    return _column(grid, head)[_column(grid, "at").index(where)]


def lesson_2() -> Worksheet:
    """Spin."""
    _, usual = _flown(MILL, "", "5,10,20,40 yd")
    crooked = [
        _flown(file, "0.5 rad/s", "10,20,40 yd")[1]
        for file in (HERE / "straight_vanes.toml", HERE / "steep_vanes.toml")
    ]
    setup = vireton.load(MILL)
    parts, fps = setup.parts, setup.bow.arrow_speed / FOOT
    angle = f"{math.degrees(parts.vanes.offset):.3g}°"
    middle = 0.5 * (parts.shaft.outside_diameter + parts.vanes.height) / INCH
    turn = 2.0 * math.pi * middle / math.tan(parts.vanes.offset)
    most = fps * 12.0 / turn
    vanes, bare = usual["fletched, on the way"], usual["bare, on the way"]
    spins = _column(vanes, "rev/s")
    top = max(map(float, spins))
    return Worksheet(
        "Lesson 2, spin",
        (
            (
                "Predict",
                (
                    Ask(
                        f"The vanes stand at {angle}, their middle {middle:.2f} in from the axis. "
                        "How far does the arrow fly for one turn, if it does not slip? "
                        f"(2πr ÷ tan {angle})",
                        f"{turn:.0f} in.",
                    ),
                    Ask(
                        f"At {fps:.0f} fps, how many turns a second are that?",
                        f"{fps:.0f} × 12 ÷ {turn:.0f} = {most:.0f}.",
                    ),
                    Ask(
                        "Does it spin that fast from the start? Does the bare shaft spin?",
                        "No: the vanes must first set it turning. The bare shaft does not.",
                        1,
                    ),
                ),
            ),
            (
                "Check: as it comes off the string",
                (
                    Fill(
                        "Read it off the screen.",
                        ("at", "with vanes: rev/s", "bare: rev/s"),
                        _rows(_column(vanes, "at"), spins, _column(bare, "rev/s")),
                    ),
                    Ask(
                        "What share of your number does it reach?",
                        f"{top:.1f} of {most:.0f}: {100.0 * top / most:.0f} %.",
                        1,
                    ),
                ),
            ),
            (
                "Check: straight vanes, and vanes at 3°, nose turning right",
                (
                    Fill(
                        "At 40 yd.",
                        ("vanes", "rev/s", "right, in", "up, in"),
                        tuple(
                            (
                                name,
                                _at(one["fletched, on the way"], "40 yd", "rev/s"),
                                _at(one["where they land"], "40 yd", "fletched right, in"),
                                _at(one["where they land"], "40 yd", "fletched up, in"),
                            )
                            for name, one in zip(("straight", "3°"), crooked, strict=True)
                        ),
                    ),
                    Ask(
                        "Which of these differ clearly? (Look whether the brackets overlap.)",
                        "Only the spin. For a straight arrow, spin does not steer; that vanes "
                        "stand at the back does.",
                    ),
                ),
            ),
            (
                "Think",
                (
                    Ask(
                        "Real arrows are a little bent. What could spin do for them, and how would "
                        "you try it out?",
                        "A fault then pushes once to every side (common practice, no source). Many "
                        "arrows of each kind, turn about: one of each tells nothing.",
                    ),
                ),
            ),
        ),
    )


def lesson_3() -> Worksheet:
    """Why bare shafts tell."""
    up = vireton.move_rest(MILL, up="1/32 in", distances="10:30:10 yd")
    side = vireton.move_rest(MILL, right="1/32 in", distances="20 yd")
    (grid,) = up.tables(US)
    rows = up.to_dict()["moves"][0]["rows"]
    near, middle, far = (row["separation_up_in"] for row in rows)
    (share, *_) = re.findall(r"left of the fletched on ([0-9]+) %", " ".join(side.words(US)))
    told = [math.ceil(8.0 * (SCATTER / 1.0) ** 2), math.ceil(16.0 * (SCATTER / 0.35) ** 2)]
    return Worksheet(
        "Lesson 3, why bare shafts tell",
        (
            (
                "Predict",
                (
                    Ask(
                        "The rest is moved up by 1/32 in, the sight stays. Where does the fletched "
                        "group go at 20 yd, and where the bare shaft?",
                        "Both up, the bare shaft more.",
                    ),
                    Ask(
                        "Suppose the sight was turned instead. Which number tells the two apart?",
                        "The separation, bare minus fletched: a turned sight leaves it as it is.",
                    ),
                ),
            ),
            (
                "Check: rest up 1/32 in",
                (
                    Fill(
                        "Read it off the screen.",
                        grid.heads,
                        grid.cells,
                    ),
                    Ask(
                        "By what factor does the separation grow from 10 to 30 yd? The distance?",
                        f"{far:.1f} ÷ {near:.2f} = {far / near:.0f} times; the distance 3 times.",
                        1,
                    ),
                    Ask(
                        "To which side does a move right send the bare shaft?",
                        f"Open: left on about {share} % of bows like this one. Only the bow itself "
                        "tells: shoot before and after one move.",
                    ),
                ),
            ),
            (
                f"How many arrows? One arrow scatters by {SCATTER} in",
                (
                    Fill(
                        "The middle of n arrows scatters by 0.6 ÷ √n, the difference of two such "
                        "middles by √2 times that.",
                        ("n", "one middle, in", "two middles, in"),
                        tuple(
                            (
                                str(n),
                                f"{SCATTER / n**0.5:.2f}",
                                f"{SCATTER * (2.0 / n) ** 0.5:.2f}",
                            )
                            for n in (1, 3, 10)
                        ),
                    ),
                    Ask(
                        "How many of each show a separation of 1 in, at twice its own scatter? And "
                        "how many, before and after, a change of 0.35 in?",
                        f"{told[0]} of each: 8 × (0.6 ÷ 1)², rounded up. {told[1]} of each, before "
                        "and after: 16 × (0.6 ÷ 0.35)². At 20 yd the separation here is "
                        f"{middle:.2f} in.",
                        3,
                    ),
                ),
            ),
        ),
    )


LESSONS: dict[str, Callable[[], Worksheet]] = {
    "1_yaw_and_vanes": lesson_1,
    "2_spin": lesson_2,
    "3_why_bare_shafts_tell": lesson_3,
}


def written() -> dict[str, str]:
    """Every page by the name of its file."""
    pages = {}
    for name, make in LESSONS.items():
        sheet = make()
        for kind, is_key in (("worksheet", False), ("key", True)):
            pages[f"{name}_{kind}.html"] = html_of(sheet, is_key=is_key)
    return pages


if __name__ == "__main__":
    for file, page in written().items():
        (HERE / "worksheets").mkdir(exist_ok=True)
        (HERE / "worksheets" / file).write_text(page, encoding="utf-8")
