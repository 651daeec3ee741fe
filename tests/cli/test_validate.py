"""``vireton validate`` on made-up cases."""

import json

import pytest

CASE = """\
title = "Made up"
source = "Nobody 1900"
group = "Air"

[[check]]
id = "a"
quantity = "length of a made-up thing"
published = 2.0
limit = 0.1
unit = "m"
how = "memory"
place = "table 9"
why_limit = "made up"
"""


@pytest.fixture
def made_up(tmp_path):
    """A folder with one case whose own value is the argument."""

    def make(ours, extra="", figures=""):
        folder = tmp_path / "made up" / "one"
        folder.mkdir(parents=True)
        (folder / "case.toml").write_text(CASE + extra, encoding="utf-8")
        script = f"def reproduce(data):\n    return {{'a': {ours}}}\n{figures}"
        (folder / "reproduce.py").write_text(script, encoding="utf-8")
        return folder.parent

    return make


def test_agreement_is_a_table_and_exit_code_0(vireton, made_up):
    done = vireton("validate", made_up(2.05))
    assert done.code == 0, done.err
    assert "Nobody 1900" in done.out
    assert "agrees" in done.out
    assert "1 checks: 1 agree, 0 fail as known" in done.out


@pytest.mark.parametrize("ours", ["2.2", "1.8", "float('nan')"])
def test_an_unexpected_failure_is_exit_code_1(vireton, made_up, ours):
    done = vireton("validate", made_up(ours))
    assert done.code == 1
    assert "FAILS" in done.out
    assert "1 UNEXPECTED" in done.out
    assert "Traceback" not in done.err


def test_a_known_gap_is_exit_code_0_and_one_that_has_closed_is_1(vireton, made_up):
    folder = made_up(2.2, 'fails_because = "known"\n')
    assert vireton("validate", folder).code == 0
    (folder / "one" / "reproduce.py").write_text("def reproduce(data):\n    return {'a': 2.0}\n")
    closed = vireton("validate", folder)
    assert closed.code == 1
    assert "1 UNEXPECTED" in closed.out


def test_json(vireton, made_up):
    done = vireton("validate", made_up(2.5), "--json")
    assert done.code == 1
    data = json.loads(done.out)
    assert data["schema"] == 1
    assert data["checks"] == [
        {
            "source": "Nobody 1900",
            "case": "Made up",
            "quantity": "length of a made-up thing",
            "unit": "m",
            "published": 2.0,
            "limit": 0.1,
            "how": "memory",
            "place": "table 9",
            "ours": 2.5,
            "difference": 0.5,
            "verdict": "FAILS",
            "fails_because": None,
        }
    ]


def test_json_of_a_number_that_is_none(vireton, made_up):
    (check,) = json.loads(vireton("validate", made_up("float('nan')"), "--json").out)["checks"]
    assert check["ours"] is None
    assert check["difference"] is None
    assert check["verdict"] == "FAILS"


def test_a_report_that_cannot_be_written_is_told(vireton, made_up):
    folder = made_up(2.0)
    (folder / "REPORT.md").mkdir()
    done = vireton("validate", folder, "--write")
    assert done.code == 2
    assert "REPORT.md: cannot be written" in done.err
    assert not list(folder.glob(".*"))


def test_write_makes_report_and_figures(vireton, made_up):
    figures = (
        "def figures(data):\n"
        "    from matplotlib.figure import Figure\n"
        "    return {'drag': Figure(figsize=(2, 2))}\n"
    )
    folder = made_up(2.0, figures=figures)
    assert not (folder / "REPORT.md").exists()
    assert vireton("validate", folder).code == 0
    assert not (folder / "REPORT.md").exists()
    assert vireton("validate", folder, "--write").code == 0
    report = (folder / "REPORT.md").read_text(encoding="utf-8")
    assert "length of a made-up thing" in report
    assert "(drag.png)" in report
    assert (folder / "drag.png").read_bytes().startswith(b"\x89PNG")


def test_a_report_is_written_also_where_checks_fail(vireton, made_up):
    folder = made_up(9.0)
    assert vireton("validate", folder, "--write").code == 1
    assert "**FAILS**" in (folder / "REPORT.md").read_text(encoding="utf-8")


def test_a_folder_that_is_not_there_is_exit_code_2(vireton, tmp_path):
    done = vireton("validate", tmp_path / "nowhere")
    assert done.code == 2
    assert "nowhere" in done.err
    assert "no validation cases" in " ".join(done.err.split())
    assert done.out == ""


def test_without_a_folder_it_looks_in_the_clone(vireton, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = vireton("validate")
    assert done.code == 2
    assert "validation" in done.err


def test_a_bad_case_names_its_file(vireton, made_up):
    folder = made_up(2.0, "color = 'red'\n")
    done = vireton("validate", folder)
    assert done.code == 2
    said = "".join(done.err.split())
    assert "case.toml" in said
    assert "color" in said
    assert "Traceback" not in done.err
