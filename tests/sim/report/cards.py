"""Cards for tests: an ordinary one, and ones with as much as can be typed."""

from dataclasses import replace

from vireton.bow.cautions import SHOOTING_BARE
from vireton.job.intake import MEASURES
from vireton.report.card import Card
from vireton.report.card_work import Measured

CARD = Card(
    bow="Mill bow",
    owner="A. Customer",
    visit=1,
    date_in="2026-05-01",
    date_out="2026-05-02",
    is_done=True,
    complaint="bare shafts fly left",
    dangers=(),
    warnings=(),
    measured=(
        Measured("draw weight", "60 lb", "59 lb", True),
        Measured("brace height", "6 1/2 in", "", False),
    ),
    arrow=(("Name", "Maple 340"), ("Length", "28 1/2 in"), ("Weight", "415 gr"),
           ("Point", "100 gr"), ("Spine", "0.340 in")),
    arrow_note="",
    first_mark="20 yd",
    marks=(("30 yd", "0.16 in"), ("40 yd", "0.36 in"), ("50 yd", "0.57 in"), ("60 yd", "0.79 in")),
    done=("In all the rest moved right 1/16 in", "Cam spacer moved: right 1/32 in"),
    sight="Move it 0.6 in left (0.8 mrad) at 20 yd, the way the arrows went.",
    left=tuple(
        (far, "bare shaft 10 in right and 12 in high of the fletched ones, give or take 15 and 17 "
         "in", "an arrow of yours scatters 13.6 in")
        for far in ("20 yd", "40 yd", "60 yd")
    ),
    left_note="",
    walkback="",
    again="Come back in a year, or when anything on the bow or the arrows is changed.",
    caution=SHOOTING_BARE,
)  # fmt: skip

DANGER = (
    "DANGER: this arrow without vanes weighs 4.2 grains per pound of draw weight, under the bow "
    "maker's limit of 6.0. Shooting it is like a dry fire: the bow can break and hurt someone. Do "
    "not shoot it; use an arrow of at least 360 gr."
)
_WIDE = "WWWWWWWW MMMMM " * 40


def long_card(done=300, measured=17, warnings=0, dangers=0, *, sentences=False, wide=False):
    """A card with so many lines; ``wide``: everything as long and wide as it may be typed."""
    said = _WIDE if wide else "some words "
    names = [one.words for one in MEASURES.values()][:measured]
    card = replace(
        CARD,
        measured=tuple(Measured(name, said[:120], said[:120], True, True) for name in names),
        warnings=(_WIDE[:300],) * warnings,
        dangers=(DANGER,) * dangers,
        done=tuple(f"change {k}{' ' + _WIDE if wide else ''}" for k in range(1, done + 1)),
    )
    if sentences:
        card = replace(card, sight=_WIDE[:300], walkback=_WIDE[:300], arrow_note=_WIDE[:60])
    if wide:
        card = replace(
            card, bow=_WIDE[:80], owner=_WIDE[:80], visit=12, date_in=_WIDE[:40],
            date_out=_WIDE[:40], complaint=_WIDE[:500], again=_WIDE[:150],
            arrow=tuple((name, _WIDE[:100]) for name, _ in CARD.arrow),
        )  # fmt: skip
    return card
