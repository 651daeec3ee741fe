"""Damaged entries of phones: taken, asked about or refused, and the job stays readable."""

from pathlib import Path

import pytest

from faults import entries


def test_every_damaged_entry_is_taken_asked_about_or_refused(warm_kernel: None) -> None:
    outcomes, bugs = entries.mill(400, 3)
    assert not bugs, bugs
    assert outcomes.total() == 400
    assert min(outcomes["taken"], outcomes["refused"], outcomes["not read"]) > 30


def test_bugs_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def taken_without_writing(job: Path, entry: entries.Entry, units: str) -> dict[str, object]:
        return {"taken": {"round": 1, "said": []}}

    monkeypatch.setattr(entries, "take", taken_without_writing)
    outcomes, bugs = entries.mill(20, 1)
    assert outcomes["bug"] > 0
    assert list(bugs) == ["AssertionError in attempt"]
