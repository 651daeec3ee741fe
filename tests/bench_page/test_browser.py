"""The page in a real browser: by touch, out of range, two at once, beside a hostile page."""

import http.server
import json
import threading
from pathlib import Path
from typing import Any

import pytest

from bench_page.conftest import Make
from bench_page.served import DESK, PHONE, TABLET, Phone, Served, pictures_in, serving
from vireton.job import read_log
from vireton.units.numbers import INCH

pytest.importorskip("playwright")


def last(path: Path) -> Any:
    return read_log(path).rounds.all[-1]


def test_a_tear_by_touch(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem)
    one.wait("6 in 10 that it helps")
    one.tap("Paper tear")
    one.page.wait_for_selector(".board")
    one.tap_board(-30, 44)
    assert one.readout == "High 3/8 in, left 1/4 in"
    one.tap_board(8, 8)
    assert one.readout == "High 1/16 in, right 1/16 in"
    one.page.get_by_role("button", name="a little up").tap()
    assert one.readout == "High 1/8 in, right 1/16 in"
    one.record()
    one.wait("Recorded as round 5")
    one.page.wait_for_selector(".call")
    tear = last(mill).observations[0]
    assert (tear.arrow, tear.right, tear.up) == ("bare", INCH / 16, INCH / 8)
    assert one.wrong == []


def test_clean_is_one_tap_and_zoom_is_finer(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "tear")
    one.tap("Clean")
    assert one.readout == "Clean"
    one.tap("Zoom ×2")
    one.tap_board(30, 0)
    assert one.readout == "Right 1/8 in"
    one.tap("Clean")
    one.pick("Fletched")
    one.record()
    one.wait("Recorded as round 5")
    assert last(mill).observations[0].words("us") == "fletched tear at 6 ft: clean"


def test_shots_by_touch_are_corrected_by_dragging(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "shots")
    send = one.page.locator(".send .first")
    assert send.is_disabled()
    one.tap_board(20, 30)
    assert send.is_enabled()  # one arrow counts
    one.pick("Bare")
    one.tap_board(-80, 60)
    one.tap_board(-80, 78)  # close by: an arrow of its own
    assert "1 fletched, 2 bare" in one.readout
    one.tap("Take away")
    box = one.page.locator(".board").bounding_box()
    x, y = box["x"] + box["width"] / 2 - 80, box["y"] + box["height"] / 2 - 60
    one.page.mouse.move(x, y)
    one.page.mouse.down()
    one.page.mouse.move(x + 40, y, steps=4)
    one.page.mouse.up()
    assert "1 fletched, 1 bare" in one.readout
    one.tap("Sight moved since")
    one.record()
    one.wait("Recorded as round 5")
    done = last(mill)
    groups = {g.arrow: g for g in done.observations}
    assert groups["bare"].shots[0][0] == pytest.approx(-1.3 * INCH, abs=0.15 * INCH)
    assert groups["fletched"].shots[0][1] == pytest.approx(1.0 * INCH, abs=0.15 * INCH)
    assert [c.what for c in done.changes] == ["sight"]


def test_the_advised_move_is_filled_in(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem)
    one.wait("Rest up")
    before = last(mill).setting
    one.tap("I did this")
    one.page.wait_for_selector(".pads")
    assert one.readout == "Rest up 1/16 in"
    one.page.get_by_role("button", name="right", exact=True).tap()
    assert one.readout == "Rest right 1/32 in, up 1/16 in"
    one.page.get_by_role("button", name="left", exact=True).tap()
    one.record("I did this")
    one.wait("Recorded as round 5")
    assert before.move_to(last(mill).setting).rest == (0.0, INCH / 16)


def test_a_large_move_is_asked_about_first(phone: Make, mill: Path) -> None:
    raw = mill.read_bytes()
    one = phone().open(mill.stem, "moved")
    for _ in range(12):
        one.page.get_by_role("button", name="up", exact=True).tap()
    one.record()
    one.wait("at one go?")
    assert mill.read_bytes() == raw
    one.tap("Neither: let me change it")
    one.page.wait_for_selector(".pads")
    assert one.readout == "Rest up 3/8 in"
    one.record()
    one.wait("at one go?")
    one.tap("Up 3/8 in")
    one.wait("Recorded as round 5")
    assert last(mill).setting.rest_up == 3 * INCH / 8


def test_changes_findings_and_walk_back_by_touch(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "changed")
    one.page.get_by_text("Draw weight changed").tap()
    for _ in range(5):
        one.page.get_by_role("button", name="Turns: out").tap()
    one.page.get_by_label("Now").fill("56 lb")
    one.record()
    one.wait("Recorded as round 5")
    change = last(mill).changes[0]
    assert (change.turns, change.sets) == (-1.25, (("bow.draw_weight", "56 lb"),))
    one.open(mill.stem, "found")
    one.page.get_by_text("Contact", exact=True).tap()
    one.page.get_by_label("Where").fill("lower left vane, inside")
    one.record()
    one.wait("Recorded as round 6")
    assert last(mill).observations[0].where == "lower left vane  inside".replace("  ", " ")
    one.wait("Contact gone")
    one.open(mill.stem, "walkback")
    one.tap_board(20, 110)
    one.tap_board(-40, -30)
    one.record()
    one.wait("Recorded as round 7")
    assert len(last(mill).observations) == 2


def test_paperwork_by_touch(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "measured")
    one.page.get_by_label("Draw weight").fill("61 lb")
    one.record()
    one.wait("Recorded as round 5")
    one.open(mill.stem, "lookover")
    for each in one.page.get_by_role("radio", name="Fine", exact=True).all():
        each.tap()
    one.record()
    one.wait("Recorded as round 6")
    papers = read_log(mill).paperwork
    assert papers[-2].measures == {"draw_weight": "61 lb"}
    assert set(papers[-1].look_over.values()) == {"ok"}


def test_a_typing_mistake_and_a_bad_move_are_two_buttons(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "history")
    fix = one.page.get_by_role("button", name="Correct a typing mistake")
    assert fix.count() == 4
    assert one.page.get_by_role("button", name="Put it back on the bow").count() == 1
    fix.first.tap()
    one.tap("Correct the bare tear")
    one.page.wait_for_selector(".board")
    assert one.readout == "High 1/16 in, right 1/16 in"
    one.page.get_by_role("button", name="a little up").tap()
    one.record("Correct round 4")
    one.wait("Round 4 is corrected")
    log = read_log(mill)
    assert log.rounds.all[-1].corrects == 4
    assert log.rounds.counting[-1].observations[-1].up == INCH / 8
    setting = log.setting
    one.open(mill.stem, "history")
    one.tap("Put it back on the bow")
    one.tap("It is back")
    one.wait("Recorded as round 6")
    assert last(mill).puts_back == 4
    assert last(mill).setting.rest_right == pytest.approx(setting.rest_right + INCH / 32)
    one.open(mill.stem, "history")
    one.wait("corrected")


def test_out_of_range_nothing_is_lost_and_it_goes_in_once(phone: Make, mill: Path) -> None:
    raw = mill.read_bytes()
    one = phone().open(mill.stem)
    one.wait("that it helps")
    one.context.set_offline(True)
    for words in ("first", "second"):
        one.page.evaluate(f"location.hash = '#/job/{mill.stem}/note'")
        one.page.get_by_label("Anything else").fill(words)
        one.record()
        one.wait("Kept on this phone")
    assert one.page.locator("#waiting").inner_text() == "2 waiting"
    assert mill.read_bytes() == raw
    one.context.set_offline(False)
    one.wait("Recorded as round 6")
    one.page.locator("#waiting").wait_for(state="hidden")
    assert [r.note for r in read_log(mill).rounds.all[4:]] == ["first", "second"]


def test_a_page_that_is_opened_anew_sends_what_waited(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "note")
    one.context.route("**/entries*", lambda route: route.abort())
    one.page.get_by_label("Anything else").fill("kept")
    one.record()
    one.wait("Kept on this phone")
    one.context.unroute("**/entries*")
    one.page.reload()
    one.wait("Recorded as round 5")
    assert last(mill).note == "kept"


def test_an_answer_that_is_lost_is_no_second_round(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "note")
    lost: list[int] = []

    def lose(route: Any) -> None:
        if lost:
            route.continue_()
            return
        lost.append(route.fetch().status)
        route.abort()

    one.context.route("**/entries*", lose)
    one.page.get_by_label("Anything else").fill("once")
    one.record()
    one.wait("Recorded as round 5")
    assert lost == [200]
    assert [r.note for r in read_log(mill).rounds.all[4:]] == ["once"]


def test_the_bench_is_killed_in_the_middle_of_an_entry(browser: Any, shop: Path) -> None:
    with serving(shop) as bench:
        one = Phone(browser, bench.url).open("mill_log", "tear")
        one.tap_board(8, 8)
        bench.kill()
        one.record()
        one.wait("Kept on this phone")
        bench.start()
        one.wait("Recorded as round 5")
        assert len(read_log(shop / "mill_log.toml").rounds.all) == 5
        one.context.close()


def test_two_phones_see_each_others_rounds(phone: Make, mill: Path) -> None:
    one, other = phone().open(mill.stem), phone(size=TABLET).open(mill.stem)
    for each, words in ((one, "from the phone"), (other, "from the tablet")):
        each.page.evaluate(f"location.hash = '#/job/{mill.stem}/note'")
        each.page.get_by_label("Anything else").fill(words)
    one.record()
    other.record()
    for each in (one, other):
        each.page.evaluate(f"location.hash = '#/job/{mill.stem}/history'")
        each.wait("from the phone")
        each.wait("from the tablet")
    assert len(read_log(mill).rounds.all) == 6


class _Hostile(http.server.BaseHTTPRequestHandler):
    page = b""

    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("content-type", "text/html")
        self.end_headers()
        self.wfile.write(self.page)

    def log_message(self, *_: Any) -> None:
        pass


def test_a_hostile_page_in_another_tab_does_nothing(phone: Make, bench: Served, mill: Path) -> None:
    raw = mill.read_bytes()
    one = phone().open(mill.stem)
    one.wait("that it helps")
    entry = {"id": "0" * 32, "do": "undo", "date": "2026-05-01"}
    target = f"{bench.url}api/jobs/{mill.stem}/entries"
    _Hostile.page = f"""<iframe src="{bench.url}"></iframe>
    <form method="post" enctype="text/plain" target="_blank" action="{target}">
    <input name="a"></form>
    <script>
    const tries = [
      fetch({target!r}, {{method: "POST", body: {json.dumps(json.dumps(entry))}}}),
      fetch({target!r}, {{method: "POST", mode: "no-cors", body: {json.dumps(json.dumps(entry))}}}),
      fetch({target!r}, {{method: "POST", headers: {{"content-type": "application/json"}},
        body: {json.dumps(json.dumps(entry))}}}),
      fetch("{bench.url}api/jobs").then((a) => a.text()),
    ];
    document.forms[0].submit();
    Promise.allSettled(tries).then((all) => {{
      document.title = all.map((one) => one.status).join(" ");
    }});
    </script>""".encode()
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), _Hostile)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        tab = one.context.new_page()
        tab.goto(f"http://127.0.0.1:{server.server_port}/")
        tab.wait_for_function(
            "document.title.includes('rejected') || document.title.includes('ful')"
        )
        assert tab.title() == "rejected rejected rejected rejected"
        frame = next(f for f in tab.frames if f != tab.main_frame)
        assert "Mill" not in frame.content()
        tab.wait_for_timeout(300)
    finally:
        server.shutdown()
        server.server_close()
    assert mill.read_bytes() == raw


def test_what_was_typed_is_shown_and_not_run(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "note")
    nasty = "<img src=x onerror=\"document.title='run'\"><b>bold</b>"
    one.page.get_by_label("Anything else").fill(nasty)
    one.record()
    one.wait("Recorded as round 5")
    one.page.evaluate(f"location.hash = '#/job/{mill.stem}/history'")
    one.wait("<b>bold</b>")
    assert one.page.locator("#view img, #view b").count() == 0
    assert one.page.title() != "run"


def test_a_new_job_by_touch(phone: Make, bench: Served) -> None:
    one = phone()
    one.page.goto(bench.url)
    one.tap("New job")
    one.page.get_by_label("Bow", exact=True).fill("Orchard bow")
    one.page.get_by_label("Owner").fill("A. Customer")
    one.tap("Its numbers")
    asked = one.page.get_by_label("Draw weight")
    asked.fill("900")
    one.tap("Next")
    one.wait("outside")
    asked.fill("45#")
    one.tap("Next")
    for words, typed in (("AMO draw length", "28"), ("Arrow speed by chronograph", "270")):
        one.page.get_by_label(words).fill(typed)
        one.tap("Next")
    one.wait("Static spine of the shaft")
    one.tap("Don’t know")
    one.page.get_by_label("Arrow length").fill("28")
    one.tap("Next")
    one.page.get_by_label("Weight of the finished arrow").fill("")
    one.tap("Next")
    one.wait("Nothing runs without it")
    one.page.reload()  # nothing that was answered is asked again
    one.wait("Question 6 of")
    one.page.get_by_label("Weight of the finished arrow").fill("390")
    one.tap("Next")
    one.tap("The rest stays open: begin the job")
    one.wait("Orchard bow · A. Customer")
    one.wait("Shoot ")
    assert read_log(bench.folder / "orchard_bow.toml").intake.owner == "A. Customer"
    setup = (bench.folder / "orchard_bow_setup.toml").read_text()
    assert 'draw_weight = "45 lbf"' in setup
    assert "spine" not in setup
    one.page.evaluate("location.hash = '#/'")
    one.page.get_by_placeholder("Search bow, owner, complaint").fill("customer orch")
    one.page.wait_for_function("() => document.querySelectorAll('.bows li').length === 1")
    (bench.folder / "orchard_bow.toml").unlink()


def test_a_job_is_handed_over(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "done")
    one.wait("20 yd pin")
    with one.context.expect_page() as opened:
        one.tap("See card")
    opened.value.get_by_text("not handed over yet").wait_for()
    assert opened.value.pdf(format="Letter")[:4] == b"%PDF"
    opened.value.close()
    one.tap("Hand it over")
    one.wait("Recorded as round 5")
    assert read_log(mill).is_done


def test_sliders_answer_while_they_move(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "whatif")
    one.wait("where you aim")
    before = one.page.locator(".said").inner_text()
    one.page.get_by_role("slider", name="Crosswind").focus()
    for _ in range(8):
        one.page.keyboard.press("ArrowRight")
    one.page.wait_for_function(
        "(was) => document.querySelector('.said').innerText !== was", arg=before
    )
    assert "8 mph from the left" in one.page.locator("#view").inner_text()


def test_by_keyboard_alone(phone: Make, mill: Path) -> None:
    one = phone(size=DESK).open(mill.stem, "tear")
    one.page.locator(".board").focus()
    for key in ("ArrowRight", "ArrowUp", "ArrowUp"):
        one.page.keyboard.press(key)
    assert one.readout == "High 1/8 in, right 1/16 in"
    for _ in range(12):
        one.page.keyboard.press("Tab")
        if one.page.evaluate("document.activeElement.textContent") == "Record":
            break
    one.page.keyboard.press("Enter")
    one.wait("Recorded as round 5")


_SCREENS = ["tear", "shots", "moved", "changed", "found", "walkback", "history", "more"]
_SCREENS += ["whatif", "done", "measured", "note"]


@pytest.mark.parametrize("size", [PHONE, TABLET, DESK], ids=["phone", "tablet", "desk"])
@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_screen_fits(
    phone: Make, mill: Path, tmp_path: Path, size: tuple[int, int], light: str
) -> None:
    one = phone(size=size, color_scheme=light).open(mill.stem)
    one.wait("that it helps")
    folder = pictures_in(tmp_path)
    answer = one.page.locator(".answer")
    assert answer.evaluate("(box) => box.scrollHeight <= box.clientHeight")  # no scrolling for it
    for screen in ("home", *_SCREENS):
        if screen != "home":
            one.open(mill.stem, screen)
        one.check_fits(screen, folder / f"{size[0]}_{light}_{screen}.png")
        send = one.page.locator(".send .first")
        if send.count():  # what is tapped at the end is in reach
            box = send.bounding_box()
            assert box["y"] + box["height"] <= size[1]
            assert box["y"] > size[1] / 2
    assert one.wrong == []


def test_for_the_left_hand_the_buttons_turn_round(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem)
    tear = one.page.get_by_role("link", name="Paper tear")
    assert tear.bounding_box()["x"] < 100
    one.tap("More")
    one.page.get_by_text("For the right hand").tap()
    one.page.evaluate(f"location.hash = '#/job/{mill.stem}'")
    one.page.wait_for_selector(".taps")
    assert tear.bounding_box()["x"] > 200


@pytest.mark.parametrize("light", ["light", "dark"])
def test_a_screen_reader_finds_its_way(phone: Make, mill: Path, axe: str, light: str) -> None:
    one = phone(color_scheme=light).open(mill.stem)
    one.wait("that it helps")
    found = []
    for screen in ("home", *_SCREENS, "lookover", "visit"):
        if screen != "home":
            one.open(mill.stem, screen)
        found += one.barriers(screen, axe)
    assert found == []
