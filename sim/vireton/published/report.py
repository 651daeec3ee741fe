"""The validation report as Markdown: counts and gaps first, then every check by group."""

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from vireton.published.checks import Case, CheckData, Result, digits_of_limit

_HEAD = """# Validation report

Written by `vireton validate`; the checks rerun it and demand that it says the same. Each row is a \
published value (under *Sensitivity of the conclusions*: our own expectation, where nothing is \
published), the limit that was set before the run (the published uncertainty, half the last \
printed digit, or a reasoned one), and what Vireton gives. *How* tells how the published value was \
obtained: **read** in the source, **derived** from the cited equations (themselves recalled where \
place or SOURCES.md says so), or from **memory**. The \
`case.toml` that is linked under each heading says where in its source each value stands and why \
its limit is what it is. Keys of sources: [SOURCES.md](SOURCES.md).
"""

#: Groups in the order of the report; others follow as they come.
GROUPS = (
    "Arrow drag",
    "Ballistic drop",
    "Rigid body",
    "Fins and bodies",
    "Air",
    "Archery standards",
    "Qualitative laws",
    "Common practice",
    "Sensitivity of the conclusions",
)

#: Decimals from which a small number is shown with a power of ten.
_MANY_DECIMALS = 7

_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")

Ran = Sequence[tuple[Case, Sequence[Result]]]


def shown(value: float, limit: float, least: int = 0) -> str:
    """A number at the digits that its limit supports, but at least ``least`` decimals.

    Small ones with many decimals get a power of ten. What rounds to nothing has no sign.
    """
    if not math.isfinite(value):
        return str(value)
    decimals = max(digits_of_limit(limit), least)
    rounded = Decimal(f"{value:.{decimals}f}")
    if rounded == 0:
        return f"{0.0:.{min(decimals, _MANY_DECIMALS)}f}"
    if decimals > _MANY_DECIMALS and abs(rounded) < Decimal("0.001"):
        return f"{rounded:.{rounded.adjusted() + decimals}e}"
    return f"{rounded:f}"


def shown_pair(result: Result) -> tuple[str, str]:
    """Published and ours at the same decimals; the published one loses no digit that it has."""
    check = result.check
    least = max(0, -_exponent(Decimal(repr(check.published))))
    return shown(check.published, check.limit, least), shown(result.ours, check.limit, least)


def _exponent(number: Decimal) -> int:
    exponent = number.normalize().as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


def difference_shown(result: Result) -> str:
    """Ours minus published ÷ limit, of the numbers as shown: no platform's last bit is in it."""
    published, ours = map(Decimal, shown_pair(result))
    if not ours.is_finite():
        return str(result.ours)
    share = (ours - published) / Decimal(repr(result.check.limit))
    text = f"{share:+.1f}"
    return "0.0" if Decimal(text) == 0 else text


def with_unit(text: str, check: CheckData) -> str:
    """``text`` with the check's unit; a pure number has none, ``1e4`` is a power of ten."""
    power, _, unit = check.unit.partition(" ")
    if power == "1":
        return text
    if not power.startswith("1e"):
        return f"{text} {check.unit}"
    bracketed = f"({text})" if " " in text else text
    return f"{bracketed} × 10{power[2:].translate(_RAISED)} {unit}".rstrip()


def limit_shown(check: CheckData) -> str:
    """The limit with its sign: ``± 0.43``."""
    return f"± {check.limit:.3g}".replace("e-0", "e-")


def summary(results: Sequence[Result]) -> str:
    """One sentence with the counts."""
    agree, known, new = _counts(results)
    text = f"{len(results)} checks: {agree} agree, {known} fail as known"
    return text + (f", {new} UNEXPECTED" if new else "")


def _counts(results: Sequence[Result]) -> tuple[int, int, int]:
    agree = sum(result.verdict == "agrees" for result in results)
    known = sum(result.verdict == "fails as known" for result in results)
    return agree, known, len(results) - agree - known


def report(ran: Ran, figures: Mapping[str, Sequence[str]]) -> str:
    """The whole report.

    Args:
        ran: cases with their results.
        figures: file names of pictures beside the report, by the case's folder name.
    """
    found = dict.fromkeys(case.data.group for case, _ in ran)
    groups = [one for one in GROUPS if one in found]
    groups += [one for one in found if one not in GROUPS]
    ran = sorted(ran, key=lambda pair: groups.index(pair[0].data.group))
    results = [result for _, some in ran for result in some]
    parts = [_HEAD, f"**{summary(results)}.**\n", _count_table(groups, results)]
    parts.append(_gaps([result for result in results if result.verdict != "agrees"]))
    for group in groups:
        parts.append(f"## {group}\n")
        parts += [
            _case(case, some, figures.get(case.folder.name, ()))
            for case, some in ran
            if case.data.group == group
        ]
    return "\n".join(parts).rstrip() + "\n"


def _table(head: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    lines = [f"| {' | '.join(map(str, cells))} |" for cells in (head, *rows)]
    lines.insert(1, f"|{'---|' * len(head)}")
    return "\n".join(lines) + "\n"


def _count_table(groups: Sequence[str], results: Sequence[Result]) -> str:
    rows = []
    for name, some in (
        *((one, [result for result in results if result.group == one]) for one in groups),
        ("all", results),
    ):
        agree, known, _ = _counts(some)
        recalled = sum(result.check.how == "memory" for result in some)
        rows.append((name, len(some), agree, known, recalled))
    head = ("group", "checks", "agree", "fail as known", "published value from memory")
    return _table(head, rows)


def _gaps(gaps: Sequence[Result]) -> str:
    lines = ["## Where we do not agree\n"]
    if not gaps:
        return "\n".join([*lines, "Nowhere among these checks.\n"])
    for gap in gaps:
        check = gap.check
        published, ours = shown_pair(gap)
        lines.append(
            f"- **{check.quantity}** ({gap.source}): published "
            f"{with_unit(f'{published} {limit_shown(check)}', check)}, ours {ours}. "
            f"{check.fails_because or 'NEW: no reason known yet.'}"
        )
    return "\n".join([*lines, ""])


def _case(case: Case, results: Sequence[Result], pictures: Sequence[str]) -> str:
    folder = case.folder.name
    lines = [
        f"### {case.data.title}\n",
        f"Source: {case.data.source}. Values, places and limits: "
        f"[{folder}/case.toml]({folder}/case.toml); worked out by "
        f"[reproduce.py]({folder}/reproduce.py).\n",
    ]
    if case.data.assumed:
        lines.append(f"Assumed where the source is silent: {case.data.assumed}\n")
    head = ("quantity", "published", "ours", "difference ÷ limit", "how", "verdict")
    lines.append(_table(head, [_row(result) for result in results]))
    for name in pictures:
        lines.append(f"![{name.removesuffix('.png').replace('_', ' ')}]({name})\n")
    return "\n".join(lines)


def _row(result: Result) -> Sequence[str]:
    check = result.check
    published, ours = shown_pair(result)
    verdict = result.verdict if result.verdict == "agrees" else f"**{result.verdict}**"
    return (
        check.quantity,
        with_unit(f"{published} {limit_shown(check)}", check),
        ours,
        difference_shown(result),
        check.how,
        verdict,
    )
