"""The runner of published checks, on made-up cases."""

import math
import textwrap

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.published.checks import (
    CheckData,
    Result,
    digits_of_limit,
    figures_of,
    find_cases,
    load_case,
    run_case,
)
from vireton.units.problems import InputProblem

CHECK = """
[[check]]
id = "{id}"
quantity = "length of a made-up thing"
published = 2.0
limit = 0.1
unit = "m"
how = "memory"
place = "nowhere"
why_limit = "made up"
"""
SCRIPT = "def reproduce(data):\n    return {'a': data.data['ours']}\n"


def write_case(folder, *, ours="2.05", checks=("a",), script=SCRIPT, extra=""):
    folder.mkdir(parents=True)
    head = 'title = "Made up"\nsource = "Nobody 1900"\ngroup = "Air"\n'
    body = "".join(CHECK.format(id=one) for one in checks)
    text = f"{head}\n[data]\nours = {ours}\n{body}{extra}\n"
    (folder / "case.toml").write_text(text, encoding="utf-8")
    if script is not None:
        (folder / "reproduce.py").write_text(textwrap.dedent(script), encoding="utf-8")
    return folder


def one_result(published, limit, ours, because=None):
    check = CheckData(
        id="a",
        quantity="q",
        published=published,
        limit=limit,
        unit="m",
        how="read",
        place="p",
        why_limit="w",
        fails_because=because,
    )
    return Result("case", "source", "group", check, ours)


@pytest.mark.parametrize(
    ("ours", "because", "verdict", "expected"),
    [
        (2.0, None, "agrees", True),
        (2.125, None, "agrees", True),  # the limit itself is inside
        (1.875, None, "agrees", True),
        (2.126, None, "FAILS", False),
        (1.874, None, "FAILS", False),
        (math.nan, None, "FAILS", False),
        (math.inf, None, "FAILS", False),
        (2.2, "known", "fails as known", True),
        (math.nan, "known", "fails as known", True),
        (2.1, "known", "agrees, though marked as failing", False),
    ],
)
def test_verdicts(ours, because, verdict, expected):
    result = one_result(2.0, 0.125, ours, because)
    assert result.verdict == verdict
    assert result.is_expected is expected


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e3), st.floats(0.0, 10.0))
def test_limits_are_symmetric(published, limit, steps):
    def agrees(sign):
        return one_result(0.0, limit, sign * steps * limit).verdict == "agrees"

    assert agrees(1.0) == agrees(-1.0)
    assert one_result(published, limit, published).verdict == "agrees"


@pytest.mark.parametrize("limit", ["0.0", "-0.1", "nan", "inf"])
def test_a_limit_is_positive_and_can_be_missed(tmp_path, limit):
    case = write_case(tmp_path / "one")
    path = case / "case.toml"
    path.write_text(path.read_text().replace("limit = 0.1", f"limit = {limit}"))
    with pytest.raises(InputProblem, match=r"case\.toml.*limit"):
        load_case(case)


def test_a_case_is_run_with_its_own_data(tmp_path):
    case = load_case(write_case(tmp_path / "one"))
    (result,) = run_case(case)
    assert (result.case, result.source, result.group) == ("Made up", "Nobody 1900", "Air")
    assert result.ours == 2.05
    assert result.difference == pytest.approx(0.05, rel=1e-12)
    assert figures_of(case) == {}


def test_figures_are_handed_on(tmp_path):
    script = SCRIPT + "def figures(data):\n    return {'picture': data.title}\n"
    assert figures_of(load_case(write_case(tmp_path / "one", script=script))) == {
        "picture": "Made up"
    }


def all_of(folder):
    for case in map(load_case, find_cases(folder)):
        yield case, run_case(case)


def test_all_cases_run_by_name_and_each_with_its_own_script(tmp_path):
    other = "def reproduce(data):\n    return {'a': 7}\n"
    write_case(tmp_path / "second", script=other)
    write_case(tmp_path / "first")
    (tmp_path / "no_case").mkdir()
    assert [path.name for path in find_cases(tmp_path)] == ["first", "second"]
    ran = [(case.folder.name, results[0].ours) for case, results in all_of(tmp_path)]
    assert ran == [("first", 2.05), ("second", 7.0)]
    assert isinstance(ran[1][1], float)


def test_a_folder_without_cases_is_refused(tmp_path):
    with pytest.raises(InputProblem, match=r"no validation cases.*run there"):
        find_cases(tmp_path)
    with pytest.raises(InputProblem, match="nowhere"):
        find_cases(tmp_path / "nowhere")


def test_a_missing_script_is_named(tmp_path):
    with pytest.raises(InputProblem, match=r"reproduce\.py is missing"):
        load_case(write_case(tmp_path / "one", script=None))


def test_a_case_without_checks_is_refused(tmp_path):
    with pytest.raises(InputProblem, match="check"):
        load_case(write_case(tmp_path / "case", checks=(), extra="\n"))


def test_two_checks_of_one_id_are_refused(tmp_path):
    with pytest.raises(InputProblem, match="same id"):
        load_case(write_case(tmp_path / "one", checks=("a", "a")))


@pytest.mark.parametrize("checks", [("a", "b"), ("b",)])
def test_script_and_data_must_name_the_same_checks(tmp_path, checks):
    with pytest.raises(InputProblem, match=r"only one of case\.toml and reproduce\.py has: .*b"):
        run_case(load_case(write_case(tmp_path / "one", checks=checks)))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('how = "memory"', 'how = "guessed"', "how"),
        ('place = "nowhere"', "", "place"),
        ('unit = "m"', 'unit = "m"\ncolor = "red"', "color"),
        ('title = "Made up"', "title = ", "case.toml"),
    ],
)
def test_a_case_file_that_is_not_as_it_should_be_is_named(tmp_path, old, new, said):
    case = write_case(tmp_path / "one")
    path = case / "case.toml"
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new))
    with pytest.raises(InputProblem, match=said) as caught:
        load_case(case)
    assert str(path) in str(caught.value)


@pytest.mark.parametrize(
    ("limit", "digits"),
    [
        *((3.0, 0), (2.9, 1), (1.0, 1), (0.5, 1), (0.3, 1), (0.29, 2), (0.1, 2), (0.05, 2)),
        *((5e-4, 4), (3e-4, 4), (5e-6, 6), (5e-10, 10), (1e-12, 13)),
        *((9.0, 0), (10.0, 0), (30.0, 0), (250.0, 0)),
    ],
)
def test_digits_of_limit(limit, digits):
    assert digits_of_limit(limit) == digits


@given(st.floats(1e-12, 2.9))
def test_a_limit_is_3_to_30_steps_of_the_last_digit(limit):
    steps = limit * 10.0 ** digits_of_limit(limit)
    assert 3.0 * (1.0 - 1e-9) <= steps < 30.0 * (1.0 + 1e-9)
