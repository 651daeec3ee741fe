"""A folder of jobs: what a list says of each file, and an index that is never believed too far."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from vireton.job import folder as module
from vireton.job import line as line_module
from vireton.job.folder import INDEX, JobLine, jobs_in, search
from vireton.job.format import LOG_SCHEMA
from vireton.setup import template_text
from vireton.units.problems import InputProblem

HEAD = 'schema = 1\nsetup = "bow.toml"\n'
INTAKE = """
[job]
bow = "Mill bow"
owner = "A. Customer"
date = 2026-11-02
complaint = "bare shafts fly left"
"""

Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """A job file of these lines, last changed an hour ago."""

    def make(name: str, *lines: str, head: str = HEAD) -> Path:
        path = tmp_path / name
        path.write_text(head + "\n".join(lines) + "\n", encoding="utf-8")
        hour_ago(path)
        return path

    return make


def hour_ago(path: Path) -> None:
    then = time.time() - 3600
    os.utime(path, (then, then))


def only(folder: Path) -> JobLine:
    (line,) = jobs_in(folder)
    return line


def round_of(*lines: str) -> str:
    return "\n".join(["[[round]]", *lines])


def test_all_of_a_line(tmp_path: Path, write: Write) -> None:
    write(
        "mill.toml",
        INTAKE,
        round_of("number = 1", "date = 2026-11-03"),
        round_of("number = 2", 'date = "2026-11-04"', 'stage = "done"'),
        round_of("number = 3", "date = 2026-12-01", 'stage = "visit"', 'complaint = "loud\nnow"')
        .replace('"loud\nnow"', '"""loud\nnow"""'),
    )  # fmt: skip
    assert only(tmp_path) == JobLine(
        file="mill.toml",
        bow="Mill bow",
        owner="A. Customer",
        complaint="loud now",
        taken_in="2026-11-02",
        last_date="2026-12-01",
        rounds=3,
        visits=2,
        is_open=True,
    )


def test_a_log_of_before_has_its_name_or_that_of_the_file(tmp_path: Path, write: Write) -> None:
    path = write("orchard_9.toml")
    assert only(tmp_path) == JobLine("orchard_9.toml", "orchard_9")
    path.write_text(HEAD + 'name = "Orchard bow, fall"\n', encoding="utf-8")
    assert only(tmp_path).bow == "Orchard bow, fall"
    path.write_text(HEAD + 'name = "x"\n[job]\nbow = "Orchard bow"\n', encoding="utf-8")
    assert only(tmp_path).bow == "Orchard bow"


DONE, VISIT, UNDOES, CORRECTS = 'stage = "done"', 'stage = "visit"', "undoes = 1", "corrects = 1"


@pytest.mark.parametrize(
    ("rounds", "is_open", "visits", "counting"),
    [
        ([], True, 1, 0),
        ([""], True, 1, 1),
        ([DONE], False, 1, 1),
        (["", DONE], False, 1, 2),
        ([DONE, ""], True, 1, 2),
        ([DONE, VISIT], True, 2, 2),
        ([DONE, VISIT, "", DONE], False, 2, 4),
        ([DONE, VISIT, DONE, VISIT], True, 3, 4),
        # what is put right in the file afterwards does not bring the bow back
        (["", DONE, CORRECTS], False, 1, 2),
        (["", DONE, UNDOES], False, 1, 1),
        # what was taken back was never said
        ([DONE, UNDOES], True, 1, 0),
        (["", DONE, VISIT, "undoes = 3"], False, 1, 2),
    ],
)
def test_open_until_done_and_when_something_came_after(
    tmp_path: Path, write: Write, rounds: list[str], is_open: bool, visits: int, counting: int
) -> None:
    write("job.toml", *map(round_of, rounds))
    line = only(tmp_path)
    assert (line.is_open, line.visits, line.rounds) == (is_open, visits, counting)


def test_open_ones_first_the_latest_on_top_and_the_damaged_last(
    tmp_path: Path, write: Write
) -> None:
    for name, date, stage in (
        ("a_done_late", "2026-11-09", DONE),
        ("b_open_early", "2026-02-01", ""),
        ("c_open_late", "2026-11-08", ""),
        ("d_done_early", "2026-01-01", DONE),
        ("e_open_some_day", "last spring", ""),
        ("f_open_early_too", "2026-02-01", ""),
    ):
        write(f"{name}.toml", round_of(f'date = "{date}"', stage))
    write("0_damaged.toml", "[[round]]\nnumber = \n")
    assert [one.bow for one in jobs_in(tmp_path)] == [
        "c_open_late",
        "b_open_early",
        "f_open_early_too",
        "e_open_some_day",
        "a_done_late",
        "d_done_early",
        "0_damaged",
    ]


def test_what_is_no_job_is_left_out(tmp_path: Path, write: Write) -> None:
    write("bow.toml", head=template_text())
    write("damaged_bow.toml", "x =", head=template_text())
    write("project.toml", "[project]", head="")
    write("empty.toml", head="")
    write("job.txt")
    write(".hidden.toml")
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "deeper").mkdir()
    write("deeper/job.toml")
    assert jobs_in(tmp_path) == []
    assert not (tmp_path / INDEX).exists()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + "[[round]]\nnumber = \n", "line 4: not valid TOML"),
        (HEAD.replace("1", "7"), "schema: this Vireton reads job files of schema 1; here it is 7"),
        ('setup = "bow.toml"\n', "here it is missing"),
        (HEAD + "[job]\nowner = 12\n", "job.owner: 12 is no text; put it in quotes"),
        (HEAD + 'job = "mill"\n', "[job]"),
        (HEAD + "[round]\nnumber = 1\n", "[[round]]"),
        (HEAD + "round = [1]\n", "[[round]]"),
        (HEAD + "[[round]]\ndate = [1]\n", "round.date"),
        ("\0" * 300, "not valid TOML"),
        (HEAD + "x = " + "[" * 3000, "nested"),
    ],
)
def test_a_damaged_job_is_listed_with_what_is_wrong(
    tmp_path: Path, write: Write, text: str, said: str
) -> None:
    write("mill.toml", head=text)
    line = only(tmp_path)
    assert (line.file, line.bow, line.is_open) == ("mill.toml", "mill", True)
    assert said in line.problem
    assert str(tmp_path) not in line.problem


def test_bytes_that_are_no_text_are_listed(tmp_path: Path, write: Write) -> None:
    write("mill.toml").write_bytes(HEAD.encode() + b"name = '\xff'\n")
    assert "line 3: is not UTF-8" in only(tmp_path).problem


def test_one_schema_is_known_here_and_by_the_reader() -> None:
    assert line_module._SCHEMA == LOG_SCHEMA


@pytest.mark.skipif(sys.platform == "win32", reason="links and rights of POSIX")
class TestOddFiles:
    def test_an_unreadable_file_is_listed_until_it_may_be_read(
        self, tmp_path: Path, write: Write, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(module, "_WORTH_AN_INDEX", 1)
        path = write("mill.toml")
        write("other.toml")
        real = Path.open

        def refused(self: Path, *arguments: object, **named: object) -> object:
            if self == path:  # root may read anything
                raise PermissionError(13, "Permission denied", str(self))
            return real(self, *arguments, **named)  # type: ignore[call-overload]

        with monkeypatch.context() as patch:
            patch.setattr(Path, "open", refused)
            for _ in range(2):
                assert "may not be read" in jobs_in(tmp_path)[-1].problem
        assert not any(one.problem for one in jobs_in(tmp_path))

    def test_a_link_to_a_file_is_read_and_none_to_a_folder_followed(
        self, tmp_path: Path, write: Write
    ) -> None:
        shop = tmp_path / "shop"
        shop.mkdir()
        (shop / "mill.toml").symlink_to(write("elsewhere.toml", 'name = "Mill bow"'))
        (shop / "loop.toml").symlink_to(shop / "loop.toml")
        (shop / "gone.toml").symlink_to(shop / "nowhere")
        (shop / "up.toml").symlink_to(tmp_path)
        os.mkfifo(shop / "pipe.toml")
        first, *broken = jobs_in(shop)
        assert (first.file, first.bow, first.problem) == ("mill.toml", "Mill bow", "")
        assert [one.file for one in broken] == ["gone.toml", "loop.toml"]
        assert "link to a file that is not there" in broken[0].problem
        assert "cannot be read" in broken[1].problem

    def test_a_name_that_is_no_text_is_listed_and_kept(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(module, "_WORTH_AN_INDEX", 1)
        path = os.fsencode(tmp_path) + b"/b\xffw.toml"
        with open(path, "w", encoding="utf-8") as stream:  # noqa: PTH123
            stream.write(HEAD)
        os.utime(path, (1e9, 1e9))
        lines = jobs_in(tmp_path)
        assert [one.file for one in lines] == ["b\udcffw.toml"]
        assert jobs_in(tmp_path) == lines


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("nowhere", "there is no such folder"),
        ("mill.toml", "is a file"),
        ("x" * 400, "cannot be read"),
        ("a\0b", "cannot be read"),
    ],
)
def test_what_is_no_folder_is_refused(tmp_path: Path, write: Write, name: str, said: str) -> None:
    write("mill.toml")
    with pytest.raises(InputProblem, match=said):
        jobs_in(tmp_path / name)


def test_every_word_is_looked_for_in_any_case_and_without_accents() -> None:
    mill = JobLine("mill_7.toml", "Mill bow", "Zoë Ångström", "Fly LEFT")
    orchard = JobLine("orchard.toml", "Orchard bow", "A. Customer", "fly right")
    both = [mill, orchard]
    for words, found in (
        ("", both),
        ("  ", both),
        ("fly", both),
        ("zoe", [mill]),
        ("ZOË angstrom", [mill]),
        ("left mill", [mill]),
        ("ill_7 bow", [mill]),
        ("mill right", []),
        ("bowzoe", []),
    ):
        assert search(both, words) == found


# --- the index ---


@pytest.fixture
def shop(tmp_path: Path, write: Write) -> Path:
    """Enough files for an index: jobs, a damaged one and a setup file."""
    for number in range(30):
        write(f"bow_{number:02}.toml", f'name = "Mill bow {number}"', round_of(DONE))
    write("damaged.toml", "[[round]]\nx =")
    write("setup.toml", head=template_text())
    return tmp_path


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the files that were read."""
    names: list[str] = []
    real = module.read_line

    def read(path: Path) -> tuple[JobLine | None, bool]:
        names.append(path.name)
        return real(path)

    monkeypatch.setattr(module, "read_line", read)
    return names


def test_what_has_not_changed_is_not_read_again(shop: Path, opened: list[str]) -> None:
    lines = jobs_in(shop)
    assert len(lines) == 31
    assert len(opened) == 32
    index = (shop / INDEX).read_bytes()
    opened.clear()
    assert jobs_in(shop) == lines
    assert opened == []
    assert (shop / INDEX).read_bytes() == index


def test_a_changed_a_new_and_a_lost_file_are_seen(
    shop: Path, write: Write, opened: list[str]
) -> None:
    jobs_in(shop)
    opened.clear()
    write("bow_03.toml", 'name = "Orchard bow"')
    write("new.toml", 'name = "Birch bow"')
    (shop / "bow_04.toml").unlink()
    (shop / "bow_05.toml").rename(shop / "moved.toml")
    bows = {one.file: one.bow for one in jobs_in(shop)}
    assert sorted(opened) == ["bow_03.toml", "moved.toml", "new.toml"]
    assert bows["bow_03.toml"] == "Orchard bow"
    assert bows["new.toml"] == "Birch bow"
    assert bows["moved.toml"] == "Mill bow 5"
    assert not {"bow_04.toml", "bow_05.toml"} & set(bows)
    opened.clear()
    jobs_in(shop)
    assert opened == []


def test_a_file_that_may_have_changed_at_the_same_moment_is_read_again(
    shop: Path, opened: list[str]
) -> None:
    path = shop / "bow_03.toml"
    now = time.time_ns()
    os.utime(path, ns=(now, now))
    assert {one.bow for one in jobs_in(shop) if one.file == path.name} == {"Mill bow 3"}
    # as long, at the same time, in the same place: nothing but its words has changed
    path.write_bytes(path.read_bytes().replace(b"Mill bow 3", b"Open bow 3"))
    os.utime(path, ns=(now, now))
    opened.clear()
    assert {one.bow for one in jobs_in(shop) if one.file == path.name} == {"Open bow 3"}
    assert opened == [path.name]


def test_an_index_of_another_version_is_not_believed(
    shop: Path, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = jobs_in(shop)
    opened.clear()
    monkeypatch.setattr(module, "_VERSION", 999)
    assert jobs_in(shop) == lines
    assert len(opened) == 32
    opened.clear()
    assert jobs_in(shop) == lines
    assert opened == []


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[]",
        b"null",
        b"{}",
        b"[" * 100_000,
        b"9" * 10_000,
        b'{"written":"now","files":{}}',
        b'{"written":9e99,"files":{"bow_07.toml":[[1,2,3],["x","y"]]}}',
        b'{"written":9e99,"files":{"bow_07.toml":[[null,2,3],null]}}',
        b'{"written":9e99,"files":{"bow_07.toml":7}}',
        b'{"written":9e99,"files":7}',
    ],
)
def test_an_index_that_we_did_not_write_changes_nothing(shop: Path, body: bytes) -> None:
    lines = jobs_in(shop)
    path = shop / INDEX
    good = path.read_bytes().partition(b"\n")[2]
    path.write_bytes(module._head(body) + b"\n" + body)
    assert jobs_in(shop) == lines
    assert len(path.read_bytes().partition(b"\n")[2]) == len(good)


def test_a_damaged_index_changes_nothing(shop: Path) -> None:
    lines = jobs_in(shop)
    path = shop / INDEX
    good = path.read_bytes()
    cuts = [good[:size] for size in (0, 1, 20, len(good) // 2, len(good) - 1)]
    flips = [
        good[:place] + bytes([good[place] ^ 1]) + good[place + 1 :]
        for place in range(0, len(good), 61)
    ]
    for bad in (*cuts, *flips, b"\0" * 50, b"\xff", good + b"\n"):
        path.write_bytes(bad)
        assert jobs_in(shop) == lines


def test_an_index_that_cannot_be_read_or_written_is_done_without(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (shop / INDEX).mkdir()
    lines = jobs_in(shop)
    assert len(lines) == 31
    assert jobs_in(shop) == lines
    (shop / INDEX).rmdir()

    def refused(*_: object, **__: object) -> None:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(os, "replace", refused)
    assert jobs_in(shop) == lines
    assert {one.name for one in shop.iterdir() if one.name.startswith(".")} == set()


def test_a_few_files_get_no_index(tmp_path: Path, write: Write) -> None:
    write("mill.toml")
    assert len(jobs_in(tmp_path)) == 1
    assert [one.name for one in tmp_path.iterdir()] == ["mill.toml"]


LISTER = """
import sys
from vireton.job.folder import jobs_in
for _ in range(20):
    assert len(jobs_in(sys.argv[1])) == 31
heavy = {"numpy", "scipy", "numba", "pydantic", "tomlkit"} & set(sys.modules)
assert not heavy, heavy
"""


def test_lists_at_once_are_whole_and_bring_nothing_heavy(shop: Path) -> None:
    (shop / "damaged.toml").write_text(HEAD, encoding="utf-8")  # its words do bring pydantic
    (shop / "setup.toml").unlink()
    path = shop / "bow_07.toml"
    listers = [subprocess.Popen([sys.executable, "-c", LISTER, str(shop)]) for _ in range(3)]
    while any(one.poll() is None for one in listers):
        path.touch()  # so that each of them keeps writing
    assert [one.returncode for one in listers] == [0, 0, 0]
    assert [one.name for one in shop.iterdir() if one.name.startswith(".")] == [INDEX]
    assert len(jobs_in(shop)) == 31
