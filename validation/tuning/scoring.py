"""What is kept of bows that were played, and their scores. PROTOCOL.md says what each means."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

WITHIN_INCHES, FAR_INCHES = 0.75, 1.0


@dataclass
class Outcome:
    """One bow. Lengths in inches; ``arrows`` count tears and films.

    ``ended``: stop, contact or out.
    """

    truth: str
    strategy: str
    rig: str
    seed: int
    ended: str = "out"
    arrows: int = 0
    tears: int = 0
    moves: int = 0
    rounds: int = 1
    start: float = 0.0
    left: float = 0.0
    left_clean: float = 0.0
    left_together: float = 0.0
    worse: int = 0
    sure: int = 0
    sure_worse: int = 0
    sure_nothing: int = 0
    happened: int = 0
    asked_in_time: int = 0
    false_alarms: int = 0
    contact: int = 0
    named_round: int = 0
    films: int = 0


@dataclass
class Claim:
    """One stated chance and whether it held. ``what``: helps, within or interval.

    ``size``: within which, or the width of the interval, in inches. ``first``: stated together
    with the first move.
    """

    truth: str
    strategy: str
    rig: str
    seed: int
    round: int
    what: str
    axis: str
    size: float
    chance: float
    held: int
    first: int


def quantile(values: Sequence[float], share: float) -> float:
    """The least value that ``share`` of them do not exceed; inf stands for never."""
    return sorted(values)[max(0, math.ceil(share * len(values)) - 1)]


@dataclass(frozen=True)
class Score:
    """One truth against one strategy. Shares; None where nothing was there to count.

    ``within`` and ``far``: of those that stopped, under 0.75 in and over 1 in from the aim.
    Arrows: to the end, never (inf) where it did not stop. ``cover_*``: of 95 % intervals,
    ``cover_first`` those stated with the first move. ``asked``: mistakes asked about in their
    round or the next. ``alarms``: wrong questions a round. ``contact``: named in five rounds.
    """

    bows: int
    stopped: float
    within: float | None
    far: float | None
    arrows_median: float
    arrows_90: float
    moves_median: float
    moves_worse: float | None
    sure: int
    sure_worse: float | None
    cover_right: float | None
    cover_up: float | None
    cover_first: float | None
    contact: float
    asked: float | None
    alarms: float
    left_clean: float
    left_together: float


def _share(part: float, of: float) -> float | None:
    return part / of if of else None


def score(outcomes: Sequence[Outcome], claims: Sequence[Claim]) -> Score:
    """Of the bows of one truth against one strategy."""
    count = len(outcomes)
    stops = [s for s in outcomes if s.ended == "stop"]
    arrows = [s.arrows if s.ended != "out" else math.inf for s in outcomes]
    wide = [c for c in claims if c.what == "interval" and c.chance == 0.95]

    def cover(rows: list[Claim]) -> float | None:
        return _share(sum(c.held for c in rows), len(rows))

    moves = sum(s.moves for s in outcomes)
    sure = sum(s.sure for s in outcomes)
    return Score(
        bows=count,
        stopped=len(stops) / count,
        within=_share(sum(s.left < WITHIN_INCHES for s in stops), len(stops)),
        far=_share(sum(s.left > FAR_INCHES for s in stops), len(stops)),
        arrows_median=quantile(arrows, 0.5),
        arrows_90=quantile(arrows, 0.9),
        moves_median=quantile([s.moves for s in outcomes], 0.5),
        moves_worse=_share(sum(s.worse for s in outcomes), moves),
        sure=sure,
        sure_worse=_share(sum(s.sure_worse for s in outcomes), sure),
        cover_right=cover([c for c in wide if c.axis == "right"]),
        cover_up=cover([c for c in wide if c.axis == "up"]),
        cover_first=cover([c for c in wide if c.first]),
        contact=sum(s.contact and s.named_round <= 5 for s in outcomes) / count,
        asked=_share(sum(s.asked_in_time for s in outcomes), sum(s.happened for s in outcomes)),
        alarms=sum(s.false_alarms for s in outcomes) / sum(s.rounds for s in outcomes),
        left_clean=quantile([s.left_clean for s in outcomes], 0.5),
        left_together=quantile([s.left_together for s in outcomes], 0.5),
    )


def reliability(
    claims: Sequence[Claim], what: str, bins: int = 10
) -> list[tuple[float, float, int]]:
    """Mean stated chance, share that held, and how many, by tenths of the stated chance."""
    rows = []
    for k in range(bins):
        low, high = k / bins, (k + 1) / bins + (1e-9 if k == bins - 1 else 0.0)
        here = [c for c in claims if c.what == what and low <= c.chance < high]
        if here:
            said = sum(c.chance for c in here) / len(here)
            rows.append((said, sum(c.held for c in here) / len(here), len(here)))
    return rows


HEAD = (
    "| truth | strategy | bows | stopped | within 0.75 in | over 1 in | arrows, median / 90th "
    "| moves | made it worse | sure: worse (of) | 95 %: right / up / first move | contact named "
    "| asked | false alarms | left: clean / together, in |"
)


def _percent(value: float | None) -> str:
    return "–" if value is None else f"{100 * value:.0f} %"


def _count(value: float) -> str:
    return "never" if math.isinf(value) else f"{value:.0f}"


def line(truth: str, strategy: str, s: Score) -> str:
    """One row of the table in Markdown."""
    cells = [
        truth,
        strategy,
        str(s.bows),
        _percent(s.stopped),
        _percent(s.within),
        _percent(s.far),
        f"{_count(s.arrows_median)} / {_count(s.arrows_90)}",
        _count(s.moves_median),
        _percent(s.moves_worse),
        f"{_percent(s.sure_worse)} ({s.sure})",
        " / ".join(_percent(v) for v in (s.cover_right, s.cover_up, s.cover_first)),
        _percent(s.contact),
        _percent(s.asked),
        _percent(s.alarms),
        f"{s.left_clean:.2f} / {s.left_together:.2f}",
    ]
    return "| " + " | ".join(cells) + " |"


def tables(outcomes: Sequence[Outcome], claims: Sequence[Claim]) -> str:
    """All scores, and the reliability of every strategy that states chances."""
    pairs = list(dict.fromkeys((s.truth, s.strategy) for s in outcomes))
    lines = [HEAD, "|" + "---|" * (HEAD.count("|") - 1)]
    for truth, strategy in pairs:
        here = [s for s in outcomes if (s.truth, s.strategy) == (truth, strategy)]
        said = [c for c in claims if (c.truth, c.strategy) == (truth, strategy)]
        lines.append(line(truth, strategy, score(here, said)))
    for strategy in dict.fromkeys(strategy for _, strategy in pairs):
        for what in ("helps", "within"):
            rows = reliability([c for c in claims if c.strategy == strategy], what)
            if rows:
                lines += ["", f"{strategy}, {what}: said, held, of"]
                lines += [f"  {said:.2f}  {held:.2f}  {count}" for said, held, count in rows]
    return "\n".join(lines)
