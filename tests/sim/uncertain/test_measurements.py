"""What a bench can measure: rows that are whole, and stiffnesses that are the launch model's."""

import math
import tomllib

import pytest

from demo import INCH, MAPLE, MILL, POUND
from vireton.launch.draw_force import brace_stiffness, plucked_note, string_tension
from vireton.setup.models_measured import MeasuredTable
from vireton.uncertain.bench_readings import spread_of
from vireton.uncertain.inputs import changed, row_of
from vireton.uncertain.measurements import MEASUREMENTS, measurement
from vireton.uncertain.row import Pieces
from vireton.units.reading import Reading

PIECES = Pieces(MILL, MAPLE)


@pytest.mark.parametrize("row", MEASUREMENTS, ids=lambda one: one.key)
def test_every_row_is_whole(row):
    assert row.words
    assert row.verb
    assert row.needs
    assert row.minutes > 0.0
    assert len(row.how) == 3
    assert all(len(line) <= 90 for line in row.how)
    names = {line.partition(" = ")[0].partition(".")[0] for line in row.typed}
    assert names == {(row.place or row.key).rpartition(".")[2]}
    for one in row.reads:
        assert row_of(one.input)


def test_the_table_of_the_file_has_a_key_for_each_row():
    assert set(MeasuredTable.model_fields) == {one.key for one in MEASUREMENTS if not one.place}
    text = "\n".join(line for one in MEASUREMENTS if not one.place for line in one.typed)
    read = MeasuredTable.model_validate(tomllib.loads(text))
    assert set(read.taken) == set(MeasuredTable.model_fields)
    assert MeasuredTable().taken == {}


@pytest.mark.parametrize("row", [one for one in MEASUREMENTS if one.reads], ids=lambda one: one.key)
def test_a_reading_answers_to_the_input_that_it_tells(row):
    taken = row.planned(PIECES)
    for one in row.reads:
        middle = one.predicted(PIECES, taken)
        other = one.predicted(changed(PIECES, {one.input: _else(one.input)}), taken)
        assert middle > 0.0
        assert other != middle
        assert one.error(middle, taken) > 0.0


def _else(key):
    low, high = row_of(key).usual_range(PIECES)
    return 0.7 * low + 0.3 * high


def test_the_push_test_is_two_springs_one_behind_the_other():
    cams, string = measurement("push").reads
    taken = {"weight": Reading(5.0 * POUND), "nock": Reading(0.0), "cams": Reading(0.0)}
    # 22.2 N on 10 N/mm
    assert cams.predicted(PIECES, taken) == pytest.approx(5.0 * POUND / 10_000.0)
    # the quarter sine's slope at brace: π/2 · peak over the rise
    rise = 0.25 * MILL.power_stroke
    slope = 0.5 * math.pi * 60.0 * POUND / rise
    assert brace_stiffness(MILL) == pytest.approx(slope)
    assert string.predicted(PIECES, taken) == pytest.approx(5.0 * POUND / slope)
    both = taken | {"nock": Reading(9e-3), "cams": Reading(2e-3)}
    assert string.of(both) == pytest.approx(7e-3)


def test_the_string_across_is_what_its_tension_makes_it():
    # two halves of s pull back with 2T/s
    length = 0.8
    stiffness = brace_stiffness(MILL)
    assert 2.0 * string_tension(stiffness, length) / (0.5 * length) == pytest.approx(stiffness)


def test_the_note_is_mersennes():
    length, mass = 0.8, 0.012
    tension = string_tension(brace_stiffness(MILL), length)
    note = plucked_note(MILL, length, mass)
    # a wave runs to and fro in one period
    assert 1.0 / note == pytest.approx(2.0 * length / math.sqrt(tension / mass))


def test_a_standard_bench_reads_the_static_spine():
    (bends,) = measurement("own_spine").reads
    taken = {"deflection": Reading(0.34 * INCH)} | dict(measurement("own_spine").planned(PIECES))
    standard = taken | {"span": Reading(28.0 * INCH)}
    assert bends.predicted(PIECES, standard) == pytest.approx(0.34 * INCH)
    short = taken | {"span": Reading(14.0 * INCH), "weight": Reading(2 * 1.94 * POUND)}
    assert bends.predicted(PIECES, short) == pytest.approx(0.34 * INCH / 4.0)


def test_an_error_that_is_said_counts_instead_of_the_usual():
    (mass,) = measurement("string_mass").reads
    usual = mass.error(0.01, {"string_mass": Reading(0.01)})
    own = mass.error(0.01, {"string_mass": Reading(0.01, 2e-4)})
    assert own == pytest.approx(1e-4)
    assert usual > own


def test_the_spread_of_speeds_takes_three():
    assert spread_of((85.0, 86.0)) is None
    assert spread_of((85.0, 86.0, 87.0)) == pytest.approx(1.0)
    (speed,) = measurement("speeds").reads
    one, five = (speed.error(85.0, {"speeds": (85.0,) * n}) for n in (1, 5))
    assert five < one


def test_a_measurement_that_is_no_row_is_an_error():
    with pytest.raises(KeyError):
        measurement("tea leaves")
