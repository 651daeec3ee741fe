"""What a technician saw, one module a kind: type, table in a log, words and likelihood.

:data:`OBSERVATION_KINDS` lists them, here and nowhere else. SI, archer's signs: right and up are
positive.
"""

from vireton.tuning.observations.base import (
    ArrowKind,
    Measurement,
    Observation,
    ShotArrow,
    parse_arrow,
    parse_shot_arrow,
)
from vireton.tuning.observations.film import Film
from vireton.tuning.observations.found import Found, parse_found
from vireton.tuning.observations.group import (
    Group,
    group_of_center,
    group_of_shots,
    parse_center,
    parse_shots,
)
from vireton.tuning.observations.looked import Looked, parse_looked
from vireton.tuning.observations.tear import Tear, parse_tear
from vireton.tuning.observations.walkback import WalkbackPoint, parse_walkback

#: Every kind, in the order in which a round holds what was seen.
OBSERVATION_KINDS: tuple[type[Observation], ...] = (
    Tear,
    Group,
    WalkbackPoint,
    Film,
    Looked,
    Found,
)

__all__ = [
    "OBSERVATION_KINDS",
    "ArrowKind",
    "Film",
    "Found",
    "Group",
    "Looked",
    "Measurement",
    "Observation",
    "ShotArrow",
    "Tear",
    "WalkbackPoint",
    "group_of_center",
    "group_of_shots",
    "parse_arrow",
    "parse_center",
    "parse_found",
    "parse_looked",
    "parse_shot_arrow",
    "parse_shots",
    "parse_tear",
    "parse_walkback",
]
