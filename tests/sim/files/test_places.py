"""Line numbers of keys."""

import tomllib

from vireton.files.places import key_lines, line_of

TEXT = """\
# bow = 1
schema = 1
[bow.rest]
type = "drop-away"
[bow]
name = '''
speed = 3
[arrow]
'''
travel = [
  "[x]", # y = 2
  "z = 3",
]
"quoted key" = 1
string.mass = "24 g"
inline = { a = 1, b = { c = 2 } }
  [ arrow . nock ]
  mass="9 gr" # = 3
[[many]]
k = 1
[[many.inner]]
j = 1
[[many]]
k = 2
[[many.inner]]
j = 2
last = \"\"\"
q = 1 \\\"\"\" r
\"\"\"
after = 1
"""


def test_every_key_is_on_its_line() -> None:
    tomllib.loads(TEXT)  # the text is what it is meant to be
    lines = key_lines(TEXT)
    assert lines == {
        ("schema",): 2,
        ("bow",): 5,
        ("bow", "rest"): 3,
        ("bow", "rest", "type"): 4,
        ("bow", "name"): 6,
        ("bow", "travel"): 10,
        ("bow", "quoted key"): 14,
        ("bow", "string"): 15,
        ("bow", "string", "mass"): 15,
        ("bow", "inline"): 16,
        ("arrow",): 17,
        ("arrow", "nock"): 17,
        ("arrow", "nock", "mass"): 18,
        ("many",): 19,
        ("many", "1"): 19,
        ("many", "1", "k"): 20,
        ("many", "1", "inner"): 21,
        ("many", "1", "inner", "1"): 21,
        ("many", "1", "inner", "1", "j"): 22,
        ("many", "2"): 23,
        ("many", "2", "k"): 24,
        ("many", "2", "inner"): 25,
        ("many", "2", "inner", "1"): 25,
        ("many", "2", "inner", "1", "j"): 26,
        ("many", "2", "inner", "1", "last"): 27,
        ("many", "2", "inner", "1", "after"): 30,
    }


def test_an_unfound_key_takes_the_line_of_what_holds_it() -> None:
    lines = key_lines(TEXT)
    assert line_of(lines, ("bow", "inline", "b", "c")) == 16
    assert line_of(lines, ("arrow", "shaft", "spine")) == 17
    assert line_of(lines, ("wind", "speed")) is None


def test_very_deep_paths_are_cut() -> None:
    assert max(len(path) for path in key_lines(f"[{'.'.join('abcdefghij')}]\nk = 1")) == 6
