"""Whatever a docstring, a comment or a case cites stands in validation/SOURCES.md."""

import ast
import io
import re
import tokenize
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

_LETTERS = r"(?:Ma?c|O’)?[A-Z][a-zà-öø-ÿ]+"
_NAME = rf"{_LETTERS}(?:[-’']{_LETTERS})*"
_NAMES = rf"{_NAME}(?:, {_NAME})*(?:,? and {_NAME}| et al\.)?"
#: "Munk 1924", "Seban and Bond 1951", "Ortiz et al. 2020", "Picard, Davis, Gläser, Fujii 2008"
DATED = re.compile(
    rf"\b(US Standard Atmosphere|KAKENHI \w+|{_NAMES}),? \(?((?:18|19|20)[0-9]{{2}})\b"
)
#: the title of a book: "Hoerner, *Fluid-Dynamic Drag*, ch. 3"
TITLED = re.compile(r", (\*[A-Z][^*]+\*)")
#: "ASTM F2031", "NOAA-S/T 76-1562", "CIPM-2007"
NUMBERED = re.compile(r"\b(?:ANSI|ASTM|CIPM|DIN|ISO|NACA|NASA|NIST|NOAA)\b[A-Z/ -]*[0-9][0-9A-Z-]*")
ENTRY = re.compile(r"^- \*\*(.+?)\*\*", flags=re.MULTILINE)


def prose(code: str) -> Iterator[str]:
    """Docstrings and runs of comments, each on one line."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            yield " ".join((ast.get_docstring(node) or "").split())
    run = ""
    for token in tokenize.generate_tokens(io.StringIO(code).readline):
        if token.type == tokenize.COMMENT:
            run += " " + token.string.lstrip("#: ")
        elif token.type not in (tokenize.NL, tokenize.NEWLINE):
            if run:
                yield run.strip()
            run = ""
    yield run.strip()


def dated_key(names: str, year: str) -> str:
    """The citation as SOURCES.md spells it: one name, two, or the first of more."""
    people = re.split(r",? and |, ", names)
    if len(people) > 2:
        return f"{people[0]} et al. {year}"
    return f"{' and '.join(people)} {year}"


def cited(text: str) -> Iterator[str]:
    """What a line of prose cites: keys, *titles*, numbers of standards."""
    for names, year in DATED.findall(text):
        yield dated_key(names, year)
    yield from TITLED.findall(text)
    for number in NUMBERED.findall(text):
        yield number.rstrip("-")


def missing(text: str, sources: str) -> list[str]:
    """Citations in ``text`` that ``sources`` does not hold."""
    keys = set(ENTRY.findall(sources))
    return [
        one
        for one in cited(text)
        if not (one in keys if re.search(r" [12][0-9]{3}$", one) else one in sources)
    ]


@pytest.fixture(scope="module")
def sources() -> str:
    """The bibliography, its lines joined where an entry goes on."""
    text = (ROOT / "validation" / "SOURCES.md").read_text(encoding="utf-8")
    return re.sub(r"\n +", " ", text)


MODULES = sorted(
    path.relative_to(ROOT).as_posix()
    for top in ("sim", "cli")
    for path in ROOT.glob(f"{top}/**/*.py")
)
CASES = sorted(path.parent.name for path in ROOT.glob("validation/*/case.toml"))


def test_the_search_finds_every_way_to_cite():
    text = (
        "Munk 1924; McKay, Beckman and Conover 1979; Seban and Bond 1951, as corrected by Kelly "
        "1954 (Ortiz et al. 2020); "
        "Picard, Davis, Gläser, Fujii 2008; Hairer, Nørsett, and Wanner 1993; Levenberg-Marquardt "
        "1963; US Standard Atmosphere 1976, eq. 51; KAKENHI 18K03943 2020; Hoerner, "
        "*Fluid-Dynamic Drag*, ch. 3; it *is* so; ASTM F2031; NOAA-S/T 76-1562; CIPM-2007, eq. 1"
    )
    assert list(cited(text)) == [
        "Munk 1924",
        "McKay et al. 1979",
        "Seban and Bond 1951",
        "Kelly 1954",
        "Ortiz et al. 2020",
        "Picard et al. 2008",
        "Hairer et al. 1993",
        "Levenberg-Marquardt 1963",
        "US Standard Atmosphere 1976",
        "KAKENHI 18K03943 2020",
        "*Fluid-Dynamic Drag*",
        "ASTM F2031",
        "NOAA-S/T 76-1562",
        "CIPM-2007",
    ]


def test_prose_is_docstrings_and_comments_and_nothing_else():
    code = '''"""Of Munk\n1924."""\n#: After Kelly\n#: 1954.\nx = "Bond 1951"  # Taylor 1952\n'''
    assert [line for line in prose(code) if line] == [
        "Of Munk 1924.",
        "After Kelly 1954.",
        "Taylor 1952",
    ]


def test_a_key_that_is_not_there_is_missed(sources):
    invented = "Nobody and Noone 1899; Taylor 1952; Nemo, *How to Shoot*; ASTM Z1"
    assert missing(invented, sources) == ["Nobody and Noone 1899", "*How to Shoot*", "ASTM Z1"]


def test_another_year_or_a_second_author_is_another_source(sources):
    assert missing("Taylor 1953 and Taylor et al. 1952", sources) == [
        "Taylor 1953",
        "Taylor et al. 1952",
    ]


def test_every_citation_of_a_module_has_its_entry(sources):
    for module in MODULES:
        code = (ROOT / module).read_text(encoding="utf-8")
        assert [one for line in prose(code) for one in missing(line, sources)] == []


def test_the_library_does_cite():
    # were the search broken, the test above would pass on nothing
    found = {
        one
        for module in MODULES
        for line in prose((ROOT / module).read_text(encoding="utf-8"))
        for one in cited(line)
    }
    assert len(found) > 20
    assert {"Barrowman 1967", "Mukaiyama et al. 2011", "ASTM F2031"} <= found


def test_every_case_and_what_it_cites_has_its_entry(sources):
    for case in CASES:
        folder = ROOT / "validation" / case
        text = (folder / "case.toml").read_text(encoding="utf-8")
        assert tomllib.loads(text)["source"] in ENTRY.findall(sources)
        code = (folder / "reproduce.py").read_text(encoding="utf-8")
        assert [
            one for line in [" ".join(text.split()), *prose(code)] for one in missing(line, sources)
        ] == []


def test_no_key_stands_twice(sources):
    keys = ENTRY.findall(sources)
    assert sorted(keys) == sorted(set(keys))


def test_every_entry_says_how_it_is_known(sources):
    entries = re.findall(r"^- \*\*.*", sources, flags=re.MULTILINE)
    silent = [one for one in entries if not re.search(r"\*(?:Read|From memory|Invented)", one)]
    assert silent == []
