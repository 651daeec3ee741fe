"""The command and the library give the same answer to the same question."""

import json

import pytest

import vireton as library

MILL = "examples/mill_bow.toml"
LOG = "examples/mill_log.toml"
AT = {"distances": "20,40 yd", "draws": 8}

QUESTIONS = {
    "fly": (
        f"fly {MILL} --wind|5 mph from 9|--yaw-rate|0.5 rad/s|--cant|2 deg",
        lambda: library.fly(MILL, wind="5 mph from 9", yaw_rate="0.5 rad/s", cant="2 deg", **AT),
    ),
    "rest": (f"rest {MILL} --right|1/32in", lambda: library.move_rest(MILL, right="1/32in", **AT)),
    "compare": (
        f"compare {MILL} --vary|vanes.count=3,4",
        lambda: library.compare_arrows(MILL, vary="vanes.count=3,4", **AT),
    ),
    "holds": (f"holds {MILL}", lambda: library.find_holds(MILL, **AT)),
    "spine": (f"spine {MILL}", lambda: library.compare_shafts(MILL, draws=8)),
    "tune": (f"tune {LOG}", lambda: library.tune(LOG)),
    "walkback": (f"walkback {LOG}", lambda: library.read_walk_back(LOG)),
}


@pytest.mark.parametrize("name", QUESTIONS)
def test_json_is_to_dict(name, vireton, monkeypatch, pytestconfig):
    monkeypatch.chdir(pytestconfig.rootpath)
    command, ask = QUESTIONS[name]
    words = [part for piece in command.split(" ", 2) for part in piece.split("|")]
    if name not in {"tune", "walkback"}:
        words += ["--draws", "8"]
        words += [] if name == "spine" else ["--distances", AT["distances"]]
    done = vireton(*words, "--json")
    assert done.code == 0, done.err
    # through text, as nan is None and tuples are lists there
    assert json.loads(done.out) == json.loads(json.dumps(ask().to_dict(), allow_nan=False))


def test_errors_are_the_same_words_under_the_name_of_each(vireton, setup_file):
    said = vireton("fly", setup_file, "--sight-in", "0 yd").err.strip()
    with pytest.raises(library.InputProblem) as told:
        library.fly(setup_file, sight_in="0 yd")
    assert said == f"vireton: {told.value}".replace("sight_in", "--sight-in")
