"""Keys that must fit together, at and around each limit."""

from typing import Any

import pytest

from vireton.setup.checks import Values, cross_checks

# An invented arrow and bow that fit together, SI.
GOOD: dict[str, Any] = {
    "arrow.shaft.inside_diameter": 0.0052,
    "arrow.shaft.outside_diameter": 0.0062,
    "arrow.length": 0.72,
    "arrow.nock.throat_to_shaft": 0.01,
    "arrow.balance": 0.44,
    "arrow.insert.length": 0.02,
    "arrow.wrap.length": 0.1,
    "arrow.vanes.rear_from_throat": 0.03,
    "arrow.vanes.length": 0.05,
    "bow.draw_length": 0.73,
    "bow.brace_height": 0.165,
    "bow.arrow_speed": 85.0,
    "bow.rest.ahead_of_string": 0.165,
    "bow.rest.lets_go": 0.45,
    "bow.string.mass": 0.024,
    "bow.string.cam_stiffness": 1.0,
    "uncertainty.rest_lets_go": (0.3, 0.6),
    "uncertainty.string_mass": (0.02, 0.03),
    "uncertainty.cam_stiffness": (0.5, 2.0),
    "uncertainty.arrow_speed": (84.0, 86.0),
    "uncertainty.crossflow_drag": (0.75, 1.25),
    "air.altitude": 100.0,
}
#: True draw length is the AMO one less 1.75 in, so this bow's power stroke is 0.73 − 0.04445 −
#: 0.165 = 0.52055 m and its rest at full draw is 0.68555 m from the nock.
REST_AT_FULL_DRAW = 0.68555


def problems(**changes: Any) -> list[tuple[str, str]]:
    """Problems with GOOD after changes; a double underscore stands for a dot, None deletes."""
    si = dict(GOOD)
    for name, value in changes.items():
        key = name.replace("__", ".")
        if value is None:
            del si[key]
        else:
            si[key] = value
    return list(cross_checks(Values(si, {key: f"<{key}>" for key in si})))


def test_what_fits_is_left_alone() -> None:
    assert problems() == []


HEAD = {
    "arrow__vanes__count": 3,
    "arrow__broadhead__mass": 6.5e-3,
    "arrow__broadhead__length": 0.030,
    "arrow__broadhead__blade_length": 0.025,
    "arrow__broadhead__blades_ahead": 0.005,
    "arrow__broadhead__cutting_diameter": 0.027,
    "arrow__broadhead__ferrule_diameter": 0.0064,
}


def test_a_broadhead_that_fits() -> None:
    assert problems(**HEAD) == []


@pytest.mark.parametrize(
    ("changes", "key", "said"),
    [
        ({"ferrule_diameter": 0.027}, "ferrule_diameter", "not below"),
        ({"blade_length": 0.0251}, "blade_length", "beyond the head's own"),
        ({"blades_ahead": 0.0051}, "blade_length", "beyond the head's own"),
    ],
)
def test_blades_must_fit_their_head(changes: dict[str, float], key: str, said: str) -> None:
    head = HEAD | {f"arrow__broadhead__{name}": value for name, value in changes.items()}
    ((where, text),) = problems(**head)
    assert where == f"arrow.broadhead.{key}"
    assert said in text


def test_a_broadhead_on_a_bare_shaft_is_refused() -> None:
    bald = {name: value for name, value in HEAD.items() if name != "arrow__vanes__count"}
    ((where, text),) = problems(**bald)
    assert where == "arrow.broadhead.mass"
    assert "DANGER" in text


@pytest.mark.parametrize(
    ("changes", "key", "said"),
    [
        (
            {"arrow__shaft__inside_diameter": 0.0062},
            "arrow.shaft.inside_diameter",
            "is not below arrow.shaft.outside_diameter = <arrow.shaft.outside_diameter>",
        ),
        (
            {"arrow__nock__throat_to_shaft": 0.72, "arrow__vanes__rear_from_throat": None}
            | {"arrow__insert__length": None, "arrow__wrap__length": None},
            "arrow.nock.throat_to_shaft",
            "is not below arrow.length = <arrow.length>",
        ),
        ({"arrow__balance": 0.72}, "arrow.balance", "measure from the throat, not from the point"),
        ({"arrow__insert__length": 0.711}, "arrow.insert.length", "is longer than the shaft"),
        ({"arrow__wrap__length": 0.711}, "arrow.wrap.length", "27.95 in (710 mm)"),
        (
            {"arrow__vanes__rear_from_throat": 0.0099},
            "arrow.vanes.rear_from_throat",
            "behind the rear end of the shaft",
        ),
        (
            {"arrow__vanes__rear_from_throat": 0.671},
            "arrow.vanes.rear_from_throat",
            "beyond the shaft's front end",
        ),
        ({"bow__brace_height": 0.5845}, "bow.brace_height", "leaves a power stroke of 3.98 in"),
        ({"arrow__length": REST_AT_FULL_DRAW - 1e-6}, "arrow.length", "DANGER"),
        ({"uncertainty__rest_lets_go": (0.46, 0.6)}, "uncertainty.rest_lets_go", "does not hold"),
        ({"uncertainty__string_mass": (0.02, 0.023)}, "uncertainty.string_mass", "does not hold"),
        (
            {"uncertainty__cam_stiffness": (1.1, 2.0)},
            "uncertainty.cam_stiffness",
            "bow.string.cam_stiffness = <bow.string.cam_stiffness>",
        ),
        ({"uncertainty__arrow_speed": (85.1, 86.0)}, "uncertainty.arrow_speed", "does not hold"),
        (
            {"uncertainty__crossflow_drag": (1.01, 1.25)},
            "uncertainty.crossflow_drag",
            "does not hold 100 %",
        ),
        ({"air__humidity": 0.5}, "air.altitude", "Delete it, or delete humidity"),
        (
            {"air__altitude": None, "air__humidity": 0.5},
            "air.humidity",
            "temperature and pressure are missing",
        ),
        (
            {"air__altitude": None, "air__humidity": 0.5, "air__pressure": 1e5},
            "air.pressure",
            "temperature is missing",
        ),
    ],
)
def test_what_does_not_fit_is_named(changes: dict[str, Any], key: str, said: str) -> None:
    found = problems(**changes)
    assert [one for one, _ in found] == [key]
    assert said in found[0][1]


@pytest.mark.parametrize(
    "changes",
    [
        {"arrow__shaft__inside_diameter": 0.00619},
        {"arrow__balance": 0.7199},
        {"arrow__insert__length": 0.7099},
        {"arrow__vanes__rear_from_throat": 0.01},
        {"arrow__vanes__rear_from_throat": 0.6699},
        {"bow__brace_height": 0.5839, "bow__rest__ahead_of_string": 0.5},
        {"arrow__length": REST_AT_FULL_DRAW + 1e-6},
        {"uncertainty__rest_lets_go": (0.45, 0.45)},
        {"uncertainty__arrow_speed": (85.0 * (1.0 + 1e-15), 86.0)},
        {"air__altitude": None},
        {"air__altitude": None, "air__temperature": 290.0, "air__pressure": 1e5}
        | {"air__humidity": 0.5},
    ],
)
def test_just_inside_the_limits(changes: dict[str, Any]) -> None:
    assert problems(**changes) == []


def test_each_key_may_be_missing_by_itself() -> None:
    for key in GOOD:
        assert problems(**{key.replace(".", "__"): None}) == []


def test_measured_air_that_cannot_be_read_is_not_called_missing() -> None:
    values = Values({"air.temperature": 290.0}, {}, {"air.pressure", "air.humidity"})
    assert list(cross_checks(values)) == []


CURVE = {f"bow__draw_curve__{name}": share for name, share in zip(
    ("rise", "fall", "valley"), (0.4, 0.5, 0.2), strict=True)}  # fmt: skip


def test_a_draw_curve_is_not_more_than_the_stroke() -> None:
    ((key, text),) = problems(**CURVE)
    assert key == "bow.draw_curve.rise"
    assert "more than the whole power stroke" in text
    assert problems(**(CURVE | {"bow__draw_curve__valley": 0.1})) == []


def test_one_reading_an_inch_and_one_at_full_draw() -> None:
    # a power stroke of 20.5 in: at 1 to 20 in, and at full draw
    assert problems(bow__draw_curve__readings=(200.0,) * 21) == []
    ((key, text),) = problems(bow__draw_curve__readings=(200.0,) * 20)
    assert key == "bow.draw_curve.readings"
    assert "20 readings" in text
    assert "has 21" in text


def test_readings_and_draw_weight_are_of_one_scale() -> None:
    read = {"bow__draw_curve__readings": (200.0,) * 21}
    assert problems(**read, bow__draw_weight=195.0) == []
    ((key, text),) = problems(**read, bow__draw_weight=250.0)
    assert key == "bow.draw_curve.readings"
    assert "<bow.draw_weight>" in text
