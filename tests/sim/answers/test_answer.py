"""An answer as a picture."""

from dataclasses import dataclass

import pytest

import vireton
from vireton.answers.answer import Answer


@dataclass(frozen=True, repr=False)
class NeverDrawn(Answer):
    """Draws nothing."""

    def figure(self, units="us"):
        raise AssertionError(units)


def test_a_file_is_written_and_the_figure_comes_back(tmp_path):
    file = tmp_path / "flight.png"
    figure = vireton.plot(vireton.fly(vireton.load(), "20 yd", draws=8), file, "metric")
    assert file.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert figure.axes


def test_a_name_without_a_known_ending_is_refused_before_drawing(tmp_path):
    with pytest.raises(vireton.InputProblem, match="ends in"):
        vireton.plot(NeverDrawn(None), tmp_path / "flight.doc")


def test_an_answer_without_a_picture_says_so():
    class Undrawn(NeverDrawn):
        has_figure = False

    with pytest.raises(vireton.InputProblem, match="a Undrawn has no picture"):
        vireton.plot(Undrawn(None))
