"""What the page's sheets are made of, from the library's own tables: no word is said twice."""

from typing import TYPE_CHECKING, Any

from vireton.units.numbers import FOOT, INCH, YARD

if TYPE_CHECKING:
    from vireton.units.text import UnitSystem

PLAIN_HTTP = (
    "This page is plain HTTP: whoever can listen in on this network can read what is sent, and "
    "could act as a paired phone. Use the shop's own network with a password, never an open one."
)
#: Of the paper, of targets; m (common practice, no source).
_PAPER = {"us": (4 * FOOT, 6 * FOOT, 8 * FOOT, 12 * FOOT), "metric": (1.0, 1.5, 2.0, 3.0, 4.0)}
_TARGETS = {
    "us": tuple(k * YARD for k in (10, 15, 20, 30, 40, 50, 60, 70, 80)),
    "metric": (10.0, 15.0, 18.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0),
}
_WALK = {"us": tuple(k * YARD for k in (20, 30, 40, 50)), "metric": (20.0, 30.0, 40.0, 50.0)}
_GRAIN = {"us": INCH / 16.0, "metric": 0.001}
#: Frames a second, and shutters as parts of a second, that phones have (from memory).
_RATES = (60, 120, 240, 480)
_EXPOSURES = (240, 500, 1000, 2000, 4000, 8000)


def words(units: "UnitSystem") -> dict[str, Any]:
    """Kinds of change and finding, measures, sizes and distances as the bench spells them."""
    from vireton.answers.filmed import FILMING, MARKING
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.film.clip import EXPOSURE, FEWEST_FRAMES, FRAMES_A_SECOND, MOST_FRAMES
    from vireton.job.intake import MEASURES, SAFETY
    from vireton.setup.intake import QUESTIONS
    from vireton.setup.reading import single_kinds
    from vireton.tuning.changes import CHANGE_KINDS, turns_words
    from vireton.tuning.observations.found import CURES, FINDINGS, FoundTable
    from vireton.units.display import display
    from vireton.units.kind import Kind
    from vireton.units.kinds import Choice
    from vireton.units.spelling import spelled, tidy
    from vireton_bench.guard import PICTURE
    from vireton_bench.whatif import FAR, NEAR, STEPS, VANES, WIND

    shown = display(units)
    grain = _GRAIN[units]
    numbers = single_kinds()

    def likes(name: str) -> str:
        field = FoundTable.model_fields[name]
        kind = next((one for one in field.metadata if isinstance(one, Kind)), None)
        return kind.example.strip('"') if kind else ""

    def far(places: tuple[float, ...]) -> list[dict[str, Any]]:
        return [
            {
                "words": spelled(one, "distance", units),
                "size": one / shown.far_size,
                "yards": one / YARD,
            }
            for one in places
        ]

    return {
        "units": units,
        "small": shown.small,
        "small_in": shown.small_size / INCH,
        "far": "yd" if units == "us" else "m",
        "speed": "mph" if units == "us" else "m/s",
        "grain_in": grain / INCH,
        "tear": [spelled(tidy(k * grain), "bench", units) for k in range(65)],
        "paper": far(_PAPER[units]),
        "targets": far(_TARGETS[units]),
        "walk": far(_WALK[units]),
        "changes": [
            {
                "what": what,
                "words": kind.words,
                "usually": kind.usually,
                "takes": list(kind.takes),
                "number": kind.number,
                "like": numbers[kind.number].example.strip('"') if kind.number else "",
            }
            for what, kind in CHANGE_KINDS.items()
        ],
        "turns": [turns_words(k / 4.0).removesuffix(" in") for k in range(1, 41)],
        "turns_typed": [f"{k / 4.0:g} turns" for k in range(1, 41)],
        "findings": [{"what": one, "cure": CURES.get(one, "")} for one in FINDINGS],
        "found_where": likes("where"),
        "found_how": likes("how"),
        "measures": [
            {
                "words": one.words,
                "help": one.help,
                "like": one.kind.example.strip('"'),
            }
            for one in MEASURES.values()
        ],
        "safety": [{"key": key, "words": said} for key, said in SAFETY.items()],
        "questions": [
            {
                "key": one.key,
                "words": one.ask,
                "like": one.like,
                "usual": one.usual,
                "needed": one.needed,
                "help": one.help,
                "choices": list(one.kind.words) if isinstance(one.kind, Choice) else [],
            }
            for one in QUESTIONS
            if one.key != "bow.name"
        ],
        "whatif": {
            "steps": STEPS,
            "wind": WIND[units],
            "vanes": VANES,
            "near": NEAR,
            "far": FAR,
        },
        "photo_bytes": PICTURE.bytes,
        "film": {
            "how": FILMING,
            "marking": MARKING,
            "fewest": FEWEST_FRAMES,
            "most": MOST_FRAMES,
            "rates": _RATES,
            "usual_rate": int(FRAMES_A_SECOND),
            "exposures": [f"1/{one} s" for one in _EXPOSURES],
            "usual_exposure": f"1/{1.0 / EXPOSURE:.0f} s",
        },
        "caution": SHOOTING_BARE,
    }
