"""The addresses: what is taken, once; what is asked; what is refused."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from bench_page.conftest import bench_of, client_of
from vireton.job import read_log

ENTRIES = "/api/jobs/mill_log/entries"
Make = Callable[..., dict[str, Any]]


def test_the_list_has_the_job_and_not_its_setup(client: TestClient) -> None:
    jobs = client.get("/api/jobs").json()["jobs"]
    assert [one["name"] for one in jobs] == ["mill_log"]
    assert jobs[0]["rounds"] == 4


@pytest.mark.parametrize(
    "name", ["..%2fmill_log", "%2e%2e", "mill_bow", "mill_log.toml", "%00", "MILL_LOG", "x"]
)
def test_a_name_that_is_not_in_the_list_reaches_no_file(client: TestClient, name: str) -> None:
    for path in (f"/api/jobs/{name}", f"/api/jobs/{name}/advice", f"/static/{name}"):
        assert client.get(path).status_code in (307, 404)
    answer = client.post(f"/api/jobs/{name}/entries", json={})
    assert answer.status_code in (307, 404, 405)


def test_an_entry_is_recorded_and_answered(client: TestClient, job: Path, entry: Make) -> None:
    answer = client.post(ENTRIES, json=entry()).json()
    assert answer["taken"]["round"] == 5
    assert "Round 5. Bare tear at 6 ft: tail right 1/16 in, high 1/16 in" in answer["taken"]["said"]
    assert answer["advice"]["call"]
    assert answer["rounds"][0]["number"] == 5
    last = read_log(job).rounds.all[-1]
    assert last.number == 5
    assert read_log(job).dates[-1] == "2026-05-02"


def test_an_entry_that_is_sent_again_is_recorded_once(
    shop: Path, client: TestClient, job: Path, entry: Make
) -> None:
    one = entry()
    first = client.post(ENTRIES, json=one).json()
    raw = job.read_bytes()
    again = client.post(ENTRIES, json=one).json()
    with client_of(bench_of(shop)) as restarted:
        later = restarted.post(ENTRIES, json=one).json()
    assert first["taken"] == again["taken"] == later["taken"]
    assert job.read_bytes() == raw


@pytest.mark.parametrize("do", ["undo", "back", "correct", "done", "visit"])
def test_every_kind_of_entry_is_recorded_once(
    client: TestClient, job: Path, entry: Make, do: str
) -> None:
    given: dict[str, Any] = {}
    if do == "correct":
        given = {"round": 4, "typed": {"tear": [["bare", "left 1/32 in"]], "at": "6 ft"}}
    one = entry(do, **given)
    first = client.post(f"{ENTRIES}?brief=1", json=one).json()
    raw = job.read_bytes()
    again = client.post(f"{ENTRIES}?brief=1", json=one).json()
    assert first["taken"]["round"] == again["taken"]["round"] == 5
    assert job.read_bytes() == raw


def test_many_phones_at_once_lose_nothing(
    client: TestClient, shop: Path, job: Path, entry: Make
) -> None:
    """Four phones, each entry sent twice at the same time, as after a lost answer."""
    sent = [
        entry(id=f"{k:032x}", reading="typed", typed={"note": f"note {k}"}) for k in range(1, 13)
    ]

    def phone(mine: list[dict[str, Any]]) -> None:
        with client_of(bench_of(shop)) as one:
            for each in mine:
                assert "taken" in one.post(f"{ENTRIES}?brief=1", json=each).json()

    threads = [threading.Thread(target=phone, args=(sent[k % 2 :: 2],)) for k in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    notes = [one.note for one in read_log(job).rounds.all if one.note.startswith("note ")]
    assert sorted(notes) == sorted(each["typed"]["note"] for each in sent)
    assert notes.index("note 1") < notes.index("note 3") < notes.index("note 11")


def test_a_slip_is_asked_before_it_is_taken(client: TestClient, job: Path, entry: Make) -> None:
    raw = job.read_bytes()
    one = entry(typed={"tear": [["bare", "right 5 in"]], "at": "6 ft"})
    asked = client.post(ENTRIES, json=one).json()["asks"]
    assert asked["field"] == "reading"
    assert [key for key, _ in asked["readings"]] == ["typed", "meant"]
    assert job.read_bytes() == raw
    taken = client.post(f"{ENTRIES}?brief=1", json=one | {"reading": "meant"}).json()["taken"]
    assert any("tail right 1/2 in" in line for line in taken["said"])


def test_an_edited_setup_file_is_asked_about(client: TestClient, shop: Path, entry: Make) -> None:
    new = {"like": "mill_bow", "bow": "Orchard bow", "date": "2026-05-01"}
    name = client.post("/api/jobs", json=new).json()["name"]
    setup = shop / f"{name}_setup.toml"
    setup.write_text(setup.read_text().replace('"60 lbf"', '"58 lbf"'))
    one = entry()
    entries = f"/api/jobs/{name}/entries?brief=1"
    assert client.post(entries, json=one).json()["asks"]["field"] == "edited"
    said = client.post(entries, json=one | {"edited": "changed"}).json()["taken"]["said"]
    assert any("raw weight changed" in line for line in said)


def test_clicks_are_of_the_bows_own_rest(client: TestClient, job: Path, entry: Make) -> None:
    told = client.post(ENTRIES, json=entry(typed={"rest": "right two clicks"})).json()["taken"]
    assert "Rest moved right 1/16 in" in told["said"][0]


def test_what_a_job_cannot_hold_is_refused_in_words(
    client: TestClient, job: Path, entry: Make
) -> None:
    raw = job.read_bytes()
    for typed, word in (
        ({"tear": [["bare", "sideways"]]}, "left 1/16 in"),
        ({"tear": [["wooden", "clean"]]}, "bare"),
        ({"found": ["a fish"]}, "contact"),
        ({"rest": "right 5 in"}, "1 in"),
        ({"rest": "right 5"}, '"5/32 in", "5 mm" or "5 clicks"'),
        ({}, "nothing to record"),
    ):
        answer = client.post(ENTRIES, json=entry(typed=typed, reading="typed")).json()
        assert word in answer["refused"]
        assert str(job.parent) not in answer["refused"]
    assert job.read_bytes() == raw


@pytest.mark.parametrize(
    "wrong",
    [
        {"id": "1"},
        {"do": "erase"},
        {"date": "today"},
        {"typed": {"file": "/etc/passwd"}},
        {"typed": {"note": "\x1b[2J"}},
        {"typed": {"tear": [["bare\x1fclean", "x"]]}},
        {"typed": {"note": "x" * 5000}},
        {"path": "../../x"},
        {"round": -1},
    ],
)
def test_what_is_no_entry_is_not_read(
    client: TestClient, job: Path, entry: Make, wrong: dict[str, Any]
) -> None:
    raw = job.read_bytes()
    assert client.post(ENTRIES, json=entry() | wrong).status_code == 400
    assert job.read_bytes() == raw


def test_no_json_is_no_entry(client: TestClient) -> None:
    said = {"content-type": "application/json"}
    for body in (b"", b"[]", b"{", b"null", b"\xff", b"[" * 60000):
        assert client.post(ENTRIES, content=body, headers=said).status_code == 400


def test_what_was_typed_stays_text(client: TestClient, shop: Path, job: Path, entry: Make) -> None:
    nasty = "<script>alert(1)</script>\"'{{7*7}}"
    client.post(f"{ENTRIES}?brief=1", json=entry(typed={"note": nasty}))
    assert read_log(job).rounds.all[-1].note == nasty
    answer = client.get("/api/jobs/mill_log")
    assert answer.headers["content-type"] == "application/json"
    assert nasty in answer.json()["rounds"][0]["said"][-2]
    assert "script>alert" not in client.get("/").text


def test_a_withdrawal_takes_out_only_what_was_meant(
    client: TestClient, job: Path, entry: Make
) -> None:
    """Somebody else recorded since: the round before theirs is not theirs to lose."""
    client.post(f"{ENTRIES}?brief=1", json=entry(typed={"note": "another phone"}))
    answer = client.post(ENTRIES, json=entry("undo", round=4)).json()
    assert "no longer the last" in answer["refused"]
    assert len(read_log(job).rounds.counting) == 5


def test_a_new_job_begins_with_its_numbers(client: TestClient, shop: Path) -> None:
    given = {
        "like": "mill_bow",
        "bow": "Orchard bow",
        "owner": "A. Customer",
        "complaint": "bare shafts fly left",
        "date": "2026-05-01",
        "numbers": {"bow.draw_weight": "45", "arrow.shaft.spine": "500", "arrow.mass": "350"},
    }
    name = client.post("/api/jobs", json=given).json()["name"]
    log = read_log(shop / f"{name}.toml")
    assert (log.intake.owner, log.intake.complaint) == ("A. Customer", "bare shafts fly left")
    setup = (shop / f"{name}_setup.toml").read_text()
    for line in (
        'draw_weight = "45 lbf"',
        'spine = "0.500 in"',
        'mass = "350 gr"',
        "# An invented",
    ):
        assert line in setup
    again = client.post("/api/jobs", json=given).json()["name"]
    assert again != name


def test_a_new_job_with_a_wrong_number_leaves_nothing(client: TestClient, shop: Path) -> None:
    before = sorted(one.name for one in shop.iterdir())
    given = {"bow": "../../x", "date": "2026-05-01", "numbers": {"bow.draw_weight": "900"}}
    answer = client.post("/api/jobs", json=given)
    assert answer.status_code == 422
    assert "Draw weight" in answer.json()["refused"]
    assert sorted(one.name for one in shop.iterdir()) == before


def test_a_new_bow_is_asked_for_what_decides(client: TestClient, shop: Path) -> None:
    numbers = {
        "bow.draw_weight": "60#",
        "bow.draw_length": "29",
        "bow.arrow_speed": "280",
        "arrow.length": "28 1/2",
    }
    given = {"bow": "Orchard bow", "date": "2026-05-01", "numbers": numbers}
    assert "Weight of the finished arrow" in client.post("/api/jobs", json=given).json()["refused"]
    numbers["arrow.mass"] = "415"
    name = client.post("/api/jobs", json=given).json()["name"]
    setup = (shop / f"{name}_setup.toml").read_text()
    assert 'draw_weight = "60 lbf"' in setup
    assert "brace_height" not in setup  # left open


def test_an_answer_is_looked_at_when_it_is_given(client: TestClient) -> None:
    def problem(key: str, typed: str, **before: str) -> str:
        given = {"key": key, "typed": typed, "before": before}
        return str(client.post("/api/intake", json=given).json()["problem"])

    assert problem("bow.draw_weight", "60") == ""
    assert "outside" in problem("bow.draw_weight", "900")
    assert problem("no.key", "1")
    assert client.post("/api/intake", json={"key": "bow.draw_weight"}).status_code == 400


@pytest.mark.parametrize(
    ("kind", "words"), [("card", "not handed over yet"), ("report", "Before you shoot")]
)
def test_card_and_report_are_pages_that_run_nothing_of_others(
    client: TestClient, kind: str, words: str
) -> None:
    answer = client.get(f"/jobs/mill_log/{kind}")
    assert words in answer.text
    policy = answer.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert client.get("/jobs/mill_log/setup").status_code == 404
    assert client.get(f"/jobs/mill_bow/{kind}").status_code == 404


def test_a_card_that_cannot_be_says_why(client: TestClient, job: Path) -> None:
    job.write_text(job.read_text() + "\n[[round]]\nrest_right = 7\n")
    answer = client.get("/jobs/mill_log/card")
    assert "rest_right" in answer.text
    assert str(job.parent) not in answer.text


def test_a_new_jobs_name_is_no_path(client: TestClient, shop: Path) -> None:
    given = {"like": "mill_bow", "bow": "../../Etc/ Pässwd", "date": "2026-05-01"}
    assert client.post("/api/jobs", json=given).json()["name"] == "etc_passwd"
    assert (shop / "etc_passwd.toml").is_file()


def test_a_screen_that_is_up_to_date_is_told_so(client: TestClient) -> None:
    first = client.get("/api/jobs/mill_log").json()
    again = client.get("/api/jobs/mill_log", params={"have": first["version"]}).json()
    assert again == {"version": first["version"], "same": True}


def test_the_end_has_what_is_handed_over(client: TestClient) -> None:
    lines = client.get("/api/jobs/mill_log/end").json()["lines"]
    assert lines[0].startswith("Sight:")
    assert any("20 yd pin" in one for one in lines)


def test_the_sliders_ask_the_simulator(client: TestClient) -> None:
    def at(**given: int) -> dict[str, Any]:
        found: dict[str, Any] = client.get("/api/jobs/mill_log/what-if", params=given).json()
        return found["spots"]

    still, blown, up = at(), at(wind=10), at(up=2)
    assert at(up=2, nock=2) == still  # a nock that is high is a rest that is low
    low, high = at(right=4, vanes=-5, distance=40), at(right=4, vanes=5, distance=40)
    assert low["fletched"] != pytest.approx(high["fletched"], abs=0.2)
    assert blown["fletched"][0] > still["fletched"][0] + 0.3  # wind from the left: to the right
    assert up["fletched"][1] > still["fletched"][1] + 1.0
    for wrong in ({"up": 99}, {"distance": 0}, {"up": "x"}, {"path": 1}):
        assert client.get("/api/jobs/mill_log/what-if", params=wrong).status_code == 400


def test_a_job_that_is_damaged_is_listed_and_says_why(client: TestClient, job: Path) -> None:
    sound = job.read_text()
    job.write_text(sound + "\n[[round\n")
    assert client.get("/api/jobs").json()["jobs"][0]["problem"]
    job.write_text(sound + "\n[[round]]\nrest_right = 7\n")
    answer = client.get("/api/jobs/mill_log").json()
    assert "rest_right" in answer["problem"]
    assert str(job.parent) not in answer["problem"]


def test_a_bow_that_did_not_pass_its_look_over_is_not_advised_upon(
    client: TestClient, entry: Make
) -> None:
    client.post(ENTRIES, json=entry(typed={"look_over": "strings frayed"}))
    advice = client.get("/api/jobs/mill_log/advice").json()["advice"]
    assert advice["call"] == "Do not shoot this bow"
    assert (advice["verdict"], advice["move"], advice["more"]) == ("cure", None, [])
    (said,) = advice["warnings"]
    assert said.endswith("before anybody draws this bow: string and cables frayed.")
    client.post(ENTRIES, json=entry(typed={"look_over": "strings ok"}))
    assert "Do not" not in client.get("/api/jobs/mill_log/advice").json()["advice"]["call"]


def test_an_arrow_that_is_too_light_is_warned_of_first(client: TestClient, shop: Path) -> None:
    setup = shop / "mill_bow.toml"
    setup.write_text(setup.read_text().replace('mass = "5 gr/lbf"', 'mass = "8 gr/lbf"'))
    (shop / "mill_log.toml").write_text((shop / "mill_log.toml").read_text())
    advice = client.get("/api/jobs/mill_log/advice").json()["advice"]
    assert any(one.startswith("DANGER") for one in advice["warnings"])
