"""``vireton target``."""

import json

import pytest


def test_a_sheet_is_written_and_the_printing_explained(vireton, tmp_path):
    file = tmp_path / "face.pdf"
    done = vireton("target", "group", "-o", file)
    assert done.code == 0, done.err
    assert file.read_bytes().startswith(b"%PDF-")
    said = " ".join(done.out.split())  # a long folder wraps the line
    assert f"wrote {file}".replace(" ", "") in said.replace(" ", "")
    for words in ("100 %", "100 mm", "backstop"):
        assert words in said
    assert "older" not in done.out
    again = vireton("target", "group", "-o", file).out
    assert "in place of an older one" in " ".join(again.split())


@pytest.mark.parametrize(("paper", "wide", "high"), [("letter", 215.9, 279.4), ("a4", 210, 297)])
def test_json(vireton, tmp_path, paper, wide, high):
    done = vireton(
        "target", "tear", "-o", tmp_path / "t.svg", "--paper", paper, "--units", "metric", "--json"
    )
    answer = json.loads(done.out)
    assert answer["schema"] == 1
    assert (answer["kind"], answer["paper"]) == ("tear", paper)
    assert (answer["width_mm"], answer["height_mm"]) == pytest.approx((wide, high))
    assert answer["bars_mm"] == [100.0, 101.6]


def test_a_bitmap_has_no_true_scale(vireton, tmp_path):
    done = vireton("target", "tear", "-o", tmp_path / "t.png")
    assert done.code == 2
    assert ".pdf or .svg" in done.err
    assert list(tmp_path.iterdir()) == []


def test_an_unknown_kind_is_refused_with_those_there_are(vireton, tmp_path):
    done = vireton("target", "rings", "-o", tmp_path / "t.pdf")
    assert done.code == 2
    assert "plumb" in done.err
