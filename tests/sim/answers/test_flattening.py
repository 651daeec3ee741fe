"""Objects in rows made flat."""

from vireton.answers.flattening import flat


def test_inner_keys_follow_the_outer_one():
    row = {"a": 1, "b": {"c": 2, "d": {"e": 3}}, "f": [{"g": 4}]}
    assert flat(row) == {"a": 1, "b_c": 2, "b_d_e": 3, "f": [{"g": 4}]}
