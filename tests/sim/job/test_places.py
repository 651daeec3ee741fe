"""Lines of keys in a text with lists of tables."""

from vireton.job.places import element_lines

TEXT = """\
schema = 1
[[round]]
number = 1
[[round.tear]]
at = "6 ft" # [[round]]
[[ round . tear ]]
at = "7 ft"

[[round]]
note = \"\"\"
[[round]]
at = 3
\"\"\"
shots = [
  "[[round]]",
]
[[round.tear]]
"at" = 1
group = [{ at = 2 }]
[round.inner]
x = 1
"""


def test_every_entry_has_its_own_lines() -> None:
    lines = element_lines(TEXT)
    assert lines == {
        ("schema",): 1,
        ("round", "0"): 2,
        ("round", "0", "number"): 3,
        ("round", "0", "tear", "0"): 4,
        ("round", "0", "tear", "0", "at"): 5,
        ("round", "0", "tear", "1"): 6,
        ("round", "0", "tear", "1", "at"): 7,
        ("round", "1"): 9,
        ("round", "1", "note"): 10,
        ("round", "1", "shots"): 14,
        ("round", "1", "tear", "0"): 17,
        ("round", "1", "tear", "0", "at"): 18,
        ("round", "1", "tear", "0", "group"): 19,
        ("round", "1", "inner"): 20,
        ("round", "1", "inner", "x"): 21,
    }
