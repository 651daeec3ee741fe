"""Numbers read off an instrument, with how far they may be off."""

import pytest

from vireton.units.quantity import Quantity
from vireton.units.reading import Reading, WithError

MASS = WithError(Quantity("mass", "1 g", "100 g", "9.6 g"))


def test_a_plain_number_has_no_error_of_its_own():
    assert MASS.read("9.6 g") == Reading(pytest.approx(9.6e-3))
    assert MASS.read("9.6 g").deviation(1e-3) == 0.5e-3


@pytest.mark.parametrize("sign", ["±", "+-", "+/-", "give or take"])
def test_an_error_behind_its_sign(sign):
    found = MASS.read(f"9.6 g {sign} 0.2 g")
    assert found == (pytest.approx(9.6e-3), pytest.approx(0.2e-3))
    # 19 of 20 lie within two standard deviations
    assert found.deviation(5.0) == pytest.approx(0.1e-3)


def test_the_unit_may_stand_once():
    assert MASS.read("9.6 ± 0.2 g") == MASS.read("9.6 g ± 0.2 g")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("9.6 g ± 0 g", "above 0"),
        ("9.6 g ± -1 g", "above 0"),
        ("9.6 g ± 1 g ± 2 g", "more than one"),
        ("9.6 g ± soon", "soon"),
        ("900 g ± 1 g", "outside"),
        ("9.6", "no unit"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(text, said):
    with pytest.raises(ValueError, match=said):
        MASS.read(text)


def test_a_number_from_python_is_refused():
    with pytest.raises(ValueError, match="no unit"):
        MASS.read(9.6)
