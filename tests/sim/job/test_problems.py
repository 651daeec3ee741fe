"""What is wrong with a log, in words, with its line; all at once."""

import tomllib
from pathlib import Path

import pytest

from vireton.job.errors import LogError
from vireton.job.problems import number_rounds
from vireton.job.read import parse_log

HEAD = 'schema = 1\nsetup = "bow.toml"\n'
TEAR = '[[round.tear]]\narrow = "bare"\nat = "6 ft"\nright = "0 in"\nup = "0 in"\n'


def problems(text: str) -> list[str]:
    with pytest.raises(LogError) as caught:
        parse_log(text.encode(), Path("log.toml"))
    return str(caught.value).split("\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            HEAD + '[[round]]\nrest_rihgt = "1/32 in"\n',
            'log.toml, line 4: round 1, rest_rihgt: unknown key; did you mean "rest_right"?',
        ),
        (
            HEAD + '[[round]]\nshots = ["1 in, 1 in"]\n',
            "log.toml, line 4: round 1, shots: unknown key here; it belongs under [[round.group]]",
        ),
        (
            HEAD + "[[round]]\n" + TEAR + "color = 1\n",
            "log.toml, line 9: round 1, tear 1, color: unknown key; known here: arrow, at, right, "
            "up",
        ),
        (
            HEAD + "[[round]]\nnumber = 7\n" + TEAR + TEAR.replace('up = "0 in"\n', ""),
            "log.toml, line 10: round 7, tear 2, up: is missing; write it like "
            'up = "-1/16 in" (Tail above the point, below negative)',
        ),
        (
            HEAD + "[[round]]\n" + TEAR.replace("bare", "baer"),
            'log.toml, line 5: round 1, tear 1, arrow: "baer" is not "bare" or "fletched"; did you '
            'mean "bare"?',
        ),
        (
            HEAD + "[[round]]\n" + TEAR.replace('"0 in"', "0.0625", 1),
            "log.toml, line 7: round 1, tear 1, right: 0.0625 has no unit; write it like "
            '"0.0625 in"',
        ),
        (
            HEAD + "[[round]]\n" + TEAR.replace("[[round.tear]]", "[round.tear]"),
            "log.toml, line 4: round 1, tear: a table where tables are needed: write "
            "[[round.tear]] on a line of its own and the keys below",
        ),
        (
            HEAD + "round = 3\n",
            "log.toml, line 3: round: 3 where tables are needed: write [[round]] on a line of its "
            "own and the keys below",
        ),
        (
            HEAD + "round = [1]\n",
            "log.toml, line 3: round 1: 1 where tables are needed: write [[round]] on a line of "
            "its own and the keys below",
        ),
        (
            'schema = 1\n[[round]]\nnote = "x"\n',
            'log.toml: setup: is missing; write it like setup = "mill_bow.toml" (Setup file of '
            "this bow, seen from the folder of the job)",
        ),
        (
            HEAD.replace("1", "2"),
            "log.toml, line 1: schema: 2 is no layout that this version of Vireton reads; it "
            "reads 1",
        ),
        (
            HEAD + "[[round]]\nnumber = 2\n[[round]]\nnumber = 2\n",
            "log.toml, line 6: round 2, number: does not come after round 2: numbers rise; leave "
            "it out to have it counted",
        ),
        (
            HEAD + "[[round]]\n[[round]]\nundoes = 2\n",
            "log.toml, line 5: round 2, undoes: there is no round 2 before this one",
        ),
        (
            HEAD + "[[round]]\n[[round]]\nundoes = 1\n[[round]]\nundoes = 2\n",
            "log.toml, line 7: round 3, undoes: round 2 takes one back itself and cannot be taken "
            "back: record in a new round what holds now",
        ),
        (
            HEAD + "[[round]]\n[[round]]\nundoes = 1\n[[round]]\nundoes = 1\n",
            "log.toml, line 7: round 3, undoes: round 1 has been taken back by round 2 already",
        ),
        (
            HEAD + "[[round]]\n[[round]]\nundoes = 1\n" + TEAR,
            "log.toml, line 5: round 2, undoes: a round that takes one back holds no shots: write "
            "them in a round of their own",
        ),
        (
            HEAD + '[[round]]\nrest_up = "1/32 in"\n[[round]]\nundoes = 1\n',
            "log.toml, line 5: round 2: takes back round 1, since which the bow was set otherwise: "
            "say how it stands now with rest_right, rest_up, nock_height",
        ),
    ],
)
def test_one_slip_is_one_line(text: str, said: str) -> None:
    assert problems(text) == [said]


def test_all_problems_come_at_once_in_file_order() -> None:
    text = (
        HEAD
        + '[[round]]\nrest_up = "up a bit"\n'
        + TEAR.replace("6 ft", "6 fps")
        + "[[round]]\nundoes = 9\nnumber = 1\n"
        + '[[round]]\n[[round.group]]\narrow = "bare"\nat = "20 yd"\nshots = ["1, 1"]\n'
    )
    found = problems(text)
    assert [line.split(": ")[1] for line in found] == [
        "round 1, rest_up",
        "round 1, tear 1, at",
        "round 1, undoes",
        "round 1, number",
        "round 2, group 1, shots",
    ]
    assert [int(line.split(":")[0].split()[-1]) for line in found] == [4, 7, 11, 12, 17]


def test_rounds_without_a_number_are_counted() -> None:
    text = "[[round]]\n[[round]]\nnumber = 5\n[[round]]\n[[round]]\nnumber = true\n"
    assert number_rounds(tomllib.loads(text)) == [1, 5, 6, 7]
    assert number_rounds({"round": [3, {}]}) == [1, 2]
    assert number_rounds({"round": 3}) == number_rounds({}) == []


def test_nothing_unprintable_reaches_the_terminal() -> None:
    found = problems(HEAD + '[[round]]\n"\\u001b[2J" = 1\nnote = "\\u001b[31m"\n')
    assert len(found) == 2
    assert "".join(found).isprintable()
