"""Films: table, words, and what the fit takes from them."""

from dataclasses import replace

import pytest
from bench import tuner
from filming import film
from pydantic import ValidationError

from vireton.tuning.observations.film import SHOT_ANGLE, SHOT_RATE, Film, FilmTable

SHOOTER = tuner().flown.shooter
SEEN = film(0.004, 0.6)


def test_the_table_is_short() -> None:
    table = SEEN.to_table("us")
    assert set(table) == {"arrow", "view", "frames"}
    assert len(table["frames"][0]) == 5


def test_whole_numbers_have_no_point() -> None:
    one = SEEN.clip.frames[0]
    round_ones = replace(one, nock=(310.0, 540.5))
    seen = replace(SEEN, clip=replace(SEEN.clip, frames=(round_ones, *SEEN.clip.frames[1:])))
    assert list(seen.to_table("us")["frames"][0])[:3] == [one.number, 310, 540.5]


def test_words() -> None:
    count = len(SEEN.clip.frames)
    assert SEEN.words("us") == f"bare arrow filmed from above: {count} frames at 240 a second"
    beside = film(view="beside", arrow="fletched")
    assert beside.words("us").startswith("fletched arrow filmed from beside: ")


def test_from_above_it_measures_right_and_from_beside_up() -> None:
    for view, axis in (("above", 0), ("beside", 1)):
        seen = film(0.004, 0.6, view)
        rate, angle = seen.measurements(1.0, SHOOTER)
        assert (rate.plane, angle.plane) == ("film rate", "film angle")
        assert rate.axes[axis] == 1.0
        assert sum(rate.axes) == 1.0
        assert rate.value[axis] == pytest.approx(0.6, abs=0.1)
        assert rate.value[1 - axis] == 0.0


def test_both_are_independent_and_hold_the_scatter_of_shots() -> None:
    rate, angle = SEEN.measurements(1.0, SHOOTER)
    reading = SEEN.reading(SHOOTER.rig)
    assert rate.variance == pytest.approx(reading.rate_error**2 + SHOT_RATE**2)
    assert angle.later == reading.later
    assert angle.value[0] == pytest.approx(reading.angle + reading.later * reading.rate)
    (own, both), (_, turn) = reading.covariance
    expected = own + 2.0 * angle.later * both + angle.later**2 * turn + SHOT_ANGLE**2
    assert angle.variance == pytest.approx(expected)


def test_where_it_was_filmed_is_counted_from_the_grip() -> None:
    rate, _ = SEEN.measurements(1.0, SHOOTER)
    brace = SHOOTER.rig.bow.brace_height
    assert rate.distance == pytest.approx(SEEN.reading(SHOOTER.rig).ahead - brace)


def test_a_film_at_another_rate_than_told_says_nothing() -> None:
    slow = Film("bare", replace(SEEN.clip, frames_a_second=30.0))
    assert slow.measurements(1.0, SHOOTER) == ()
    assert slow.speaks_of == "bare"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"frames": [[1, 2, 3, 4]]}, "entry 1: a list of 4 is no frame; write it like [12, 310"),
        ({"frames": "none"}, "is no list of frames; write [[12"),
        ({"frames": [[1, 10, 500, 700, 500]]}, "1 marked frame: a film needs 2 to 60"),
        ({"view": "behind"}, '"behind" is not "above" or "beside"'),
        ({"frames_a_second": 5}, "5 is outside the range of 20 to 5000"),
        ({"exposure": 0.001}, "has no unit"),
    ],
)
def test_what_is_refused(change: dict[str, object], words: str) -> None:
    table = {"arrow": "bare", "view": "above", "frames": [[1, 10, 500, 700, 500]], **change}
    with pytest.raises(ValidationError) as caught:
        FilmTable.model_validate(table)
    assert words in str(caught.value)
