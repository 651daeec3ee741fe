"""Tuning logs: what holds for every round and every text around it."""

import tempfile
import tomllib
from dataclasses import replace
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from vireton.bow.setting import BowSetting
from vireton.job import (
    LogError,
    NewRound,
    append_round,
    read_log,
    withdraw_last,
)
from vireton.tuning.observations import (
    Tear,
    WalkbackPoint,
    group_of_center,
    group_of_shots,
    parse_shots,
    parse_tear,
    parse_walkback,
)
from vireton.units.move_names import parse_rest
from vireton.units.problems import InputProblem
from vireton.units.spelling import spelled, tidy
from vireton.units.text import parse

QUICK = settings(deadline=None, max_examples=150)
HEAD = 'schema = 1\nsetup = "bow.toml"\n'
INCH = 0.0254

ARROWS = st.sampled_from(["bare", "fletched"])
UNITS = st.sampled_from(["us", "metric"])


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Any float, and often one that a ruler shows."""
    sixtyfourths = st.integers(int(low / INCH * 64), int(high / INCH * 64)).map(
        lambda n: parse(f"{'-' if n < 0 else ''}{abs(n)}/64 in", "length")
    )
    tenths = st.integers(int(low * 1e4), int(high * 1e4)).map(
        lambda n: parse(f"{n / 10} mm", "length")
    )
    inside = sixtyfourths.filter(lambda x: low <= x <= high)
    return st.one_of(st.floats(low, high), inside, tenths.filter(lambda x: low <= x <= high))


TEARS = st.builds(Tear, ARROWS, lengths(0.92, 27.0), lengths(-0.3, 0.3), lengths(-0.3, 0.3))
IMPACTS = lengths(-3.0, 3.0)
FAR = lengths(1.9, 270.0)
PAIRS = st.tuples(IMPACTS, IMPACTS)
GROUPS = st.one_of(
    st.builds(group_of_shots, ARROWS, FAR, st.lists(PAIRS, min_size=1, max_size=5).map(tuple)),
    st.builds(
        group_of_center,
        ARROWS,
        FAR,
        PAIRS,
        st.integers(1, 200),
        st.one_of(st.none(), lengths(0.0, 3.0)),
    ),
)
POINTS = st.one_of(
    st.builds(WalkbackPoint, FAR, IMPACTS, level=st.booleans(), calm=st.booleans()),
    st.builds(WalkbackPoint, FAR, IMPACTS, st.integers(2, 200), lengths(0.0, 3.0)),
)
NOTES = st.text(
    st.characters(exclude_categories=["Cs"]).filter(lambda c: c.isprintable() or c in "\n\t"),
    max_size=40,
)
REST = lengths(-0.025, 0.025)
NEW_ROUNDS = st.builds(
    lambda tears, groups, points, right, up, note: NewRound(
        (*tears, *groups, *points),
        stands={k: v for k, v in {"rest_right": right, "rest_up": up}.items() if v is not None},
        note=note,
    ),
    st.lists(TEARS, max_size=2),
    st.lists(GROUPS, max_size=2),
    st.lists(POINTS, max_size=2),
    st.one_of(st.none(), REST),
    st.one_of(st.none(), REST),
    NOTES,
)


@settings(deadline=None, max_examples=60)
@given(news=st.lists(NEW_ROUNDS, min_size=1, max_size=4), units=UNITS)
def test_rounds_read_back_exactly_and_stay_as_they_are(news, units):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.toml"
        path.write_text(HEAD, encoding="utf-8")
        setting = BowSetting()
        for number, new in enumerate(news, start=1):
            before = path.read_bytes()
            done = append_round(path, new, units)
            setting = replace(setting, **new.stands)
            assert (done.number, done.setting) == (number, setting)
            assert done.observations == new.observations
            assert done.note == new.note
            assert path.read_bytes().startswith(before)
        rounds = read_log(path).rounds
        assert rounds.all == rounds.counting
        assert [one.note for one in rounds.all] == [new.note for new in news]


COMMENTS = st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=30).map(
    lambda text: f"#{text}"
)
BLANKS = st.sampled_from(["", "   ", "\t", "# [[round]]", '# "', "#'''"])


@settings(deadline=None, max_examples=60)
@given(
    between=st.lists(st.one_of(COMMENTS, BLANKS), min_size=5, max_size=5),
    behind=COMMENTS,
    end=st.sampled_from(["", "\n", "\r\n", "\n\n\n", "\n   "]),
    windows=st.booleans(),
)
def test_comments_and_odd_formatting_survive_byte_for_byte(between, behind, end, windows):
    text = (
        f"{between[0]}\nschema=1  {behind}\n{between[1]}\n  setup   =   'bow.toml'\n{between[2]}\n"
        f"[[ round ]] {behind}\n\tnumber = 3\n{between[3]}\n[[round.'tear']]\narrow='bare'\n"
        f'at="6 ft" {behind}\nright=\'0 in\'\nup = """1/8 in"""\n{between[4]}{end}'
    )
    raw = (text.replace("\r\n", "\n").replace("\n", "\r\n") if windows else text).encode()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.toml"
        path.write_bytes(raw)
        old = read_log(path).rounds.all
        append_round(path, NewRound(move=BowSetting(rest_up=INCH / 32)))
        withdraw_last(path)
        assert path.read_bytes().startswith(raw)
        rounds = read_log(path).rounds
        assert rounds.all[:1] == old == rounds.counting
        assert [one.number for one in rounds.all] == [3, 4, 5]


@QUICK
@given(
    value=st.floats(allow_nan=False, allow_infinity=False),
    style=st.sampled_from(["bench", "impact", "distance"]),
    units=UNITS,
)
def test_every_length_is_spelled_exactly(value, style, units):
    text = spelled(value, style, units)
    assert parse(text, "length") == value


@QUICK
@given(
    steps=st.lists(st.integers(-20, 20), min_size=1, max_size=30), size=st.sampled_from([32, 64])
)
def test_steps_add_up_to_steps(steps, size):
    stands = 0.0
    for step in steps:
        stands = tidy(stands + parse(f"{'-' if step < 0 else ''}{abs(step)}/{size} in", "length"))
    total = sum(steps)
    assert stands == parse(f"{'-' if total < 0 else ''}{abs(total)}/{size} in", "length")


@QUICK
@given(whole=st.integers(0, 3), top=st.integers(0, 63), left=st.booleans(), low=st.booleans())
def test_sides_mirror_exactly(whole, top, left, low):
    size = f"{whole} {top}/64 in"
    right, up = parse_tear(
        f"{'left' if left else 'right'} {size}, {'low' if low else 'high'} {size}"
    )
    value = (whole + top / 64) * INCH
    assert right == (-value if left else value)
    assert up == (-value if low else value)
    assert parse_rest(f"{size} {'left' if left else 'right'}") == (right, None)


NUMBERS = st.one_of(
    st.integers(-99, 99).map(str),
    st.floats(-99, 99).map(lambda x: f"{x:.3f}"),
    st.tuples(st.sampled_from(["", "-", "+", "−"]), st.integers(0, 9), st.integers(1, 9)).map(
        lambda t: f"{t[0]}{t[1]}/{t[2]}"
    ),
)


@QUICK
@given(
    shots=st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=8),
    comma=st.sampled_from([",", ", ", " , "]),
    apart=st.sampled_from([" ", "  ", "; ", "\n"]),
    unit=st.sampled_from(["", " in", "in", "cm", " mm"]),
)
def test_shots_however_they_are_typed(shots, comma, apart, unit):
    text = apart.join(f"{right}{comma}{up}" for right, up in shots) + unit
    name = unit.strip() or "in"
    expected = tuple(
        (parse(f"{right} {name}", "length"), parse(f"{up} {name}", "length")) for right, up in shots
    )
    assert parse_shots(text, "", "in") == expected


@QUICK
@given(
    text=st.one_of(st.text(max_size=30), st.text("0123456789 ,;./-+inmcydleftrightup", max_size=30))
)
def test_any_words_are_read_or_refused_in_words(text):
    for call in (parse_tear, parse_rest, parse_shots, parse_walkback):
        try:
            call(text, "--x")
        except InputProblem as problem:
            assert str(problem).startswith("--x: ")
            assert str(problem).isprintable()


SOUND = (
    HEAD + '[[round]]\nnumber = 1\n[[round.tear]]\narrow = "bare"\nat = "6 ft"\nright = "0 in"\n'
)
SOUND += 'up = "0 in"\n[[round]]\nundoes = 1\nrest_up = "0 in"\n'
LINES = SOUND.split("\n")


@QUICK
@given(
    where=st.lists(st.integers(0, len(LINES) - 1), min_size=1, max_size=3),
    junk=st.one_of(
        st.sampled_from(["", "[[round]]", "[round]", "round = 1", "number = 1e9", "undoes = 2"]),
        st.sampled_from(["tear = []", "tear = [1]", "[[round.tear.x]]", "[[round.group]]"]),
        st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
    ),
)
def test_a_damaged_log_is_read_or_refused_and_never_touched(where, junk):
    lines = list(LINES)
    for place in where:
        lines[place] = junk
    raw = "\n".join(lines).encode()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.toml"
        path.write_bytes(raw)
        try:
            append_round(path, NewRound(note="more"))
        except LogError as problem:
            assert str(problem).replace("\n", "").isprintable()
            assert path.read_bytes() == raw
            return
        after = path.read_bytes()
        assert after.startswith(raw)
        tomllib.loads(after.decode().removeprefix("\ufeff").replace("\r\n", "\n"))
