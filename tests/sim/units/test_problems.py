"""How messages repeat what was given."""

from pathlib import Path

from vireton.units.problems import named, printable


def test_what_a_terminal_would_obey_is_not_repeated():
    assert printable("a\x1b[31m\nb\udcff½ −") == "a?[31m?b?½ −"


def test_long_texts_are_cut():
    assert printable("x" * 40, 40) == "x" * 40
    assert printable("x" * 41, 40) == "x" * 37 + "..."


def test_a_long_name_keeps_its_end():
    shown = named(Path("/" + "f" * 5000) / "bow.toml")
    assert len(shown) == 203
    assert shown.startswith("...f")
    assert shown.endswith("/bow.toml")
    assert named("my bow.toml") == "my bow.toml"
    assert named("b" * 200) == "b" * 200
