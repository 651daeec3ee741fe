"""A file into a log, or refused with the place, and never touched."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

from vireton.bow.setting import BowSetting
from vireton.job import LogError, is_job_file, read_log
from vireton.setup import load_setup
from vireton.tuning.observations import (
    Tear,
    WalkbackPoint,
    group_of_center,
    group_of_shots,
)
from vireton.tuning.rounds import Round

INCH, YARD = 0.0254, 0.9144
EXAMPLE = Path(__file__).parents[3] / "examples" / "mill_log.toml"

TEXT = """\
# by hand
schema = 1
setup = "bows/mill.toml"   # beside it
name = "Mill bow"

[[round]]
date = 2026-04-11
note = "start"
tear = [{ arrow = "bare", at = "6 ft", right = "-1/16 in", up = "1/8 in" }]

[[round]]
number = 4
rest_right = "1/32 in"
[[round.walkback]]
at = "40 yd"
right = "-0.4 in"
[[round.group]]
arrow = "fletched"
at = "20 yd"
shots = [
    ["0.2 in", "0.1 in"],  # first
    "-0.3 in, 0.4 in",
]
[[round.group]]
arrow = "bare"
at = "20 yd"
center_right = "1 in"
center_up = "-2 in"
count = 3
spread = "1 in"

[[round]]
rest_up = "-1/16 in"

[[round]]
undoes = 5
rest_up = "0 in"
"""

ROUNDS = (
    Round(1, BowSetting(), (Tear("bare", 6 * 0.3048, -INCH / 16, INCH / 8),), "start"),
    Round(
        4,
        BowSetting(INCH / 32),
        (
            group_of_shots(
                "fletched",
                20 * YARD,
                ((0.2 * INCH, 0.1 * INCH), (-0.3 * INCH, 0.4 * INCH)),
            ),
            group_of_center("bare", 20 * YARD, (INCH, -2 * INCH), 3, INCH),
            WalkbackPoint(40 * YARD, -0.4 * INCH),
        ),
    ),
    Round(5, BowSetting(INCH / 32, -INCH / 16)),
    Round(6, BowSetting(INCH / 32), undoes=5),
)


def write(folder: Path, text: str) -> Path:
    path = folder / "log.toml"
    path.write_bytes(text.encode())
    return path


def test_a_log_written_by_hand(tmp_path: Path) -> None:
    path = write(tmp_path, TEXT)
    log = read_log(str(path))
    assert log.path == path
    assert log.setup_path == tmp_path / "bows" / "mill.toml"
    assert log.name == "Mill bow"
    assert log.dates == ("2026-04-11", "", "", "")
    assert log.rounds.all == ROUNDS
    assert log.rounds.counting == ROUNDS[:2]
    assert log.setting == BowSetting(INCH / 32)


@pytest.mark.parametrize(
    "text", [TEXT.replace("\n", "\r\n"), "\ufeff" + TEXT, TEXT.rstrip("\n"), TEXT + "# end"]
)
def test_other_line_ends_read_the_same(tmp_path: Path, text: str) -> None:
    assert read_log(write(tmp_path, text)).rounds.all == ROUNDS


def test_the_older_spelling_of_a_group_still_reads(tmp_path: Path) -> None:
    older = TEXT.replace("center_", "centre_")
    assert older != TEXT
    assert read_log(write(tmp_path, older)).rounds.all == ROUNDS


def test_a_log_without_rounds(tmp_path: Path) -> None:
    log = read_log(write(tmp_path, 'schema = 1\nsetup = "a.toml"\n'))
    assert log.rounds.all == ()
    assert log.setting == BowSetting()
    assert log.name is None


def test_the_setup_is_seen_from_the_log_itself_not_from_a_link_to_it(tmp_path: Path) -> None:
    path = write(tmp_path, TEXT)
    link = tmp_path / "bench" / "link.toml"
    link.parent.mkdir()
    link.symlink_to(path)
    assert read_log(link).setup_path == tmp_path.resolve() / "bows" / "mill.toml"


def test_the_example_is_a_log_of_the_mill_bow() -> None:
    log = read_log(EXAMPLE)
    assert load_setup(log.setup_path).bow.name == "Mill bow"
    assert [one.number for one in log.rounds.counting] == [1, 2, 3, 4]
    assert log.setting == BowSetting(-3 / 32 * INCH)
    assert "invented" in EXAMPLE.read_text(encoding="utf-8").split("\n")[0]


DAMAGED = [
    (
        TEXT[: TEXT.index("1/32 in") + 3],
        ", line 13: not valid TOML at column 18, the end of the file: ",
    ),
    (TEXT.replace('"40 yd"', "40 yd"), ", line 15: not valid TOML at column 9: "),
    (TEXT.replace("[[round]]", "[[round", 1), ", line 6: not valid TOML at column 8: "),
    (TEXT + "\0" * 512, ", line 38: not valid TOML at column 1: "),
    (TEXT + TEXT, ", line 39: round 6, schema: unknown key here; "),
    ("<<<<<<< ours\n" + TEXT, ", line 1: not valid TOML at column 1: "),
    (TEXT.replace("1/32 in", "1/23"), ', line 13: round 4, rest_right: "1/23" has no unit'),
    ("a = " + "[" * 100_000, ": lists or tables are nested too deeply for a job file"),
    ("a." * 100_000 + "a = 1", ": lists or tables are nested too deeply for a job file"),
    ("", ": schema: is missing"),
]


@pytest.mark.parametrize(("text", "said"), DAMAGED)
def test_a_damaged_log_is_refused_with_its_place_and_left_alone(
    tmp_path: Path, text: str, said: str
) -> None:
    path = write(tmp_path, text)
    with pytest.raises(LogError) as caught:
        read_log(path)
    assert str(caught.value).startswith(f"{path}{said}")
    assert path.read_bytes() == text.encode()


def test_bytes_that_are_no_text_are_placed_too(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    path.write_bytes(b'schema = 1\nname = "\xe9"\n')
    with pytest.raises(LogError, match="line 2: is not UTF-8 text at column 9"):
        read_log(path)


def test_files_that_are_no_logs(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="is a folder"):
        read_log(tmp_path)
    with pytest.raises(LogError, match="no such job; `vireton record JOB --setup FILE` begins one"):
        read_log(tmp_path / "no.toml")
    with pytest.raises(LogError, match="cannot be read"):
        read_log("a\0b")
    large = tmp_path / "large.toml"
    with large.open("wb") as stream:
        stream.truncate((1 << 24) + 1)
    with pytest.raises(LogError, match="larger than 16 MiB"):
        read_log(large)


def test_an_unreadable_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # not by chmod: root may read everything
    def denied(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", denied)
    with pytest.raises(LogError, match="may not be read"):
        read_log(tmp_path / "log.toml")


def test_ten_thousand_rounds_are_read_in_seconds(tmp_path: Path) -> None:
    body = TEXT[TEXT.index("[[round]]\nnumber") : TEXT.index("[[round]]\nrest_up")]
    path = write(
        tmp_path, TEXT[: TEXT.index("[[round]]")] + body.replace("number = 4\n", "") * 10_000
    )
    started = time.process_time()
    log = read_log(path)
    assert time.process_time() - started < 10.0
    assert len(log.rounds.all) == log.rounds.all[-1].number == 10_000


def test_reading_a_log_brings_nothing_heavy(tmp_path: Path) -> None:
    path = write(tmp_path, TEXT)
    code = (
        "import sys; from vireton.job import read_log; read_log(sys.argv[1]); "
        "heavy = {'numba', 'scipy', 'matplotlib', 'pint'} & set(sys.modules); "
        "sys.exit(' '.join(heavy) or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], check=False, capture_output=True, text=True
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_a_job_file_is_told_from_a_setup_even_when_it_is_damaged(log, setup_file, tmp_path):
    damaged = tmp_path / "damaged.toml"
    damaged.write_text('setup = "bow.toml"\n[[round]]\nnumber = ', encoding="utf-8")
    assert is_job_file(log) and is_job_file(damaged)
    assert not is_job_file(setup_file)
    assert not is_job_file(tmp_path / "nowhere.toml")
    assert not is_job_file(tmp_path)
