"""Who may come in, and who may not."""

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from bench_page.conftest import HERE, HOST, bench_of, client_of
from vireton_bench.guard import BURST, LARGEST_BODY, Guard, cookie_of

SECRET = "a-secret-of-twenty-two"
ENTRIES = "/api/jobs/mill_log/entries"


def test_a_name_that_was_made_to_point_here_gets_nothing(client: TestClient) -> None:
    for host in ("evil.example:8484", "127.0.0.1:9999", "127.0.0.1", ""):
        answer = client.get("/api/jobs", headers={"host": host})
        assert answer.status_code == 421
        assert "Mill" not in answer.text


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "https://127.0.0.1:8484"},
        {"origin": "http://127.0.0.1:8485", "sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site"},
    ],
)
def test_another_sites_page_records_nothing(
    client: TestClient, job: Path, entry: Any, headers: dict[str, str]
) -> None:
    before = job.read_bytes()
    assert client.post(ENTRIES, json=entry(), headers=headers).status_code == 403
    assert job.read_bytes() == before


def test_a_write_that_does_not_say_where_it_is_from_is_refused(shop: Path, entry: Any) -> None:
    with TestClient(bench_of(shop), base_url=f"http://{HOST}") as bare:
        assert bare.post(ENTRIES, json=entry()).status_code == 403


def test_another_sites_page_reads_nothing_but_may_link_here(client: TestClient) -> None:
    asked = {"origin": f"http://{HOST}", "sec-fetch-site": "cross-site"}
    assert client.get("/api/jobs", headers=asked).status_code == 403
    assert client.get("/", headers=asked).status_code == 200


def test_forms_of_other_kinds_are_not_read(client: TestClient, job: Path) -> None:
    before = job.read_bytes()
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        answer = client.post(ENTRIES, content="{}", headers={"content-type": kind})
        assert answer.status_code == 415
    assert job.read_bytes() == before


def test_a_large_body_is_refused_whether_or_not_it_says_so(client: TestClient) -> None:
    said = {"content-type": "application/json"}
    large = b"x" * (LARGEST_BODY + 1)
    assert client.post(ENTRIES, content=large, headers=said).status_code == 413
    pieces = iter([large[: LARGEST_BODY // 2]] * 3)
    assert client.post(ENTRIES, content=pieces, headers=said).status_code == 413


def test_who_asks_without_end_waits_and_is_let_in_again(shop: Path) -> None:
    now = 0.0
    app = bench_of(shop)
    app.clock = lambda: now
    with client_of(app) as one:
        found = [one.get("/api/state").status_code for _ in range(int(BURST) + 5)]
        assert found[: int(BURST)] == [200] * int(BURST)
        assert found[-1] == 429
        now = 1.0
        assert one.get("/api/state").status_code == 200


def test_only_a_paired_phone_sees_anything(shop: Path) -> None:
    with client_of(bench_of(shop, SECRET)) as phone:
        assert phone.get("/api/jobs").status_code == 401
        page = phone.get("/")
        assert page.status_code == 401
        assert "Scan the code" in page.text
        assert "Mill" not in page.text
        assert phone.get("/pair/wrong").status_code == 403
        paired = phone.get(f"/pair/{SECRET}")
        assert paired.status_code == 303
        assert paired.headers["location"] == "/"
        cookie = paired.headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        assert SECRET not in cookie
        assert phone.get("/api/jobs").json()["jobs"][0]["name"] == "mill_log"


def test_the_cookie_of_another_secret_opens_nothing(shop: Path) -> None:
    with client_of(bench_of(shop, SECRET)) as phone:
        name, value = cookie_of("another", HOST)
        phone.cookies.set(name, value)
        assert phone.get("/api/jobs").status_code == 401
        raw = {"cookie": f"{name}=é; x".encode("latin-1")}
        phone.cookies.clear()
        assert phone.get("/api/jobs", headers=raw).status_code == 401


def test_every_answer_has_the_strict_headers(client: TestClient) -> None:
    for path in ("/", "/static/bench.css", "/api/jobs", "/nowhere", "/pair/x"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert "access-control-allow-origin" not in headers


def test_pages_have_no_script_and_no_style_of_their_own(client: TestClient) -> None:
    page = client.get("/").text
    assert "<style" not in page
    assert " style=" not in page
    assert "onclick" not in page
    assert page.count("<script") == page.count('<script type="module" src="/static/main.js">') == 1


def test_two_hosts_in_one_request_are_refused(client: TestClient) -> None:
    headers = [("host", HOST), ("host", "evil.example"), *HERE.items()]
    assert client.get("/api/state", headers=headers).status_code == 400


def test_nothing_but_requests_is_served(shop: Path) -> None:
    app = bench_of(shop)
    assert isinstance(app, Guard)
    with client_of(app) as one, pytest.raises(WebSocketDisconnect), one.websocket_connect("/"):
        pass
