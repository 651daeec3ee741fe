"""Keep what every command answers on the example files, and compare it after a change.

    python validation/predictions.py keep FOLDER
    python validation/predictions.py compare FOLDER

``compare`` shows every number and word of the JSON that is not the kept one, to the last digit; a
key that only moved to another name is listed in ``RENAMED``, one that was added on purpose in
``ADDED``. It ends with exit code 1 where anything else differs.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parent.parent / "examples"

#: New name by old one, wherever the key stands.
RENAMED = {
    "centre_right_in": "center_right_in",
    "centre_right_in_range": "center_right_in_range",
    "centre_right_in_error": "center_right_in_error",
    "centre_up_in": "center_up_in",
    "centre_up_in_range": "center_up_in_range",
    "centre_up_in_error": "center_up_in_error",
}
#: Keys that earlier versions did not have.
ADDED: frozenset[str] = frozenset({"warnings", "notes"})

_BOWS = ("mill_bow.toml", "orchard_bow.toml", "mill_broadhead.toml")
_EACH = {
    "fly": "fly {}",
    "fly_crooked": "fly {} --right 1/32in --up 1/16in --distances '20,40,60 yd' --yaw '0.5 deg' "
    "--pitch-rate '0.4 rad/s' --wind '10 mph from 4' --slope '12 deg' --cant '3 deg'",
    "fly_bore": "fly {} --sight-in none --units metric --distances '18,30,50 m'",
    "rest": "rest {}",
    "rest_pairs": "rest {} --right '-1/16:1/16:1/32 in' --up '0,1/32 in' --distances '20,50 yd'",
    "spine": "spine {}",
    "spine_points": "spine {} --spine '0.3,0.4 in' --point '100,125 gr' --length '28,29 in'",
    "holds": "holds {}",
    "holds_metric": "holds {} --units metric --distances '20:60:20 m' --cant '5 deg'",
    "compare": "compare {} --vary vanes.count=3,4",
    "compare_points": "compare {} --vary 'point.mass=100,125 gr' --distances '30,60 yd'",
    "marks": "marks {} --radius 33in --shot 20yd=1.20in --shot 60yd=1.97in --check 80yd=2.46in",
    "rules": "rules {}",
    "scatter": "scatter {} --arrows 1024 --draws 16 --wind '5 mph from 9'",
}
_ONCE = {
    "broadhead": "broadhead mill_broadhead.toml --distances '20,40,60 yd'",
    "compare_bows": "compare mill_bow.toml orchard_bow.toml --units metric",
    "scatter_varied": "scatter mill_bow.toml --vary vanes.count=3,4 --arrows 1024 --draws 16",
    "tune": "tune mill_log.toml",
    "walkback": "walkback mill_log.toml",
}


def commands() -> dict[str, str]:
    """What is asked, by name."""
    each = {
        f"{bow.removesuffix('.toml')}_{name}": text.format(bow)
        for bow in _BOWS
        for name, text in _EACH.items()
    }
    return each | _ONCE


def answer(text: str) -> dict[str, Any]:
    """The JSON that the command prints; what it refuses counts as its answer."""
    run = subprocess.run(
        f"{sys.executable} -m vireton_cli.main {text} --json",
        shell=True,
        capture_output=True,
        text=True,
        cwd=EXAMPLES,
        check=False,
    )
    if run.returncode == 2:
        return {"refused": run.stderr}
    if run.returncode != 0:
        raise SystemExit(f"{text}: ended with {run.returncode}\n{run.stderr}")
    found: dict[str, Any] = json.loads(run.stdout)
    return found


def renamed(value: Any) -> Any:
    """The kept answer with today's names of its keys."""
    if isinstance(value, dict):
        return {RENAMED.get(key, key): renamed(one) for key, one in value.items()}
    if isinstance(value, list):
        return [renamed(one) for one in value]
    return value


def differences(kept: Any, found: Any, place: str = "") -> list[str]:
    """Every place at which the two are not the same, in words."""
    if isinstance(kept, dict) and isinstance(found, dict):
        lines = [f"{place}.{key}: gone" for key in kept if key not in found] + [
            f"{place}.{key}: new" for key in found if key not in kept and key not in ADDED
        ]
        for key in kept:
            if key in found:
                lines += differences(kept[key], found[key], f"{place}.{key}")
        return lines
    if isinstance(kept, list) and isinstance(found, list) and len(kept) == len(found):
        return [
            line
            for i, pair in enumerate(zip(kept, found, strict=True))
            for line in differences(*pair, f"{place}[{i}]")
        ]
    return [] if kept == found else [f"{place}: {kept!r} → {found!r}"]


def main() -> None:
    """Keep or compare."""
    what, folder = sys.argv[1], Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    wrong = 0
    for name, text in commands().items():
        file = folder / f"{name}.json"
        if what == "keep":
            file.write_text(json.dumps(answer(text), indent=1))
            continue
        lines = differences(renamed(json.loads(file.read_text())), answer(text))
        wrong += len(lines)
        for line in lines:
            print(f"{name}{line}")
    if what != "keep":
        print(f"{len(commands())} commands, {wrong} differences")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
