"""Damaged bytes: read or refused in words, and quickly."""

import random

import pytest

from faults import fuzz as module
from faults.fuzz import fuzz, mutant, originals


def test_every_mutant_is_read_or_refused_in_words(warm_kernel: None) -> None:
    tally = fuzz(2_000, 14)
    assert not tally.bugs, tally.bugs
    assert tally.counts["refused"] + tally.counts["accepted"] == 2_000
    # neither all sound nor all rubbish: both ways of the reader are walked
    assert min(tally.counts["refused"], tally.counts["accepted"]) > 100


def test_the_same_seed_gives_the_same_mutants() -> None:
    raw = originals()[0][0]
    one, other = random.Random(3), random.Random(3)
    assert [mutant(one, raw) for _ in range(50)] == [mutant(other, raw) for _ in range(50)]
    assert len({mutant(one, raw) for _ in range(50)}) > 40


def test_the_unharmed_files_are_read(tmp_path, warm_kernel: None) -> None:
    for raw, read in originals():
        path = tmp_path / "file.toml"
        path.write_bytes(raw)
        read(path)


def test_bugs_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(path) -> None:
        if b"[" in path.read_bytes():
            raise KeyError("gone")

    monkeypatch.setattr(module, "originals", lambda: [(b"[bow]\n", broken)])
    tally = fuzz(20, 1)
    assert tally.counts["bug"] > 0
    assert list(tally.bugs) == ["KeyError in broken"]
