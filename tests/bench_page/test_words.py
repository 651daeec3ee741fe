"""What the sheets are made of comes from the library's tables."""

from vireton.tuning.changes import CHANGE_KINDS
from vireton.tuning.changes_typed import parse_change
from vireton.tuning.observations import parse_tear
from vireton.tuning.observations.found import FINDINGS
from vireton.units.numbers import INCH
from vireton_bench.words import words


def test_every_kind_is_on_the_sheet_and_can_be_recorded() -> None:
    told = words("us")
    assert [one["what"] for one in told["changes"]] == list(CHANGE_KINDS)
    for one in told["changes"]:
        assert parse_change(one["what"]).what == one["what"]
        if "turns" in one["takes"]:
            for k, text in enumerate(told["turns_typed"], start=1):
                found = parse_change(f"{one['what']} {text} out")
                assert (found.turns, found.note) == (-k / 4.0, "")
        if one["number"]:
            found = parse_change(f"{one['what']} {one['like']}")
            assert found.sets == ((one["number"], one["like"]),)
    assert [one["what"] for one in told["findings"]] == list(FINDINGS)


def test_sizes_of_a_tear_read_back() -> None:
    for k, text in enumerate(words("us")["tear"][1:], start=1):
        assert parse_tear(f"left {text}") == (-k * INCH / 16.0, 0.0)
    for k, text in enumerate(words("metric")["tear"][1:], start=1):
        assert abs(parse_tear(f"high {text}")[1] - k * 0.001) < 1e-12
