"""Files that can and cannot be read, and what a setup holds."""

import errno
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable
from dataclasses import FrozenInstanceError, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vireton.setup.errors import SetupError
from vireton.setup.load import load_setup, parse_setup
from vireton.setup.template import template_text
from vireton.units.problems import named

EXAMPLES = Path(__file__).parents[3] / "examples"


def message(path: Path) -> str:
    with pytest.raises(SetupError) as caught:
        load_setup(path)
    text = str(caught.value)
    assert "\n" not in text
    assert text.startswith(named(path))
    return text.removeprefix(named(path))


def syntax_message(text: str) -> str:
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    assert len(caught.value.problems) == 1
    return str(caught.value)


def test_the_template_in_si() -> None:
    setup = parse_setup(template_text())
    assert setup.name == "Mill bow with Maple 340"
    assert setup.path is None
    assert setup.bow.draw_weight == pytest.approx(60.0 * 4.4482216152605, rel=1e-15)
    assert setup.bow.arrow_speed == pytest.approx(85.344, rel=1e-15)
    assert setup.bow.rest.lets_go == 0.45
    assert setup.parts.length == pytest.approx(0.7239, rel=1e-15)
    assert setup.parts.shaft.length == pytest.approx(28.15 * 0.0254, rel=1e-14)
    assert setup.sight.sight_in == pytest.approx(18.288, rel=1e-15)
    assert setup.rest_step == pytest.approx(0.0254 / 32.0, rel=1e-15)
    assert setup.wind == (0.0, 12.0)
    assert setup.drag_coefficient is None
    with pytest.raises(FrozenInstanceError):
        setup.name = "other"  # type: ignore[misc]


def test_the_example_of_the_mill_bow_is_the_template_without_its_comments() -> None:
    path = EXAMPLES / "mill_bow.toml"
    setup = load_setup(path)
    assert setup.path == path
    assert replace(setup, path=None) == parse_setup(template_text())


def test_the_example_of_the_orchard_bow_is_left_handed_and_metric() -> None:
    setup = load_setup(str(EXAMPLES / "orchard_bow.toml"))
    assert setup.bow.hand == "left"
    assert setup.parts.shaft.outside_diameter == pytest.approx(0.0056, rel=1e-15)
    assert setup.parts.insert is None
    assert setup.wind == (2.0, 9.0)
    assert setup.air.relative_humidity == 0.6
    assert setup.uncertainty["rest_lets_go"] == (0.85, 1.0)


def test_a_name_comes_from_bow_and_arrow_where_none_is_given() -> None:
    text = template_text().replace('name = "Mill bow with Maple 340"', "")
    assert parse_setup(text).name == "Mill bow with Maple 340"


@pytest.mark.parametrize("change", [lambda t: t.replace("\n", "\r\n"), lambda t: "\ufeff" + t])
def test_windows_files_are_read(tmp_path: Path, change: Callable[[str], str]) -> None:
    path = tmp_path / "bow.toml"
    path.write_bytes(change(template_text()).encode())
    assert replace(load_setup(path), path=None) == parse_setup(template_text())


def test_files_that_are_no_setup_files(tmp_path: Path) -> None:
    assert message(tmp_path) == ": is a folder; give the setup file in it"
    missing = tmp_path / "no.toml"
    assert message(missing) == ": there is no such file; `vireton new FILE` writes one"
    below = tmp_path / "bow.toml" / "x"
    (tmp_path / "bow.toml").write_text(template_text(), encoding="utf-8")
    assert message(below).startswith(": cannot be read: ")
    assert message(Path("a\0b")).startswith(": cannot be read: ")
    binary = tmp_path / "bin.toml"
    binary.write_bytes(b"schema = 1\n# \xff\xfe\n")
    assert (
        message(binary)
        == ", line 2: is not UTF-8 text at column 3; save it as UTF-8 in your editor"
    )
    wide = tmp_path / "wide.toml"
    wide.write_bytes(template_text().encode("utf-16"))
    assert "is not UTF-8 text" in message(wide)
    large = tmp_path / "large.toml"
    large.write_text("#" * (1 << 20) + "\n", encoding="utf-8")
    assert message(large) == ": is larger than 1 MiB, so it is no setup file"


def test_a_file_of_just_a_mebibyte_is_read(tmp_path: Path) -> None:
    path = tmp_path / "bow.toml"
    text = template_text()
    path.write_bytes(text.encode() + b"#" * ((1 << 20) - len(text.encode())))
    assert load_setup(path).name == "Mill bow with Maple 340"


def test_an_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # not by chmod: root may read everything
    def denied(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "open", denied)
    assert message(tmp_path / "bow.toml") == ": may not be read; check the file's permissions"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            'schema = 1\n[arrow]\nlength = 28 1/2 in # "quoted"\n',
            "setup, line 3: not valid TOML at column 13: the value ends too early; put the value "
            'in quotes: length = "28 1/2 in"',
        ),
        (
            "[bow]\nx = 1\n[bow]\n",
            "setup, line 3: not valid TOML at column 5: the table [bow] is there twice",
        ),
        (
            "[bow.rest]\n[bow.rest]\n",
            "setup, line 2: not valid TOML at column 10: the table [bow.rest] is there twice",
        ),
        ("x = 1\nx = 2\n", "setup, line 2: not valid TOML at "),
        ('x = "abc\n', "setup, line 1: not valid TOML at column 9: "),
        ('x = """abc\n', "setup, line 1: not valid TOML at column 11, the end of the file: "),
        ("x = " + "9" * 5000, "setup: not valid TOML: a number has far too many digits"),
        ("a = " + "[" * 100_000, "setup: lists or tables are nested too deeply"),
        ("a = " + "{a=" * 100_000, "setup: lists or tables are nested too deeply"),
        ("[" + ".".join("a" * 400_000) + "]", "setup: lists or tables are nested too deeply"),
        (".".join("a" * 400_000) + " = 1", "setup: lists or tables are nested too deeply"),
        ("x = {" + ".".join("a" * 400_000) + " = 1}", "setup: lists or tables are nested too"),
        ("\0", "setup, line 1: not valid TOML at column 1: "),
    ],
)
def test_broken_toml_says_where(text: str, said: str) -> None:
    started = time.process_time()
    assert syntax_message(text).startswith(said)
    assert time.process_time() - started < 2.0


@pytest.mark.parametrize(
    "text",
    [
        "\n".join(f"key{i} = 1" for i in range(60_000)),
        "\n".join(f"[bow.rest.x{i}]" for i in range(40_000)),
        "a = [" + "1," * 400_000 + "]",
    ],
)
def test_a_file_full_of_rubbish_is_refused_in_seconds(text: str) -> None:
    started = time.process_time()
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    assert time.process_time() - started < 10.0
    assert len(str(caught.value).split("\n")) <= 41


def test_reading_a_setup_is_quick_and_brings_nothing_heavy() -> None:
    code = (
        "import sys, time; from vireton.setup import parse_setup, template_text; "
        "text = template_text(); start = time.process_time(); parse_setup(text); "
        "assert time.process_time() - start < 0.3; "
        "heavy = {'numpy', 'numba', 'scipy', 'matplotlib', 'pint'} & set(sys.modules); "
        "sys.exit(' '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")


LINES = template_text().split("\n")


@settings(deadline=None, max_examples=150)
@given(
    where=st.lists(st.integers(0, len(LINES) - 1), min_size=1, max_size=4),
    junk=st.one_of(
        st.just(""),
        st.sampled_from(
            ["[bow]", "bow = 1", "x = nan", 'length = "5"', "[[arrow]]", "count = 1e9"]
        ),
        st.text(max_size=20),
    ),
)
def test_a_damaged_file_is_read_or_refused_in_words(where: list[int], junk: str) -> None:
    lines = list(LINES)
    for place in where:
        lines[place] = junk
    text = "\n".join(lines)
    try:
        parse_setup(text)
    except SetupError as error:
        assert error.problems
        assert str(error).replace("\n", "").isprintable()
        return
    tomllib.loads(text.replace("\r\n", "\n").removeprefix("\ufeff"))
