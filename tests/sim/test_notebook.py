"""``examples/notebook.ipynb`` runs from top to bottom, and all that it ends a cell with is shown.

Its cells run in this process, one after the other, so that a warning is an error as everywhere: the
kernel, its client and their dozen of dependencies would add half a minute and say no more.
"""

import ast
import json
import shutil

import pytest

import vireton
from vireton.answers.as_html import Shown


@pytest.fixture(scope="module")
def notebook(pytestconfig):
    text = (pytestconfig.rootpath / "examples" / "notebook.ipynb").read_text(encoding="utf-8")
    return json.loads(text)


def code(notebook):
    return ["".join(one["source"]) for one in notebook["cells"] if one["cell_type"] == "code"]


def run(source, names):
    """A cell; what its last line is, as a notebook would show it."""
    tree = ast.parse(source)
    last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
    exec(compile(tree, "cell", "exec"), names)
    return (
        None if last is None else eval(compile(ast.Expression(last.value), "cell", "eval"), names)
    )


def test_it_keeps_no_output_and_every_cell_has_its_own_name(notebook):
    assert (notebook["nbformat"], notebook["nbformat_minor"]) == (4, 5)
    names = [one["id"] for one in notebook["cells"]]
    assert len(set(names)) == len(names)
    for one in notebook["cells"]:
        if one["cell_type"] == "code":
            assert (one["outputs"], one["execution_count"]) == ([], None)


def test_it_is_a_notebook_to_the_tools_of_notebooks(pytestconfig):
    nbformat = pytest.importorskip("nbformat")
    with (pytestconfig.rootpath / "examples" / "notebook.ipynb").open(encoding="utf-8") as file:
        nbformat.validate(nbformat.read(file, as_version=4))


def test_every_cell_runs_and_shows_what_it_ends_with(
    notebook, pytestconfig, tmp_path, monkeypatch, capsys
):
    shutil.copytree(pytestconfig.rootpath / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path / "examples")
    before = sorted((tmp_path / "examples").rglob("*"))
    names, shown = {}, []
    for source in code(notebook):
        found = run(source, names)
        if isinstance(found, Shown):
            assert "<li>" in found._repr_html_()
            shown.append(type(found).__name__)
        elif hasattr(found, "_repr_png_"):
            assert found._repr_png_().startswith(b"\x89PNG")
            shown.append("picture")
        elif found is not None:
            shown.append(found)
    assert shown == [
        "Mill bow with Maple 340", "RestMoves", "picture", "yes", "Comparison",
        {"20 yd": 0.7, "30 yd": 1.4, "40 yd": 2.9, "50 yd": 4.5, "60 yd": 6.7},
        "picture", "ShopJobs", "Tuned", "picture", "HuntingCard",
    ]  # fmt: skip
    assert "1/32 inch of rest" in capsys.readouterr().out
    assert sorted((tmp_path / "examples").rglob("*")) == before, "it leaves nothing behind"


def test_a_cell_that_breaks_is_seen():
    with pytest.raises(vireton.InputProblem):
        run("import vireton\nvireton.load('nowhere.toml')", {})
    with pytest.raises(vireton.Caution):
        run("import warnings, vireton\nwarnings.warn('light', vireton.Caution)\n1", {})
