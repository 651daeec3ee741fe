"""Vireton: the flight of an arrow, from the rest it lies on to where it lands.

In a notebook or a script:

>>> import vireton
>>> setup = vireton.load()  # your file, or without one the invented demo bow
>>> moved = vireton.move_rest(setup, up="1/32 in", distances="20,40 yd")
>>> for row in moved.rows():
...     print(f"{row['distance_yd']:.0f} yd: fletched {row['fletched_up_in']:.1f} in up")
20 yd: fletched 1.2 in up
40 yd: fletched 2.3 in up

``load`` reads a setup; ``fly``, ``move_rest``, ``compare_arrows``, ``compare_shafts``,
``find_holds``, ``find_marks``, ``aim_broadhead``, ``scatter_shots``, ``plan_hunt``,
``check_rules`` and ``plan_measurements`` answer from it; ``tune`` and ``read_walkback`` read a
tuning log, ``list_jobs`` a folder of them; ``plot`` draws an answer. A notebook shows answers as
words and tables, and drawn ones as pictures. Quantities are text with their unit
(``"28 1/2 in"``), or numbers in SI. What cannot be used is an ``InputProblem`` in words, what can
hurt someone a ``Caution``. Answers hold arrays in SI, right and up positive; ``rows()`` is a table
for pandas or csv and ``to_dict()`` the JSON of the command of that name, both with units in their
keys.

The path of the data is the path of the rooms: ``setup`` (the file) → ``bow`` (parts, arrow) →
``launch`` → ``flight``, on the ``kernel`` → ``rig`` (all of them together) → ``uncertain`` (draws
and bands) → ``studies``, ``scatter``, ``tuning`` → ``answers``.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vireton.answers.answer import Caution, plot
    from vireton.answers.broadhead import BroadheadAim, aim_broadhead
    from vireton.answers.compare import Comparison, compare_arrows
    from vireton.answers.fly import Flights, fly
    from vireton.answers.holds import Holds, find_holds
    from vireton.answers.hunt import HuntingCard, plan_hunt
    from vireton.answers.jobs import ShopJobs, list_jobs
    from vireton.answers.marks import SightMarks, find_marks
    from vireton.answers.measure import MeasuringPlan, plan_measurements
    from vireton.answers.rest import RestMoves, move_rest
    from vireton.answers.rules import RuleChecks, check_rules
    from vireton.answers.scatter import ShotGroups, scatter_shots
    from vireton.answers.shot import load
    from vireton.answers.spine import Shafts, compare_shafts
    from vireton.answers.tune import Tuned, tune
    from vireton.answers.walkback import Walkback, read_walkback
    from vireton.setup import Setup
    from vireton.units.problems import InputProblem

    __version__: str

# where each name lives: a module is imported when its name is first asked for (PEP 562), so that
# `import vireton` brings neither compiler nor scipy. No name may be that of a module in here.
_HOMES = {
    "BroadheadAim": "vireton.answers.broadhead",
    "Caution": "vireton.answers.answer",
    "Comparison": "vireton.answers.compare",
    "Flights": "vireton.answers.fly",
    "Holds": "vireton.answers.holds",
    "HuntingCard": "vireton.answers.hunt",
    "InputProblem": "vireton.units.problems",
    "MeasuringPlan": "vireton.answers.measure",
    "RestMoves": "vireton.answers.rest",
    "RuleChecks": "vireton.answers.rules",
    "Setup": "vireton.setup",
    "Shafts": "vireton.answers.spine",
    "ShopJobs": "vireton.answers.jobs",
    "ShotGroups": "vireton.answers.scatter",
    "SightMarks": "vireton.answers.marks",
    "Tuned": "vireton.answers.tune",
    "Walkback": "vireton.answers.walkback",
    "aim_broadhead": "vireton.answers.broadhead",
    "check_rules": "vireton.answers.rules",
    "compare_arrows": "vireton.answers.compare",
    "compare_shafts": "vireton.answers.spine",
    "find_holds": "vireton.answers.holds",
    "find_marks": "vireton.answers.marks",
    "fly": "vireton.answers.fly",
    "list_jobs": "vireton.answers.jobs",
    "load": "vireton.answers.shot",
    "move_rest": "vireton.answers.rest",
    "plan_hunt": "vireton.answers.hunt",
    "plan_measurements": "vireton.answers.measure",
    "plot": "vireton.answers.answer",
    "read_walkback": "vireton.answers.walkback",
    "scatter_shots": "vireton.answers.scatter",
    "tune": "vireton.answers.tune",
}

__all__ = [
    "BroadheadAim",
    "Caution",
    "Comparison",
    "Flights",
    "Holds",
    "HuntingCard",
    "InputProblem",
    "MeasuringPlan",
    "RestMoves",
    "RuleChecks",
    "Setup",
    "Shafts",
    "ShopJobs",
    "ShotGroups",
    "SightMarks",
    "Tuned",
    "Walkback",
    "__version__",
    "aim_broadhead",
    "check_rules",
    "compare_arrows",
    "compare_shafts",
    "find_holds",
    "find_marks",
    "fly",
    "list_jobs",
    "load",
    "move_rest",
    "plan_hunt",
    "plan_measurements",
    "plot",
    "read_walkback",
    "scatter_shots",
    "tune",
]


if not TYPE_CHECKING:  # to mypy, a name that is not above is no name of ours

    def __getattr__(name: str) -> Any:
        if name == "__version__":
            from importlib.metadata import version  # noqa: PLC0415 (a tenth of the import)

            found: Any = version("vireton")
        elif name in _HOMES:
            found = getattr(import_module(_HOMES[name]), name)
        else:
            raise AttributeError(f"module 'vireton' has no attribute {name!r}")
        globals()[name] = found
        return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
