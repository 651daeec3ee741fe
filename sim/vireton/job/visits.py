"""As received and as left: what was measured of a bow at the ends of each visit, and what moved."""

from dataclasses import dataclass

from vireton.job.intake import MEASURES, SAFETY, Paperwork, measure_si
from vireton.job.read import TuningLog
from vireton.tuning.rounds import Round


@dataclass(frozen=True)
class Visit:
    """One visit: places of its rounds in the job, and measures as the bow came and as it left.

    Both are carried on: ``left`` has the last value of every measure up to its end, ``received``
    the first of this visit.
    """

    first: int
    last: int
    complaint: str
    date: str
    received: dict[str, str]
    left: dict[str, str]


def visits_of(log: TuningLog) -> list[Visit]:
    """The visits of a job, the first from its intake on."""
    rounds = log.rounds.all
    counting = {one.number for one in log.rounds.counting}
    begins = [0, *(k for k, one in enumerate(rounds) if k and one.stage == "visit")]
    found: list[Visit] = []
    left: dict[str, str] = {}
    for at, begin in enumerate(begins):
        end = begins[at + 1] if at + 1 < len(begins) else len(rounds)
        received: dict[str, str] = {}
        left = dict(left)
        for one, paper in zip(rounds[begin:end], log.paperwork[begin:end], strict=True):
            if one.number not in counting:
                continue
            left |= paper.measures
            received = {**paper.measures, **received}
        opened = log.paperwork[begin] if log.paperwork else Paperwork()
        complaint = opened.complaint if begin else log.intake.complaint
        date = opened.date if begin else log.intake.date or opened.date
        found.append(Visit(begin, end - 1, complaint, date, received, left))
    return found


def rounds_of(log: TuningLog, visit: Visit) -> list[Round]:
    """Those of a visit that count."""
    numbers = {one.number for one in log.rounds.all[visit.first : visit.last + 1]}
    return [one for one in log.rounds.counting if one.number in numbers]


def unsafe_lines(log: TuningLog, visit: Visit) -> tuple[str, ...]:
    """What the look-over did not pass, by the last look at each."""
    seen: dict[str, str] = {}
    counting = {one.number for one in rounds_of(log, visit)}
    for one, paper in zip(log.rounds.all, log.paperwork, strict=False):
        if one.number in counting:
            seen |= {key: paper.not_fine.get(key, "") for key in paper.look_over}
    said = "; ".join(
        f"{SAFETY[key].partition(':')[0].lower()} {text}" for key, text in seen.items() if text
    )
    if not said:
        return ()
    return (f"A qualified technician puts this right before anybody draws this bow: {said}.",)


def unsafe_now(log: TuningLog) -> tuple[str, ...]:
    """What the last visit's look-over did not pass."""
    visits = visits_of(log)
    return unsafe_lines(log, visits[-1]) if visits else ()


@dataclass(frozen=True)
class Moved:
    """A measure that is another one than when the bow was last handed over."""

    key: str
    was: str
    now: str

    def words(self) -> str:
        """``"draw weight from 60 lb to 57 lb: less weight makes the shaft …"``."""
        row = MEASURES[self.key]
        return f"{row.words} from {self.was} to {self.now}: {row.moved}"


def moved_since(log: TuningLog) -> list[Moved]:
    """What moved between the last two visits, in the order of the sheet."""
    visits = visits_of(log)
    if len(visits) < 2:
        return []
    before, now = visits[-2].left, visits[-1].received
    return [
        Moved(key, before[key], now[key])
        for key in MEASURES
        if key in before and key in now and not is_same(key, before[key], now[key])
    ]


def is_same(key: str, one: str, other: str) -> bool:
    """Whether two values of a measure are no move: within what its row calls the same."""
    a, b = measure_si(key, one), measure_si(key, other)
    if a is None or b is None:
        return one.lower() == other.lower()
    return abs(a - b) <= MEASURES[key].same * (1.0 + 1e-9)


def moved_lines(log: TuningLog) -> list[str]:
    """What moved since the bow was last handed over, and what that usually does."""
    visits = visits_of(log)
    if len(visits) < 2:
        return []
    now, before = visits[-1].received, visits[-2].left
    moved = moved_since(log)
    if not now:
        return [
            "Measure it first: what moved since it was handed over is looked at before anything "
            "is shot"
        ]
    lines = [f"Moved since: {one.words()}" for one in moved]
    same = [
        MEASURES[key].words for key in now if key in before and key not in {m.key for m in moved}
    ]
    if same:
        lines.append(f"As it was left: {', '.join(same)}")
    missing = [MEASURES[key].words for key in before if key not in now]
    if missing:
        lines.append(f"Not measured yet this time: {', '.join(missing)}")
    return lines
