"""What stands on a page, in words and numbers, before it becomes HTML."""

from dataclasses import dataclass

from vireton.report.cases import Seen
from vireton.report.shown import Measure, Setting
from vireton.report.tables import Tables
from vireton.tuning.observations import ArrowKind


@dataclass(frozen=True)
class Advice:
    """What to do next (``call``, in large type), why, and what to expect of the next group."""

    call: str
    why: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class WhatIf:
    """The pictures and their sliders.

    ``tables`` and ``measure``; ``distances`` (n) and the rest's places ``right`` and ``up`` in
    words; ``start`` where the sliders begin, ``presets`` (label, place) for buttons; ``wind_step``
    of the slider in display units. ``measured`` says from where places are measured, ``around``
    what ± and ellipses hold, ``cases`` what each case stands for. ``seen`` (n) lists arrow, right
    and up, in display units, of the groups shot last at each distance. ``changes`` are the lines of
    the table of single changes: label, what is told, place.
    """

    tables: Tables
    measure: Measure
    distances: tuple[str, ...]
    right: tuple[str, ...]
    up: tuple[str, ...]
    start: Setting
    presets: tuple[tuple[str, Setting], ...]
    wind_step: float
    heading: str
    measured: str
    around: str
    cases: tuple[str, ...]
    seen: tuple[tuple[tuple[ArrowKind, float, float], ...], ...]
    changes: tuple[tuple[str, Seen, Setting], ...]


@dataclass(frozen=True)
class PastRound:
    """One round of the log in words: ``what`` it is, and how the bow was set.

    ``counts`` is False for what was withdrawn.
    """

    number: int
    date: str
    what: str
    seen: tuple[str, ...]
    note: str
    counts: bool


@dataclass(frozen=True)
class Page:
    """All of a page. ``history`` and ``back`` (the ways back) are a log's."""

    title: str
    facts: tuple[str, ...]
    warnings: tuple[str, ...]
    advice: Advice
    whatif: WhatIf
    caution: str
    notes: tuple[str, ...] = ()
    history: tuple[PastRound, ...] = ()
    back: tuple[str, ...] = ()
