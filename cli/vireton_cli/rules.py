"""``vireton rules``: limits that the setup file holds, against its own numbers."""

import json
from typing import TYPE_CHECKING

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.studies.rules import Comparison
    from vireton.units.text import UnitSystem

EXAMPLE = "Example: vireton rules examples/orchard_bow.toml"

_WORDS = {
    "least_energy": ("kinetic energy at the bow", "energy", "at least"),
    "least_arrow_mass": ("arrow mass", "mass", "at least"),
    "least_mass_per_draw_weight": ("arrow mass per draw weight", "mass_per_force", "at least"),
    "least_draw_weight": ("draw weight", "force", "at least"),
    "most_draw_weight": ("draw weight", "force", "at most"),
    "most_speed": ("arrow speed", "speed", "at most"),
    "most_let_off": ("let-off", "fraction", "at most"),
    "most_shaft_diameter": ("shaft diameter", "bench", "at most"),
}
_SAID = {
    "meets": "meets it",
    "fails": "does not meet it",
    "too close to tell": "too close: measure",
}
_VERIFY = (
    "These are the numbers of your file against limits that you entered, no more: Vireton does not "
    "know the law. Rules change and have more in them than numbers: check the current text with "
    "the authority of the place before you shoot"
)


def rules(
    setup: options.SetupFile,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    r"""Compare the setup's numbers with limits that you entered under \[\[rules]].

    Each with its measuring error; a value whose error reaches the limit is too close to tell. The
    place and the date are shown as you typed them; only the authority knows what holds today.
    """
    from vireton.studies.rules import compare_rules
    from vireton.units.problems import InputProblem, named
    from vireton_cli.shooting import ShotOptions, load_rig

    loaded, rig = load_rig(setup, ShotOptions(sight_in="none"))
    if not loaded.rules:
        raise InputProblem(
            f"{named(setup)}: there are no [[rules]] to compare with. Write some at the end of "
            'the file: [[rules]], name = "…", place = "…", date = "…" and a limit such as '
            'least_energy = "40 ft·lbf". `vireton new FILE` writes a file that explains them'
        )
    found = compare_rules(rig, loaded.rules, loaded.uncertainty["arrow_speed"])
    if as_json:
        typer.echo(json.dumps(_json(found), indent=2, allow_nan=False, ensure_ascii=False))
    else:
        _print(rig, found, units)


def _json(found: "list[Comparison]") -> dict[str, object]:
    from vireton.units.text import convert
    from vireton_cli.showing import number

    rows = []
    for one in found:
        name, unit = _JSON_UNITS[one.limit]
        rows.append(
            {
                "rule": one.rule.name,
                "place": one.rule.place,
                "date": one.rule.date,
                "limit": one.limit,
                f"limit_{name}": number(convert(one.bound, unit)),
                f"value_{name}": number(convert(one.value, unit)),
                f"value_{name}_range": [number(convert(v, unit)) for v in (one.low, one.high)],
                "outcome": one.outcome,
            }
        )
    return {"schema": 1, "verify": _VERIFY, "comparisons": rows}


_JSON_UNITS = {
    "least_energy": ("ft_lbf", "ft·lbf"),
    "least_arrow_mass": ("grains", "gr"),
    "least_mass_per_draw_weight": ("grains_per_pound", "gr/lbf"),
    "least_draw_weight": ("lbf", "lbf"),
    "most_draw_weight": ("lbf", "lbf"),
    "most_speed": ("fps", "fps"),
    "most_let_off": ("percent", "%"),
    "most_shaft_diameter": ("in", "in"),
}


def _print(rig: "Rig", found: "list[Comparison]", units: UnitChoice) -> None:
    from vireton.bow.cautions import SHOOTING
    from vireton.units.text import show
    from vireton_cli.tables import console, make_table, say

    out = console()
    say(out, [f"{rig.bow.name} with {rig.fletched.parts.name}, by the numbers of the setup file"])
    system: UnitSystem = units.value
    for rule in dict.fromkeys((o.rule.name, o.rule.place, o.rule.date) for o in found):
        name, place, date = rule
        table = make_table(
            f"\n{name}; {place}; as of {date}",
            ["what", "limit", "here", "could be", "by the numbers"],
        )
        for column in (0, 4):
            table.columns[column].justify = "left"
        for one in found:
            if (one.rule.name, one.rule.place, one.rule.date) != rule:
                continue
            what, kind, way = _WORDS[one.limit]
            value, low, high = (
                show(v, kind, system).split(" ")[0] for v in (one.value, one.low, one.high)
            )
            table.add_row(
                what,
                f"{way} {show(one.bound, kind, system)}",
                value,
                f"{low} to {high}",
                _SAID[one.outcome],
            )
        out.print(table)
    say(out, [_VERIFY, SHOOTING])
