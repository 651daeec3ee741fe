"""Tuners that were worked out already: a bow's prior takes most of a second, a round a tenth."""

from collections import OrderedDict
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vireton.tuning.loop import Tuner

_MOST = 32
_known: "OrderedDict[object, Tuner]" = OrderedDict()


def tuner_of(key: object, make: "Callable[[], Tuner]") -> "Tuner":
    """The tuner of what ``key`` stands for, made where it is not known."""
    found = _known.pop(key, None)
    if found is None:
        from vireton.answers.remembered import Remembering

        found = Remembering.of_tuner(make())
    _known[key] = found
    while len(_known) > _MOST:
        _known.popitem(last=False)
    return found
