"""The table of figures: every row complete, and readable alone."""

from vireton.studies.figures import BY_NAME, FIGURES


def test_every_figure_has_its_own_name_and_title():
    assert len(BY_NAME) == len(FIGURES)
    keys = {f"{one.name}_{one.unit.key}".rstrip("_") for one in FIGURES}
    assert len(keys) == len(FIGURES)
    # read alone, in tables and pictures
    assert len({(one.title, one.unit.us[0]) for one in FIGURES}) == len(FIGURES)


def test_a_figure_that_is_spoken_of_has_both_ways_and_a_size():
    for one in FIGURES:
        assert bool(one.higher) == bool(one.lower), one.name
        assert one.least > 0.0
        if one.higher:
            assert "{}" in one.higher
            assert "{}" in one.lower
            assert one.higher != one.lower
