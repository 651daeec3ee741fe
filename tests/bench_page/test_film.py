"""A film that was marked on a phone: read before it is recorded, recorded, corrected, refused."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from bench_page.filming import RATE, Marks, marks_of, table_of
from vireton.job import read_log
from vireton.tuning.observations import Film

Entry = Callable[..., dict[str, Any]]
JOB = "/api/jobs/mill_log"


@pytest.fixture
def marks(job: Path) -> Marks:
    return marks_of(job)


def read(client: TestClient, *film: str) -> Any:
    return client.post(f"{JOB}/film", json={"film": film})


def films(job: Path) -> list[Film]:
    return [one for done in read_log(job).rounds.counting for one in done.seen(Film)]


def test_it_is_read_and_nothing_is_recorded(client: TestClient, job: Path, marks: Marks) -> None:
    before = job.read_bytes()
    found = read(client, "bare", "above", table_of(marks)).json()
    assert found["warnings"] == []
    assert found["said"].startswith("Bare arrow filmed from above: the nose turns right at ")
    rate = float(found["said"].split(" at ")[1].split()[0])
    give = float(found["said"].split("give or take ")[1].split(",")[0])
    assert abs(rate - RATE) < give
    assert job.read_bytes() == before


def test_what_makes_it_worse_is_told(client: TestClient, marks: Marks) -> None:
    few = dict(list(marks.items())[:2])
    found = read(client, "bare", "above", f"exposure: 1/240 s\n{table_of(few)}").json()
    assert any("2 frames tell turning from bending badly" in one for one in found["warnings"])
    assert any("shorter exposure" in one for one in found["warnings"])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda text: text.replace("fps: 240", "fps: 120"), "about 240 a second"),
        (lambda text: text.replace("fps: 240", "fps: fast"), "line 1"),
        (lambda text: text.replace("1920 x 1080", "640 x 360"), "outside of a picture"),
        (lambda text: "\n".join(text.splitlines()[:3]), "1 marked frame"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    client: TestClient, job: Path, marks: Marks, entry: Entry, change: Any, words: str
) -> None:
    table = change(table_of(marks))
    assert words in read(client, "bare", "above", table).json()["refused"]
    before = job.read_bytes()
    sent = entry(typed={"film": [["bare", "above", table]]})
    assert words in client.post(f"{JOB}/entries", json=sent).json()["refused"]
    assert job.read_bytes() == before


@pytest.mark.parametrize(
    "film", [["bare", "above"], ["bent", "above", ""], ["bare", "below", ""], ["bare", "above", 1]]
)
def test_what_is_no_film_is_no_request(client: TestClient, entry: Entry, film: Any) -> None:
    assert read(client, *film).status_code == 400
    assert client.post(f"{JOB}/entries", json=entry(typed={"film": [film]})).status_code == 400


def test_no_file_is_read_for_a_phone(client: TestClient, shop: Path, entry: Entry) -> None:
    """What the command line takes as a file's name is a table here, and a bad one."""
    path = shop / "marks.csv"
    path.write_text("1, 310, 540, 958, 548\n2, 610, 541, 1258, 549\n", encoding="utf-8")
    sent = entry(typed={"film": [["bare", "above", str(path)]]})
    found = client.post(f"{JOB}/entries", json=sent).json()
    assert "has 1 numbers, not five" in found["refused"] or "0 marked frames" in found["refused"]


def test_it_is_recorded_once_and_said_back(
    client: TestClient, job: Path, marks: Marks, entry: Entry
) -> None:
    sent = entry(typed={"film": [["bare", "above", table_of(marks)]]})
    first = client.post(f"{JOB}/entries", json=sent).json()
    again = client.post(f"{JOB}/entries", json=sent).json()
    assert first["taken"]["round"] == again["taken"]["round"] == 5
    words = f"Round 5. Bare arrow filmed from above: {len(marks)} frames at 240 a second"
    assert words in first["taken"]["said"]
    assert any(one.startswith("Bare arrow filmed from above") for one in first["advice"]["more"])
    (film,) = films(job)
    assert [one.number for one in film.clip.frames] == list(marks)
    last = client.get(JOB).json()["rounds"][0]
    assert words in last["said"]
    assert last["told"]["films"][0]["frames_a_second"] == 240.0


def test_it_is_corrected_and_taken_out(
    client: TestClient, job: Path, marks: Marks, entry: Entry
) -> None:
    table = table_of(marks)
    client.post(f"{JOB}/entries", json=entry(typed={"film": [["bare", "above", table]]}))
    fewer = table_of(dict(list(marks.items())[:-1]))
    sent = entry("correct", round=5, typed={"film": [["bare", "above", fewer]]})
    assert "taken" in client.post(f"{JOB}/entries", json=sent).json()
    (film,) = films(job)
    assert len(film.clip.frames) == len(marks) - 1
    other = entry("correct", round=5, typed={"film": [["bare", "beside", fewer]]})
    assert "no such entry" in client.post(f"{JOB}/entries", json=other).json()["refused"]
    assert "taken" in client.post(f"{JOB}/entries", json=entry("undo", round=5)).json()
    assert films(job) == []


def test_the_most_that_can_be_marked_is_taken(
    client: TestClient, job: Path, marks: Marks, entry: Entry
) -> None:
    """Sixty frames with their longest numbers: only of slow films, so the speed is refused."""
    rows = [f"{1200 + k}, {1000.1 + k}, 1000.1, {1800.1 + k}, 1000.1" for k in range(60)]
    table = "\n".join(["fps: 240", "picture: 1920 x 1080", "exposure: 1/2000 s", *rows])
    assert "by the arrow's length" in read(client, "bare", "above", table).json()["refused"]


def test_the_page_may_show_its_own_clip_and_no_other(client: TestClient) -> None:
    policy = client.get("/").headers["content-security-policy"]
    assert "media-src blob:;" in policy
    words = client.get("/api/words").json()["film"]
    assert len(words["how"]) == 4
    assert words["usual_rate"] in words["rates"]
