"""``import vireton``: quick, complete, and every example in it runs."""

import ast
import doctest
import importlib
import pkgutil
import subprocess
import sys

import pytest

import vireton
from vireton import answers

MODULES = [f"vireton.answers.{found.name}" for found in pkgutil.iter_modules(answers.__path__)]


def test_importing_brings_nothing_heavy_and_the_first_use_does():
    code = (
        "import sys, vireton\n"
        "heavy = {'numba', 'scipy', 'matplotlib', 'numpy', 'pint', 'pydantic'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
        "assert 'fly' in dir(vireton)\n"
        "assert not heavy & set(sys.modules)\n"
        "vireton.fly\n"
        "assert not heavy & set(sys.modules)\n"
        "vireton.fly(vireton.load(), '20 yd', draws=8)\n"
        "assert 'numba' in sys.modules\n"
        "assert 'matplotlib' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("name", vireton.__all__)
def test_every_name_is_there_and_described(name):
    found = getattr(vireton, name)
    assert name in dir(vireton)
    assert name == "__version__" or (found.__doc__ and found.__name__ == name)


def test_no_name_is_that_of_a_module():
    # importing the module would put it in the place of the name
    modules = {found.name for found in pkgutil.iter_modules(vireton.__path__)}
    assert not modules & set(vireton.__all__)


def test_editors_and_mypy_see_the_same_names():
    with open(vireton.__file__, encoding="utf-8") as source:  # noqa: PTH123
        tree = ast.parse(source.read())
    seen = {
        alias.name: node.module
        for block in tree.body
        if isinstance(block, ast.If)
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert seen == vireton._HOMES
    assert {*seen, "__version__"} == set(vireton.__all__)


def test_an_unknown_name_is_an_ordinary_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'flyy'"):
        vireton.flyy  # noqa: B018


@pytest.mark.parametrize("name", ["vireton", *MODULES])
def test_examples_run(name, monkeypatch, pytestconfig):
    monkeypatch.chdir(pytestconfig.rootpath)
    module = importlib.import_module(name)
    assert doctest.testmod(module, optionflags=doctest.ELLIPSIS).failed == 0


def test_every_function_shows_an_example():
    functions = [name for name in vireton.__all__ if name[0].islower()]
    assert len(functions) >= 9
    assert all(">>> " in getattr(vireton, name).__doc__ for name in functions)
