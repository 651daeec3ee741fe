"""A byte-level fuzzer of setup files, jobs and films: ``python tests/faults/fuzz.py 100000 7``.

Damages valid files byte by byte and line by line, reads each in this process and counts what came
of it: accepted, refused in words (an InputProblem), or a bug: any other exception, a message that a
terminal cannot show, or a reading that takes too long. The same seed gives the same mutants.
"""

import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from vireton.bow.arrow import assemble
from vireton.bow.cautions import cautions
from vireton.film.reading import read_film
from vireton.film.shaft import shaft_of
from vireton.flight.flight import Conditions
from vireton.job import read_log
from vireton.job.round_words import round_json, round_lines, two_things
from vireton.rig import assemble_rig
from vireton.setup import load_setup, template_text
from vireton.units.problems import InputProblem
from vireton_cli.filming import read_film_file

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
WHOLE = Path(__file__).with_name("whole")

#: Of the processor; one small file takes a few milliseconds, s.
TOO_LONG = 5.0

#: What an editor, a failing disk or a careless hand puts in.
_TOKENS = (
    *(b"\x00", b"\xff", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\xc2\x85", b"\xe2\x80\xa8"),
    *(b"\r", b"\r\n", b"\n", b"\t", b"\x1b[31m", b'"', b"'", b'"""', b"'''", b"\\", b"\\u0000"),
    *(b"[", b"]", b"[[", b"]]", b"{", b"}", b"=", b".", b",", b"#", b"[[round]]\n", b"[round]\n"),
    *(b"[bow]\n", b"[[rules]]\n", b"[[round.tear]]\n", b"a.b.c = 1\n", b"x = {}\n"),
    *(b"nan", b"inf", b"-inf", b"1e400", b"-0", b"0x7fffffffffffffff", b"1_000", b"9" * 60),
    *(b"9" * 5000, b"true", b"1979-05-27T07:32:00Z", b"1979-05-27", b"07:32:00"),
    *("½ ¼ − – — ⁄ ٣ １ µ ° ² \u2009 \u00a0 \u200b".encode().split(b" ")),
    *(b"1/0", b"1 3/2", b"1e308 in", b"-5 in", b"0 in", b"3 furlong", b"% ", b"5 in/in/in/in"),
)


@dataclass
class Tally:
    """Outcomes of a run; ``bugs`` holds the first bytes and the traceback of each kind of bug."""

    counts: Counter[str] = field(default_factory=Counter)
    bugs: dict[str, tuple[bytes, str]] = field(default_factory=dict)
    slowest: float = 0.0
    last: str = ""

    def bug(self, kind: str, path: Path, told: str) -> None:
        """Count a bug and keep the first of its kind."""
        self.count("bug")
        self.bugs.setdefault(kind, (path.read_bytes(), told))

    def count(self, outcome: str) -> None:
        """Count one."""
        self.counts[outcome] += 1
        self.last = outcome


def _place(dice: random.Random, raw: bytes) -> int:
    return dice.randrange(len(raw) + 1)


def _flip(dice: random.Random, raw: bytes) -> bytes:
    if not raw:
        return raw
    place = dice.randrange(len(raw))
    return raw[:place] + bytes([raw[place] ^ (1 << dice.randrange(8))]) + raw[place + 1 :]


def _delete(dice: random.Random, raw: bytes) -> bytes:
    start = _place(dice, raw)
    return raw[:start] + raw[start + dice.choice((1, 1, 2, 8, 40, 400)) :]


def _duplicate(dice: random.Random, raw: bytes) -> bytes:
    start, to = _place(dice, raw), _place(dice, raw)
    piece = raw[start : start + dice.choice((1, 4, 20, 200))]
    return raw[:to] + piece * dice.choice((1, 1, 2, 30)) + raw[to:]


def _insert(dice: random.Random, raw: bytes) -> bytes:
    to = _place(dice, raw)
    token = dice.choice((dice.choice(_TOKENS), dice.randbytes(dice.randint(1, 4))))
    return raw[:to] + token + raw[to:]


def _swap_lines(dice: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    one, other = dice.randrange(len(lines)), dice.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return b"\n".join(lines)


def _move_line(dice: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    line = lines[dice.randrange(len(lines))] if dice.random() < 0.5 else lines.pop()
    lines.insert(dice.randrange(len(lines) + 1), line)
    return b"\n".join(lines)


def _value(dice: random.Random, raw: bytes) -> bytes:
    """Another value for one key: of another key, or one of the tokens, in quotes or not."""
    lines = raw.split(b"\n")
    with_value = [place for place, line in enumerate(lines) if b"=" in line]
    if not with_value:
        return raw
    place = dice.choice(with_value)
    other = lines[dice.choice(with_value)].split(b"=", 1)[1].split(b"#")[0]
    token = dice.choice(_TOKENS)
    value = dice.choice((other, token, b'"' + token + b'"', b'"' + token + b' in"', b"[]", b"{}"))
    lines[place] = lines[place].split(b"=", 1)[0] + b"=" + value
    return b"\n".join(lines)


def _digit(dice: random.Random, raw: bytes) -> bytes:
    """Another digit in the place of one: most values stay what they are, and some stay possible."""
    places = [place for place, byte in enumerate(raw) if 48 <= byte <= 57]
    if not places:
        return raw
    place = dice.choice(places)
    digits = dice.choice((b"0", b"1", b"5", b"9", b"00", b".", b"1e", b"-", b""))
    return raw[:place] + digits + raw[place + 1 :]


def _drop_line(dice: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    del lines[dice.randrange(len(lines))]
    return b"\n".join(lines)


def _cut(dice: random.Random, raw: bytes) -> bytes:
    return raw[: _place(dice, raw)]


_DAMAGES: tuple[Callable[[random.Random, bytes], bytes], ...] = (
    *(_flip, _flip, _delete, _duplicate, _insert, _insert),
    *(_swap_lines, _move_line, _value, _value, _value, _cut),
    *(_digit, _digit, _digit, _digit, _drop_line),
)


def mutant(dice: random.Random, raw: bytes) -> bytes:
    """``raw`` with one to four damages."""
    for _ in range(dice.choice((1, 1, 1, 2, 3, 4))):
        raw = dice.choice(_DAMAGES)(dice, raw)
    return raw


def _uncommented(text: str) -> bytes:
    """The file without its comments, so that damage meets what is read."""
    lines = (line.split(" #")[0].rstrip() for line in text.split("\n"))
    return "\n".join(line for line in lines if line and not line.startswith("#")).encode()


def originals() -> list[tuple[bytes, Callable[[Path], object]]]:
    """Valid files, each with the function that reads it."""

    def text(name: str) -> str:
        return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")

    bows = [template_text(), *map(text, ("mill_bow", "orchard_bow", "mill_broadhead"))]
    bows.append((WHOLE / "measured.toml").read_text(encoding="utf-8"))
    log = text("mill_log")
    short = "\n".join(log.split("\n")[:32])
    whole = (WHOLE / "job.toml").read_text(encoding="utf-8")
    return [
        *((_uncommented(one), read_and_shoot) for one in bows),
        *((_uncommented(one), read_and_tell) for one in (log, short, whole)),
        ((EXAMPLES / "film_above.csv").read_bytes(), read_marked_film),
    ]


def read_and_shoot(path: Path) -> None:
    """Read a setup file, sight its bow in and shoot every arrow of it once."""
    setup = load_setup(path)
    conditions = Conditions(setup.air, drag_coefficient=setup.drag_coefficient)
    rig = assemble_rig(setup.bow, setup.parts, conditions, setup.sight)
    cautions(rig.bow, *rig.arrows)
    for arrow in rig.arrows:
        rig.shoot(arrow, [5.0, 20.0])


def read_and_tell(path: Path) -> None:
    """Read a job, and say every one of its rounds."""
    log = read_log(path)
    for one in log.rounds.all:
        round_lines(log, one, "us"), round_json(log, one), two_things(log, one)


def read_marked_film(path: Path) -> None:
    """Read a table of marks, and the film that it is of."""
    film = read_film_file("bare", "above", str(path), None)
    arrow = assemble(load_setup(EXAMPLES / "mill_bow.toml").parts)
    read_film(film.clip, shaft_of(arrow), 85.0)


def fuzz(mutants: int, seed: int) -> Tally:
    """Read that many mutants of the examples."""
    dice = random.Random(seed)
    files = originals()
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "file.toml"
        for _ in range(mutants):
            original, read = dice.choice(files)
            path.write_bytes(mutant(dice, original))
            attempt(read, path, tally)
    return tally


def attempt(
    read: Callable[[Path], object],
    path: Path,
    tally: Tally,
    too_long: float = TOO_LONG,
    besides: str = "",
) -> None:
    """Try it with this file, and count what came of it; ``besides`` is told of a bug too."""
    started = time.process_time()
    try:
        read(path)
    except InputProblem as problem:
        said = str(problem).replace("\n", "")
        if said.isprintable():
            tally.count("refused")
        else:
            tally.bug("a message that cannot be shown", path, ascii(said))
    except Exception as error:
        last = traceback.extract_tb(error.__traceback__)[-1]
        told = f"{besides}\n{traceback.format_exc()}"
        tally.bug(f"{type(error).__name__} in {last.name}", path, told)
    else:
        tally.count("accepted")
    took = time.process_time() - started
    tally.slowest = max(tally.slowest, took)
    if took > too_long:
        tally.bug(f"took {took:.0f} s", path, besides)


def main() -> None:
    """Fuzz at length and print the counts and every kind of bug."""
    mutants, seed = (int(text) for text in (*sys.argv[1:], "20000", "1")[:2])
    tally = fuzz(mutants, seed)
    print(f"{mutants} mutants: {dict(tally.counts)}; slowest {tally.slowest:.2f} s")
    for kind, (raw, told) in tally.bugs.items():
        print(f"\n{kind}\n{raw[:3000]!r}\n{told}")
    sys.exit(1 if tally.bugs else 0)


if __name__ == "__main__":
    main()
