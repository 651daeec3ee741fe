"""Answers as pictures."""

import numpy as np
import pytest

import vireton
from vireton.answers.pictures import shift_band
from vireton.uncertain import Banded


def test_a_file_is_written_and_the_figure_comes_back(tmp_path):
    file = tmp_path / "flight.png"
    figure = vireton.plot(vireton.fly(vireton.load(), "20 yd", draws=8), file, "metric")
    assert file.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert figure.axes


def test_a_name_without_a_known_ending_is_refused_before_drawing(tmp_path):
    class NeverDrawn:
        def figure(self, units="us"):
            raise AssertionError(units)

    with pytest.raises(vireton.InputProblem, match="ends in"):
        vireton.plot(NeverDrawn(), tmp_path / "flight.doc")


def test_columns_become_right_and_up():
    values = np.array([[1.0, 2.0], [3.0, 4.0]])
    band = shift_band(Banded(values, values - 0.5, values + 0.5))
    assert band.right == pytest.approx([1.0, 3.0])
    assert band.up_high == pytest.approx([2.5, 4.5])


def test_an_answer_without_a_picture_says_who_draws_it():
    with pytest.raises(vireton.InputProblem, match=r"a Comparison has no picture .* --plot"):
        vireton.plot(vireton.Comparison([], np.zeros(0), [], 8, 1))
