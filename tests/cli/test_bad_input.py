"""Everything a person can get wrong: one clear line on stderr, exit 2, nothing on stdout."""

import os
import sys

import pytest


def refused(done, *words):
    assert done.code == 2, done.out + done.err
    assert done.out == ""
    assert "Traceback" not in done.err
    for word in words:
        assert word in done.err, done.err


BAD_SETUPS = [
    ([('length = "28 1/2 in" ', 'length = "-28 in" ')], ["arrow.length", "-28 in"]),
    ([('length = "28 1/2 in" ', 'length = "9 ft" ')], ["arrow.length", "9 ft"]),
    ([('length = "28 1/2 in" ', "length = 28.5 ")], ["arrow.length", "28.5 in"]),
    ([('length = "28 1/2 in" ', 'length = "28.5 gr" ')], ["arrow.length", "28.5 gr"]),
    ([('length = "28 1/2 in" ', 'length = "nan in" ')], ["arrow.length"]),
    ([('length = "28 1/2 in" ', "length = inf ")], ["arrow.length"]),
    ([('arrow_speed = "280 fps"', 'arrow_speed = "0 fps"')], ["bow.arrow_speed"]),
    (
        [('arrow_speed = "280 fps"', 'arrow_speed = "430 fps"')],
        ["bow.arrow_speed", "430 fps"],
    ),
    ([("draw_weight =", "draw_wieght =")], ["draw_wieght", "draw_weight"]),
    ([('# balance = "17.5 in"', 'balance = "60 in"')], ["arrow.balance"]),
    ([('# balance = "17.5 in"', 'balance = "3 in"')], ["arrow.balance"]),
    ([('inside_diameter = "0.204 in"', 'inside_diameter = "0.3 in"')], ["inside_diameter"]),
    ([("count = 3 ", "count = 1 ")], ["arrow.vanes.count"]),
    ([('sight_in = "20 yd"', 'sight_in = "1900 yd"')], ["sight"]),
    ([("[bow]\n", "[bow\n")], ["line"]),
    (
        [('# arrow_speed = ["278 fps", "282 fps"]', 'arrow_speed = ["290 fps", "300 fps"]')],
        ["uncertainty.arrow_speed"],
    ),
]


@pytest.mark.parametrize(("changes", "words"), BAD_SETUPS)
def test_bad_setup_values(vireton, edited, changes, words):
    refused(vireton("fly", edited(*changes), "--draws", "8"), *words)


def test_all_problems_at_once(vireton, edited):
    path = edited(
        ("draw_weight =", "draw_wieght ="), ('"60 lbf"', '"0 lbf"'), ('"80 %"  ', '"8 in" ')
    )
    done = vireton("fly", path)
    refused(done, "draw_wieght", "let_off")
    assert len(done.err.strip().splitlines()) >= 2


BAD_OPTIONS = [
    (["--distances", "20"], 'write it like "20 yd"'),
    (["--sight-in", "30"], 'write it like "30 yd"'),
    (["--up", "32"], 'write it like "1/32 in"'),
    (["--distances", "5000 yd"], "outside"),
    (["--distances", "1900 m"], "never reaches"),
    (["--distances", "-5 yd"], "outside"),
    (["--up", "3 in"], "outside"),
    (["--up", "1 kg"], "not a length"),
    (["--wind", "strong"], "--wind"),
    (["--slope", "100 deg"], "--slope"),
    (["--yaw-rate", "5"], "--yaw-rate"),
    (["--sight-in", "soon"], "--sight-in"),
    (["--plot", "picture.doc"], ".png"),
]


@pytest.mark.parametrize(("options", "words"), BAD_OPTIONS)
def test_bad_options_of_fly(vireton, setup_file, tmp_path, monkeypatch, options, words):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    done = vireton("fly", setup_file, "--draws", "8", *options)
    refused(done, words)
    assert len(done.err.strip().splitlines()) == 1
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--right", "1"], 'write it like "1/32 in", "1 mm" or "1 click"'),
        (["--left", "1/32 in", "--right", "1/32 in"], "--right and --left are one move, two ways"),
        (["--up", "1.5 clicks"], "clicks are counted in whole ones"),
        (["--distances", "30"], 'write it like "30 yd" or "30 m"'),
        (["--right", "0:1/16:-1/32 in"], "never gets"),
        (["--paper", "0 ft"], "--paper"),
        (["--distances", "1800 yd"], "never reaches"),
        (["--up", "-10/32:10/32:1/32 in", "--plot", "many.png"], "at most"),
    ],
)
def test_bad_options_of_rest(vireton, setup_file, tmp_path, monkeypatch, options, words):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    done = vireton("rest", setup_file, "--draws", "8", *options)
    refused(done, words)
    assert sorted(tmp_path.iterdir()) == before


def test_things_that_are_no_setup_file(vireton, tmp_path):
    refused(vireton("fly", tmp_path), str(tmp_path))
    refused(vireton("fly", tmp_path / "none.toml"), "none.toml")
    binary = tmp_path / "binary.toml"
    binary.write_bytes(bytes(range(256)))
    refused(vireton("fly", binary), "binary.toml")
    empty = tmp_path / "empty.toml"
    empty.write_text("", encoding="utf-8")
    refused(vireton("fly", empty), "bow")


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may read everything")
def test_an_unreadable_file(vireton, setup_file):
    setup_file.chmod(0)
    refused(vireton("fly", setup_file), "bow.toml")


def test_a_picture_into_a_folder_that_is_not_there(vireton, setup_file, tmp_path):
    done = vireton("fly", setup_file, "--draws", "8", "--plot", tmp_path / "no" / "f.png")
    refused(done, "f.png")


def test_windows_line_ends_and_a_byte_order_mark_are_fine(vireton, setup_file):
    text = setup_file.read_text(encoding="utf-8")
    setup_file.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert vireton("fly", setup_file, "--draws", "8").code == 0


EXTREMES = [
    ["--yaw", "90 deg"],
    ["--yaw", "180 deg", "--distances", "5 yd"],
    ["--sight-in", "300 yd", "--distances", "300 yd"],
    ["--pitch-rate", "900 rad/s", "--distances", "5 yd"],
    ["--cant", "90 deg"],
    ["--slope", "-80 deg"],
]


@pytest.mark.parametrize("options", EXTREMES)
def test_extreme_but_possible_shots_end_with_numbers_or_a_reason(vireton, setup_file, options):
    done = vireton("fly", setup_file, "--draws", "8", "--json", *options)
    if done.code == 0:
        assert "NaN" not in done.out
    else:
        refused(done)
        assert len(done.err.strip().splitlines()) == 1


@pytest.mark.parametrize("command", [("tune",), ("walkback",), ("record", "--tear", "bare clean")])
def test_a_setup_file_given_for_a_log(vireton, setup_file, command):
    name, *rest = command
    before = setup_file.read_bytes()
    done = vireton(name, setup_file, *" ".join(rest).split())
    refused(done, "is a setup file, not a job file")
    assert len(done.err.splitlines()) == 1
    assert setup_file.read_bytes() == before


@pytest.mark.parametrize(
    "command",
    [("fly",), ("compare",), ("scatter", "--vary", "vanes.count=3,4"), ("rules",)],
)
def test_a_log_given_for_a_setup_file(vireton, pytestconfig, command):
    name, *rest = command
    done = vireton(name, pytestconfig.rootpath / "examples" / "mill_log.toml", *rest)
    refused(done, "is a job file, not a setup file")
    assert len(done.err.splitlines()) == 1
