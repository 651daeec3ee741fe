"""Settings of a bow and moves between them."""

from hypothesis import given
from hypothesis import strategies as st

from vireton.bow.setting import AT_START, BowSetting

STEP = 1.0 / 32.0  # a power of two, so that sums are exact
SETTINGS = st.builds(BowSetting, *[st.integers(-64, 64).map(lambda n: n * STEP)] * 3)


def test_a_move_is_a_sum_of_every_part() -> None:
    assert BowSetting(1.0, 2.0, 3.0).moved(BowSetting(0.5, -2.0, 1.0)) == BowSetting(1.5, 0.0, 4.0)
    assert BowSetting(1.0, 2.0).rest == (1.0, 2.0)


@given(SETTINGS, SETTINGS)
def test_the_move_from_one_to_another_leads_there_and_back(
    one: BowSetting, other: BowSetting
) -> None:
    assert one.moved(one.move_to(other)) == other
    assert one.move_to(other).moved(other.move_to(one)) == AT_START
    assert AT_START.move_to(one) == one
