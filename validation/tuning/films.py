"""Write FILMS.md: bows tuned with and without films, ``films.py FOLDER`` of what was played.

    python validation/tuning/play.py --truths bent --strategies adviser films phone --out FOLDER

Only bows that all three played are compared.
"""

import sys
from pathlib import Path

sys.path[:0] = [] if (own := str(Path(__file__).resolve().parent)) in sys.path else [own]

from play import read_outcomes  # noqa: E402
from scoring import WITHIN_INCHES, Claim, Outcome, quantile  # noqa: E402

HERE = Path(__file__).resolve().parent
#: What a film costs beside its arrow, in arrows (as in `vireton.tuning.costs`).
MARKING = 2.0
NEVER = float("inf")
HEADS = (
    "with", "bows", "stopped", "within 0.75 in", "arrows, median / 90th / mean", "films",
    "cost in arrows, median / 90th / mean", "left, in", "95 %: right / up",
)  # fmt: skip


def row(name: str, bows: list[Outcome], claims: list[Claim]) -> str:
    """One strategy on these bows."""
    arrows = [float(one.arrows) if one.ended == "stop" else NEVER for one in bows]
    costs = [a + MARKING * one.films for a, one in zip(arrows, bows, strict=True)]
    seeds = {one.seed for one in bows}
    held = {
        axis: [
            c.held
            for c in claims
            if c.strategy == name and c.seed in seeds and c.axis == axis
            and c.what == "interval" and abs(c.chance - 0.95) < 1e-6
        ]
        for axis in ("right", "up")
    }  # fmt: skip

    def three(values: list[float]) -> str:
        mean = sum(min(one, 200.0) for one in values) / len(values)
        return f"{quantile(values, 0.5):.0f} / {quantile(values, 0.9):.0f} / {mean:.1f}"

    def share(hits: list[bool]) -> str:
        return f"{sum(hits) / max(len(hits), 1):.0%}"

    return " | ".join(
        (
            *(f"| {name}", str(len(bows)), share([one.ended == "stop" for one in bows])),
            share([one.left_clean < WITHIN_INCHES for one in bows]),
            *(three(arrows), f"{sum(one.films for one in bows) / len(bows):.1f}", three(costs)),
            f"{quantile([one.left_clean for one in bows], 0.5):.2f}",
            f"{share([bool(h) for h in held['right']])} / {share([bool(h) for h in held['up']])} |",
        )
    )


def main() -> None:
    """Write the page."""
    outcomes, claims = read_outcomes(Path(sys.argv[1]))
    lines = [f"| {' | '.join(HEADS)} |", "|" + "---|" * len(HEADS)]
    names = ("adviser", "films", "phone")
    both = set.intersection(*({o.seed for o in outcomes if o.strategy == n} for n in names))
    for name in names:
        bows = [o for o in outcomes if o.strategy == name and o.seed in both]
        lines.append(row(name, bows, claims))
    head = (HERE / "films_head.md").read_text(encoding="utf-8")
    (HERE / "FILMS.md").write_text(head + "\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
