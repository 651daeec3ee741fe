"""The card as HTML: one sheet of paper, in black and white, whatever was typed."""

from vireton.report.card import Card
from vireton.report.card_work import Measured
from vireton.report.markup import Markup, element, joined
from vireton.report.page import asset, head_of, section
from vireton.units.text import capital

#: Lines that a sheet has beside its headings, in usual type and in small type.
_ROOM, _ROOM_SMALL = 19, 37
_COLUMN_LEAST = 11  # lines of the right column: arrow and marks
_DANGER, _WARNING = 4, 3  # lines of one, with its frame
_SENTENCE = 2
_DONE_LEAST = 4
_COMPLAINT_LINE, _COMPLAINT_MOST = 75, 3  # characters; lines
_NOT_TAKEN = "–"


def card_html(card: Card) -> str:
    """The whole card. Nothing is fetched and nothing runs: its policy allows its style alone."""
    head = head_of(f"{card.bow}: {card.state}", asset("card.css"))
    taken = _taken(card)
    body = element(
        "body",
        element("p", element("span", "Shop"), class_="shop"),
        _header(card),
        element(
            "main",
            element("div", _measured(card), _right(card), class_="two"),
            _done(card, _ROOM_SMALL - taken),
            _left(card),
            section("again", "Next time", element("p", card.again)),
        ),
        element("footer", element("p", card.caution)),
        class_="small" if taken + len(card.done) > _ROOM else None,
    )
    return "<!doctype html>\n" + element("html", head, body, lang="en") + "\n"


def _taken(card: Card) -> int:
    """Lines of all but what was done."""
    sentences = sum(map(bool, (card.sight, card.walkback, card.arrow_note)))
    columns = max(len(card.measured), _COLUMN_LEAST)
    complaint = min(len(card.complaint) // _COMPLAINT_LINE, _COMPLAINT_MOST - 1)
    return (
        complaint
        + columns
        + _DANGER * len(card.dangers)
        + _WARNING * len(card.warnings)
        + _SENTENCE * sentences
    )


def _header(card: Card) -> Markup:
    facts = [("Owner", card.owner), ("In", card.date_in)]
    facts.append(("Out", card.date_out or ("" if card.is_done else card.state)))
    visit = f", visit {card.visit}" if card.visit > 1 else ""
    return element(
        "header",
        element("h1", f"{card.bow}{visit}"),
        element(
            "dl",
            *(_fact(name, said) for name, said in facts),
            _fact("Complaint", card.complaint, "why") if card.complaint else "",
            class_="facts",
        ),
        *(element("p", said, class_="danger", role="alert") for said in card.dangers),
        *(element("p", said, class_="danger cut", role="alert") for said in card.warnings),
    )


def _fact(name: str, said: str, kind: str | None = None) -> Markup:
    inside = (element("dt", name), element("dd", said or _NOT_TAKEN))
    return element("div", *inside, class_=kind)


def _measured(card: Card) -> Markup:
    if not card.measured:
        return section("measured", "Measures", element("p", "None were recorded."))
    heads = element(
        "tr", *(element("th", one, scope="col") for one in ("", "As received", "As left", ""))
    )
    notes = []
    if any(one.left and one.is_old for one in card.measured):
        notes.append("* Taken before a later change that may have moved it.")
    if any(not (one.left and one.received) for one in card.measured):
        notes.append(f"{_NOT_TAKEN} Not measured then.")
    return section(
        "measured",
        "Measures",
        element(
            "table",
            element("thead", heads),
            element("tbody", *(_measure(one) for one in card.measured)),
        ),
        element("p", " ".join(notes), class_="note") if notes else "",
    )


def _measure(one: Measured) -> Markup:
    left = f"{one.left}{'*' if one.is_old else ''}" if one.left else _NOT_TAKEN
    changed = "changed" if one.is_changed else ""
    return element(
        "tr",
        element("th", capital(one.name), scope="row"),
        element("td", one.received or _NOT_TAKEN),
        element("td", left, class_="left"),
        element("td", changed, class_="mark"),
        class_="changed" if one.is_changed else None,
    )


def _right(card: Card) -> Markup:
    note = element("p", f"{card.arrow_note}.", class_="note") if card.arrow_note else ""
    return element(
        "div",
        section("arrow", "Arrow", _rows(card.arrow), note),
        _marks(card),
    )


def _rows(rows: tuple[tuple[str, str], ...]) -> Markup:
    return element(
        "table",
        element(
            "tbody",
            *(
                element("tr", element("th", name, scope="row"), element("td", said))
                for name, said in rows
            ),
        ),
    )


def _marks(card: Card) -> Markup:
    if not card.marks:
        return Markup("")
    return section(
        "marks",
        "Sight marks",
        element("p", f"Below the {card.first_mark} pin. Worked out, so shoot them in."),
        _rows(card.marks),
    )


def _done(card: Card, room: int) -> Markup:
    """A line each; what there is no ``room`` for is counted."""
    if not card.done:
        return section("done", "What was done", element("p", "Nothing was changed."))
    room = max(room, _DONE_LEAST)
    lines = list(card.done)
    more: tuple[Markup, ...] = ()
    if len(lines) > room:
        said = f"and {len(lines) - room + 1} more, see the job file"
        lines = lines[: room - 1]
        more = (element("li", said, class_="more"),)
    return section(
        "done", "What was done", element("ul", *(element("li", one) for one in lines), *more)
    )


def _left(card: Card) -> Markup:
    return joined(
        section("sight", "Sight", element("p", card.sight)) if card.sight else Markup(""),
        section(
            "left",
            "What is left",
            _left_table(card.left) if card.left else Markup(""),
            element("p", card.left_note) if card.left_note else Markup(""),
            element("p", card.walkback) if card.walkback else Markup(""),
        ),
    )


def _left_table(rows: tuple[tuple[str, str, str], ...]) -> Markup:
    return element(
        "table",
        element(
            "tbody",
            *(
                element("tr", element("th", far, scope="row"), *(element("td", s) for s in said))
                for far, *said in rows
            ),
        ),
    )
