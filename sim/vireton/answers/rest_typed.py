"""Rest moves as typed in options of their own: right or left, up or down, in lengths or clicks."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from vireton.answers.question import about
from vireton.units.clicks import says_clicks, without_clicks
from vireton.units.problems import InputProblem

if TYPE_CHECKING:
    from vireton.answers.question import Question

_WAYS = (("right", "left"), ("up", "down"))


def one_way(
    question: "type[Question]", given: Mapping[str, Any], spelled: Callable[[str], str]
) -> dict[str, Any]:
    """What was given, with clicks as lengths.

    Raises InputProblem where a move goes both ways on one axis, or nobody said what a click is.
    """
    told = dict(given)
    for way, back in _WAYS:
        if told.get(way) is not None and told.get(back) is not None:
            raise InputProblem(
                f"{spelled(way)} and {spelled(back)} are one move, two ways: give one of them"
            )
    for name in (name for pair in _WAYS for name in pair):
        if says_clicks(told.get(name)):
            told["setup"] = setup = about(question)["setup"].kind.read(told["setup"])
            told[name] = without_clicks(told[name], setup.rest_click, spelled(name))
    return told
