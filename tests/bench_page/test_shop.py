"""The folder: what is a job, and what no request can reach."""

from pathlib import Path

import pytest

from vireton.job import NewRound, append_round
from vireton_bench.shop import NoSuchJobError, Shop


def test_setups_and_other_files_are_no_jobs(shop: Path) -> None:
    (shop / "notes.toml").write_text("a = 1\n")
    (shop / "readme.txt").write_text("x")
    (shop / ".hidden.toml").write_text((shop / "mill_log.toml").read_text())
    found = Shop(shop)
    assert [name for name, _ in found.jobs()] == ["mill_log"]
    assert list(found.setups()) == ["mill_bow"]


def test_a_link_out_of_the_folder_is_not_followed(shop: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_text((shop / "mill_log.toml").read_text())
    (shop / "link.toml").symlink_to(outside)
    with pytest.raises(NoSuchJobError):
        Shop(shop).path_of("link")


def test_open_jobs_come_first(shop: Path) -> None:
    second = shop / "orchard.toml"
    second.write_text((shop / "mill_log.toml").read_text())
    append_round(shop / "mill_log.toml", NewRound(stage="done"))
    assert [name for name, _ in Shop(shop).jobs()] == ["orchard", "mill_log"]


def test_a_change_of_the_file_shows_in_the_list(shop: Path) -> None:
    found = Shop(shop)
    assert found.jobs()[0][1].rounds == 4
    version = found.version(shop / "mill_log.toml")
    append_round(shop / "mill_log.toml", NewRound(note="once more"))
    assert found.jobs()[0][1].rounds == 5
    assert found.version(shop / "mill_log.toml") != version
