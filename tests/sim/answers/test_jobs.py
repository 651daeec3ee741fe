"""A shop's jobs from Python."""

import shutil

import pytest

import vireton
from vireton.answers.table import Grid
from vireton.units.display import US


@pytest.fixture
def shop(pytestconfig, tmp_path):
    shutil.copy(pytestconfig.rootpath / "examples" / "mill_log.toml", tmp_path / "mill.toml")
    done = (
        'schema = 1\nsetup = "bow.toml"\nname = "Birch bow"\n[[round]]\nnumber = 1\n'
        'date = "2026-11-09"\nstage = "done"\n'
    )
    (tmp_path / "birch.toml").write_text(done, encoding="utf-8")
    (tmp_path / "bad.toml").write_text('setup = "x"\n[[round]]\nnumber =\n', encoding="utf-8")
    return tmp_path


def test_rows_are_those_of_the_command(shop):
    found = vireton.list_jobs(shop)
    assert [(row["bow"], row["state"]) for row in found.rows()] == [
        ("Mill bow, spring", "open"), ("Birch bow", "done"), ("bad", "damaged"),
    ]  # fmt: skip
    assert found.rows()[0]["owner"] is None
    assert (found.rows()[2]["rounds"], found.rows()[0]["rounds"]) == (None, 4)
    assert found.to_dict()["damaged"] == 1
    assert found.folder == str(shop)


def test_found_by_words_and_open_ones_alone(shop):
    assert [row["file"] for row in vireton.list_jobs(shop, find="spring MILL").rows()] == [
        "mill.toml"
    ]
    assert [one.file for one in vireton.list_jobs(shop, only_open=True).lines] == [
        "mill.toml", "bad.toml",
    ]  # fmt: skip


def test_a_notebook_shows_them_with_what_is_wrong(shop):
    count, grid, wrong = vireton.list_jobs(shop).page(US)
    assert count.lines == ("1 open, 1 done, 1 damaged",)
    assert isinstance(grid, Grid) and len(grid.cells) == 2
    assert wrong.lines[0].startswith("bad.toml: line")


def test_no_folder_is_said_in_words(tmp_path):
    with pytest.raises(vireton.InputProblem, match="no such folder"):
        vireton.list_jobs(tmp_path / "nowhere")
