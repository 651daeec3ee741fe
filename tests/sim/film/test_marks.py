"""The plain table of marks."""

import pytest

from vireton.film.clip import Frame
from vireton.film.marks import SAID, read_marks
from vireton.units.problems import InputProblem

ROWS = "12, 310, 540, 958.5, 548\n13, 610, 541, 1258, 549\n"


@pytest.mark.parametrize(
    "text",
    [
        ROWS,
        ROWS.replace(", ", " "),
        ROWS.replace(", ", ";"),
        ROWS.replace(", ", "\t"),
        "\ufeffframe, nock x, nock y, point x, point y\r\n" + ROWS.replace("\n", "\r\n"),
        "# by tapping\n\n" + ROWS.replace("548", "548 # the tip"),
    ],
)
def test_all_ways_to_write_it_are_one(text: str) -> None:
    found = read_marks(text, "above")
    assert found.frames == (
        Frame(12, (310.0, 540.0), (958.5, 548.0)),
        Frame(13, (610.0, 541.0), (1258.0, 549.0)),
    )
    assert (found.view, found.frames_a_second) == ("above", 240.0)


def test_what_is_said_of_the_camera() -> None:
    said = (
        "fps: 120\npicture: 3840 x 2160\nshutter = 1/4000 s\nreadout: 5 ms\n"
        "off string: 1 ft\nreading error: 1.5\n"
    )
    found = read_marks(said + ROWS, "beside")
    assert (found.frames_a_second, found.picture) == (120.0, (3840.0, 2160.0))
    assert (found.exposure, found.readout) == pytest.approx((1.0 / 4000.0, 0.005))
    assert (found.off_string, found.reading_error) == pytest.approx((0.3048, 1.5))


def test_the_table_wins_over_what_is_usual() -> None:
    assert read_marks(ROWS, "above", frames_a_second=120.0).frames_a_second == 120.0
    assert read_marks("fps: 480\n" + ROWS, "above", frames_a_second=120.0).frames_a_second == 480.0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("12, 310, 540, 958.5\n", 'clip.csv, line 1: "12, 310, 540, 958.5" has 4 numbers, not'),
        (ROWS + "14, 1, 2, x, 4", 'clip.csv, line 3: "x" is no plain number'),
        (ROWS + "14.5, 1, 2, 3, 4", "14.5 is no number of a frame"),
        (ROWS + "14, 1, 2, nan, 4", "nan is outside the range"),
        ("lens: 26 mm\n" + ROWS, '"lens" is nothing that is said of a film. Known: frames a'),
        ("fps: fast\n" + ROWS, "clip.csv, line 1: frames a second: "),
        ("exposure: 2000\n" + ROWS, "has no unit"),
        ("picture: 1920\n" + ROWS, "is no list of 2"),
        ("", "clip.csv: 0 marked frames"),
        ("".join(f"{k}, 1, 2, 3, 4\n" for k in range(61)), "line 61: more than 60 frames"),
        ("x" * 200_001, "far too long"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(text: str, words: str) -> None:
    with pytest.raises(InputProblem) as caught:
        read_marks(text, "above", "clip.csv")
    assert words in str(caught.value)
    assert str(caught.value).startswith("clip.csv")


def test_every_example_can_be_read() -> None:
    for kind in SAID.values():
        text = kind.example
        value: object = text.strip('"')
        if not text.startswith('"'):
            value = [float(x) for x in text[1:-1].split(",")] if text[0] == "[" else float(text)
        kind.read(value)
        assert kind.describe()
