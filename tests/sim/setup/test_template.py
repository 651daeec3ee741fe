"""The template: complete, honest, and never written over anything."""

import errno
import os
from pathlib import Path
from typing import Any

import pytest

from vireton.files.places import key_lines
from vireton.setup.errors import SetupError
from vireton.setup.load import load_setup, parse_setup
from vireton.setup.schema import json_schema
from vireton.setup.template import template_text, write_template


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def all_keys() -> set[tuple[str, ...]]:
    schema = json_schema()

    def below(node: dict[str, Any], above: tuple[str, ...]) -> set[tuple[str, ...]]:
        found = set()
        for key, one in node["properties"].items():
            path = (*above, key)
            if "$ref" in one:
                found |= below(schema["$defs"][one["$ref"].rsplit("/", 1)[1]], path)
            else:
                found.add(path)
        return found

    return below(schema, ())


def test_it_holds_every_key_there_is() -> None:
    # a key may stand behind a comment mark, ready to be taken in
    lines = template_text().split("\n")
    bare = "\n".join(line.removeprefix("# ") for line in lines)
    assert {path for path in key_lines(bare) if path in all_keys()} == all_keys()


def test_it_says_what_it_must() -> None:
    text = " ".join(template_text().replace("#", " ").split())
    for said in (
        "The bow and the arrow below are invented",
        "flex-check carbon shafts",
        "Never dry-fire",
        "Keep to the bow maker's limits",
        "may be deleted",
    ):
        assert said in text


def test_it_fits_a_screen_in_width() -> None:
    assert max(len(line) for line in template_text().split("\n")) <= 110


@pytest.mark.parametrize("table", ["uncertainty", "sight", "air", "arrow.insert", "bow.string"])
def test_tables_that_may_be_deleted_may(table: str) -> None:
    lines = template_text().split("\n")
    start = lines.index(f"[{table}]")
    end = next((i for i in range(start + 1, len(lines)) if lines[i].startswith("[")), len(lines))
    parse_setup("\n".join(lines[:start] + lines[end:]))


def test_it_is_written_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "my bow.toml"
    assert write_template(path) == path
    assert path.read_text(encoding="utf-8") == template_text()
    assert load_setup(path).name == "Mill bow with Maple 340"
    assert names(tmp_path) == ["my bow.toml"]


def refusal(path: Path | str) -> str:
    with pytest.raises(SetupError) as caught:
        write_template(path)
    return str(caught.value).removeprefix(f"{path}: ")


def test_nothing_is_written_over(tmp_path: Path) -> None:
    there = "is there already and is left as it is; give another name or move it away"
    file = tmp_path / "bow.toml"
    file.write_text("mine", encoding="utf-8")
    assert refusal(file) == there
    assert file.read_text(encoding="utf-8") == "mine"
    assert refusal(tmp_path) == there
    dangling = tmp_path / "link.toml"
    dangling.symlink_to(tmp_path / "nowhere.toml")
    assert refusal(dangling) == there
    assert not (tmp_path / "nowhere.toml").exists()
    assert names(tmp_path) == ["bow.toml", "link.toml"]


def test_a_file_that_appears_meanwhile_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bow.toml"
    real = os.link

    def late(part: Path, target: Path) -> None:
        target.write_text("theirs", encoding="utf-8")
        real(part, target)

    monkeypatch.setattr(os, "link", late)
    assert refusal(path).startswith("is there already")
    assert path.read_text(encoding="utf-8") == "theirs"
    assert names(tmp_path) == ["bow.toml"]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "no" / "bow.toml"
    assert refusal(path) == f"there is no folder {tmp_path / 'no'}; make it first"


def no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "Operation not permitted")


def test_a_disk_without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", no_links)
    path = write_template(tmp_path / "bow.toml")
    assert path.read_text(encoding="utf-8") == template_text()
    assert refusal(path).startswith("is there already")
    assert names(tmp_path) == ["bow.toml"]


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert refusal(tmp_path / "bow.toml") == "cannot be written: No space left on device"
    assert names(tmp_path) == []
