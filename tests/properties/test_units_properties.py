"""Units: what holds for every number and every text."""

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from vireton.units.factors import EXAMPLES, FACTORS, KINDS
from vireton.units.text import UnitError, UnitSystem, as_fraction_inches, convert, parse, show

QUICK = settings(deadline=None, max_examples=200)
READABLE = [
    (dimension, unit)
    for dimension in EXAMPLES
    for unit in FACTORS[dimension]
    if dimension != "temperature"
]
SHOWN = [
    (kind, dimension)
    for kind, (us, _, _, _) in KINDS.items()
    for dimension in EXAMPLES
    if us in FACTORS[dimension]
    and not (dimension == "mass" and kind == "force")
    and dimension != "temperature"
]


@QUICK
@given(whole=st.integers(0, 999), bottom=st.integers(2, 128), data=st.data())
def test_a_mixed_number_is_its_whole_and_its_fraction(
    whole: int, bottom: int, data: st.DataObject
) -> None:
    top = data.draw(st.integers(0, bottom - 1))
    sign = data.draw(st.sampled_from(["", "-", "- ", "−"]))
    read = parse(f"{sign}{whole} {top}/{bottom} in", "length")
    expected = (whole * bottom + top) / bottom * 0.0254
    assert read == (expected if not sign else -expected)
    assert read == parse(f"{sign}{whole * bottom + top}/{bottom} in", "length")


@QUICK
@given(
    pick=st.sampled_from(READABLE),
    number=st.floats(-1e12, 1e12, allow_subnormal=False),
    gap=st.sampled_from(["", " ", "  "]),
)
def test_every_unit_reads_back_what_was_written(
    pick: tuple[str, str], number: float, gap: str
) -> None:
    dimension, unit = pick
    read = parse(f"{number!r}{gap}{unit}", dimension)
    assert math.isclose(read, number * FACTORS[dimension][unit], rel_tol=1e-15)


@QUICK
@given(kelvin=st.floats(1.0, 2000.0), unit=st.sampled_from(["degF", "degC", "°F", "°C", "K"]))
def test_a_temperature_goes_there_and_back(kelvin: float, unit: str) -> None:
    read = parse(f"{convert(kelvin, unit)!r} {unit}", "temperature")
    assert math.isclose(read, kelvin, abs_tol=1e-9)


@QUICK
@given(
    pick=st.sampled_from(SHOWN),
    value=st.floats(-1e4, 1e4),
    system=st.sampled_from(["us", "metric"]),
    digits=st.integers(0, 6),
)
def test_what_is_shown_reads_back_to_half_its_last_digit(
    pick: tuple[str, str], value: float, system: UnitSystem, digits: int
) -> None:
    kind, dimension = pick
    text = show(value, kind, system, digits)
    unit = text.split(" ")[1]
    read = parse(text, dimension)
    half = 0.5 * 10.0**-digits * FACTORS[dimension][unit]
    assert abs(read - value) <= half * (1.0 + 1e-6) + 1e-12 * abs(value)


@QUICK
@given(steps=st.integers(-5000, 5000), denominator=st.sampled_from([8, 16, 32, 64]))
def test_a_bench_fraction_reads_back_exactly(steps: int, denominator: int) -> None:
    length = steps / denominator * 0.0254
    assert parse(as_fraction_inches(length, denominator), "length") == length


@QUICK
@given(value=st.floats(-10.0, 10.0), denominator=st.integers(1, 128))
def test_a_bench_fraction_is_the_nearest_step(value: float, denominator: int) -> None:
    read = parse(as_fraction_inches(value, denominator), "length")
    assert abs(read - value) <= 0.5 * 0.0254 / denominator * (1.0 + 1e-9)


@settings(deadline=None, max_examples=300)
@given(
    text=st.one_of(
        st.text(max_size=120),
        st.text(alphabet="0123456789 ./-+eE*^()in,m½%°", max_size=40),
        st.from_regex(r"[0-9]{1,3} ?[A-Za-z/*^²%°µ0-9]{1,12}", fullmatch=True),
    ),
    dimension=st.sampled_from(sorted(EXAMPLES)),
)
def test_any_text_is_read_or_refused_in_words(text: str, dimension: str) -> None:
    try:
        assert math.isfinite(parse(text, dimension))
    except UnitError as problem:
        assert str(problem).isprintable()
        assert len(str(problem)) < 400
