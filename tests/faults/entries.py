"""Damaged entries of the bench page's phones: ``python tests/faults/entries.py 2000 1``.

Each is a sound entry with words, numbers and whole fields changed, sent to a job that holds all a
job can hold. It must be taken, asked about or refused in words; the job must be readable after it,
with one round more where it was taken and not a byte changed where it was not.
"""

import copy
import json
import random
import shutil
import sys
import tempfile
import traceback
from collections import Counter
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vireton.job import read_log
from vireton_bench.desk import take
from vireton_bench.entry import Entry

WHOLE = Path(__file__).with_name("whole") / "job.toml"
FILM = (Path(__file__).parents[2] / "examples" / "film_above.csv").read_text(encoding="utf-8")

#: What is typed for each field, sound.
TYPED: dict[str, list[Any]] = {
    "rest": ["right 1/16 in", "left 1/32 in, up 3/32 in", "2 clicks up"],
    "nock": ["down 1/16 in"],
    "changed": [["sight left 1 in"], ["nock turned", "new string"], ["point 125 gr"]],
    "tear": [[["bare", "left 3/8 in, high 1/8 in"]], [["fletched", "clean"], ["bare", "low 1 in"]]],
    "at": ["6 ft", "2 m"],
    "group": [[["bare", "20yd", "-2.6,0.1 -3.5,1.2"]], [["broadhead", "40 yd", "0,0"]]],
    "walkback": ["20yd 0.1in x3, 40yd -0.4in, 60yd 0.8in"],
    "film": [[["bare", "above", FILM]]],
    "found": [["contact, lower vane, powder"], ["cracked arrow"]],
    "looked": [["reversed 3 yes"], ["contact 1 no"]],
    "measured": ["draw weight 60 lb, brace 6 1/2 in"],
    "look_over": ["ok", "limbs: a crack at the tip"],
    "note": ["a note", "right"],
}
DOES = ("add", "add", "add", "add", "correct", "back", "undo", "visit", "done")
_WORDS = (
    *("right", "left", "up", "5", "-0", "1e9", "nan", "½", "99999999999999999999", "in", "yd"),
    *("", " ", ",", ";", "x3", "±", "\u202e", "\U0001f3f9", "é", "'''", '"""', "\\", "[[round]]"),
    *("<b>", "../..", "%s", "{0}", "bare", "broadhead", "1/0", "0", "contact", "yes"),
)


def sound(dice: random.Random) -> dict[str, Any]:
    """An entry as the page makes it."""
    do = dice.choice(DOES)
    entry: dict[str, Any] = {"id": dice.randbytes(16).hex(), "do": do, "date": "2027-05-11"}
    if do in ("add", "correct", "visit", "done"):
        fields = dice.sample(sorted(TYPED), dice.choice((1, 1, 2, 3)))
        entry["typed"] = {key: copy.deepcopy(dice.choice(TYPED[key])) for key in fields}
    if do in ("correct", "undo"):
        entry["round"] = dice.randint(1, 20)
    if dice.random() < 0.3:
        entry["reading"] = dice.choice(("typed", "meant"))
    return entry


def damaged(dice: random.Random, entry: dict[str, Any]) -> dict[str, Any]:
    """The entry with one to three of its values changed."""
    entry = copy.deepcopy(entry)
    for _ in range(dice.choice((0, 1, 1, 2, 3))):
        places = _places(entry)
        # mostly what was typed: the rest is refused by its form
        words = [(h, k) for h, k in _places(entry.get("typed", {})) if isinstance(h[k], str)]
        holder, key = dice.choice(words if words and dice.random() < 0.9 else places)
        holder[key] = _other(dice, holder[key])
    return entry


def _places(value: Any) -> list[tuple[Any, Any]]:
    """(holder, key) of everything in it."""
    if not isinstance(value, dict | list):
        return []
    keys = list(value) if isinstance(value, dict) else range(len(value))
    found = []
    for key in keys:
        found.append((value, key))
        if isinstance(value[key], dict | list):
            found += _places(value[key])
    return found


def _other(dice: random.Random, value: Any) -> Any:
    if not isinstance(value, str):
        return dice.choice((None, -1, 10**6, 2.5, [], {}, "5", [value, value]))
    words = value.split(" ")
    place = dice.randrange(len(words))
    match dice.randrange(4):
        case 0:
            words[place] = dice.choice(_WORDS)
        case 1:
            words.insert(place, dice.choice(_WORDS))
        case 2:
            del words[place]
        case 3:
            words[place] = words[place] * dice.choice((2, 3, 400))
    return " ".join(words)


def attempt(job: Path, entry: dict[str, Any]) -> str:
    """Send it; returns what became of it. Raises AssertionError for what must not be."""
    raw, before = job.read_bytes(), len(read_log(job).rounds.all)
    try:
        read = Entry.model_validate_json(json.dumps(entry))
    except ValidationError:
        return "not read"
    answer = take(job, read, "us")
    after = read_log(job)
    outcome = next(one for one in ("taken", "asks", "refused") if one in answer)
    said = answer["taken"]["said"] if outcome == "taken" else [str(answer[outcome])]
    assert all(line.replace("\n", "").isprintable() for line in said), said
    if outcome == "taken":
        assert len(after.rounds.all) == before + 1
        assert take(job, read, "us") == answer, "sent again it is another round"
    else:
        assert job.read_bytes() == raw, f"{outcome}, and the job changed"
    return outcome


def mill(count: int, seed: int) -> tuple[Counter[str], dict[str, str]]:
    """So many damaged entries. Returns outcomes, and of each kind of bug the first."""
    dice = random.Random(seed)
    outcomes: Counter[str] = Counter()
    bugs: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "job.toml"
        for number in range(count):
            if number % 25 == 0:
                shutil.copy(WHOLE, job)
            entry = damaged(dice, sound(dice))
            try:
                outcomes[attempt(job, entry)] += 1
            except Exception as error:
                outcomes["bug"] += 1
                last = traceback.extract_tb(error.__traceback__)[-1]
                told = f"{json.dumps(entry)[:3000]}\n{traceback.format_exc()}"
                bugs.setdefault(f"{type(error).__name__} in {last.name}", told)
                shutil.copy(WHOLE, job)
    return outcomes, bugs


def main() -> None:
    """Send at length and print the counts and every kind of bug."""
    count, seed = (int(text) for text in (*sys.argv[1:], "500", "1")[:2])
    outcomes, bugs = mill(count, seed)
    print(f"{count} entries: {dict(outcomes)}")
    for kind, told in bugs.items():
        print(f"\n{kind}\n{told}")
    sys.exit(1 if bugs else 0)


if __name__ == "__main__":
    main()
