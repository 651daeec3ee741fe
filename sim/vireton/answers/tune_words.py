"""The tuner's answer in words: what to do, its chance, what to look for; then, in short, why."""

from typing import TYPE_CHECKING

from vireton.answers.filmed import HOW_TO_FILM
from vireton.answers.table import Grid
from vireton.units.display import Display, digits_for, plain
from vireton.units.move_names import HOLE_SIDES, exact_move, move_name, rest_words, sides
from vireton.units.numbers import INCH, percent
from vireton.units.spelling import spelled, tidy
from vireton.units.text import capital

if TYPE_CHECKING:
    from vireton.answers.tune import Tuned
    from vireton.bow.setting import BowSetting
    from vireton.kernel.arrays import ComplexArray
    from vireton.tuning.advice import NextShots

#: A story is told from this probability on.
_TOLD = 0.1
#: Share of its prior's width above which the data have not said anything about an unknown.
_NOTHING_LEARNT = 0.9
#: m, as finely as a hole in paper is read.
_PAPER_GRAIN = {"us": INCH / 16.0, "metric": 0.001}
BESIDE = (("right", "left", "in line"), ("high", "low", "level"))


def chance(probability: float) -> str:
    """``"9 in 10"``, as people say it."""
    if probability >= 0.985:
        return "99 in 100"
    if probability >= 0.93:
        return "19 in 20"
    if probability < 0.015:
        return "1 in 100"
    if probability < 0.07:
        return "1 in 20"
    return f"{round(10.0 * probability)} in 10"


def move_words(move: "BowSetting") -> str:
    """``"rest right 1/32 in; nocking point down 1/16 in"``."""
    rest = move_name(*move.rest) if any(move.rest) or not move.nock_height else ""
    way = "up" if move.nock_height > 0.0 else "down"
    nock = f"nocking point {way} {exact_move(move.nock_height)}" if move.nock_height else ""
    return "; ".join(one for one in (rest, nock) if one)


def test_words(test: "NextShots") -> str:
    """``"1 bare tear at 6 ft"``, ``"1 bare and 1 fletched at 20 yd"``."""
    from vireton.units.numbers import FOOT, YARD

    if test.kind == "tear":
        far = f"{test.distance / FOOT:.0f} ft"
        return f"{test.count} bare tear{'s' * (test.count > 1)} at {far}"
    if test.is_film:
        return f"{test.count} bare arrows, filmed {test.kind.replace('film', 'from')}"
    return f"{test.count} bare and {test.count} fletched at {test.distance / YARD:.0f} yd"


def standing_words(tuned: "Tuned", display: Display) -> str:
    """``Mill bow, 4 rounds. The rest is 1/16 in higher than at the start``.

    What the last change did follows, where later rounds stand between.
    """
    log = tuned.question.log
    count = len(log.rounds.counting)
    really = complex(*log.setting.rest) + tuned.turn.off
    rest = (tidy(really.real), tidy(really.imag))
    rounds = f"{count} round{'' if count == 1 else 's'}"
    said = f"{tuned.question.setup.bow.name}, {rounds}. {rest_words(rest, display.name)}"
    happened = happened_words(tuned, display)
    return f"{said}. {happened}" if happened and not _is_of_last_round(tuned) else said


def _is_of_last_round(tuned: "Tuned") -> bool:
    """Whether the last change is of the last round, so that its arrows speak of it."""
    counting = tuned.question.log.rounds.counting
    return tuned.happened is not None and tuned.happened.round == counting[-1].number


def happened_words(tuned: "Tuned", display: Display) -> str:
    """``Round 4 made it better, as expected: 1.6 in off before, 0.7 in now (9 in 10)``."""
    one = tuned.happened
    if one is None:
        return ""
    sizes = f"{length(one.before, display)} off before, {length(one.after, display)} now"
    if one.verdict == "no telling":
        return f"Round {one.round}: too early to say whether it helped ({sizes})"
    better = one.verdict == "better"
    how = ", not as expected" if one.expected is False else ""
    if one.expected and better:
        how = ", as expected"
    odds = chance(one.better if better else one.worse)
    return f"Round {one.round} made it {one.verdict}{how}: {sizes} ({odds})"


def verdict_words(tuned: "Tuned", display: Display) -> tuple[str, str]:
    """(the call, why) of the advice: ``("Rest left 1/32 in", "9 in 10 that it helps")``."""
    advice = tuned.advice
    if advice.verdict == "move":
        why = f"{chance(advice.helps)} that it helps"
        if tuned.is_open:
            back = "left" if advice.move.rest_right > 0.0 else "right"
            why += (
                ". Sideways this bow has not shown yet which way it answers: if "
                f"{_farther(tuned)}, put the rest back and go the same amount {back}"
            )
        return capital(move_words(advice.move)), why
    if advice.verdict == "look":
        return "Look first", _look(tuned)
    if advice.verdict == "cure":
        return cure_words(tuned)
    if advice.verdict == "measure":
        return _measure(tuned)
    inside = (
        f"{chance(tuned.inside)} that you are within {length(tuned.question.tolerance, display)} "
        "at 20 yd"
    )
    if advice.verdict == "stop":
        best = tuned.next_tests()[0]
        more = best.test.arrows
        gain = best.then - best.inside
        worth = (
            f"; {more} more arrows would make it {chance(best.then)}"
            if gain > 0.05 and chance(best.then) != chance(best.inside)
            else "; more arrows won't tell much"
        )
        return "Stop here", inside + worth
    return (
        f"Shoot {test_words(advice.test)}",
        f"that tells most per arrow. As it stands, {inside}",
    )


def _farther(tuned: "Tuned") -> str:
    """What shows that a sideways move went the wrong way: ``the tear goes farther left``."""
    import numpy as np

    from vireton.tuning.advice import PAPER

    if tuned.advice.test.kind == "tear":
        still = np.zeros(1, complex)
        now = float(np.mean(tuned.turn.belief.tear("bare", PAPER, still).real))
        seen = "the tear"
    else:
        now = float(tuned.turn.separation()[0][0])
        seen = "the bare shaft"
    return f"{seen} goes farther {'right' if now > 0.0 else 'left'}"


def _measure(tuned: "Tuned") -> tuple[str, str]:
    """What to measure, why, and where to put it."""
    from vireton.uncertain.measurements import measurement

    bench = tuned.advice.bench
    assert bench is not None
    row = measurement(bench.key)
    return (
        f"{capital(row.verb)}, {bench.minutes:.0f} minutes",
        "that tells more than arrows do of how this bow answers its rest. Write what you read into "
        "the setup file; it counts from the next round on. Or shoot "
        f"{test_words(tuned.advice.test)}",
    )


def cure_words(tuned: "Tuned") -> tuple[str, str]:
    """What was found and has to be put right first, and why."""
    from vireton.tuning.observations.found import CURES

    finding = tuned.turn.finding
    assert finding is not None
    place = ", ".join(one for one in (finding.where, finding.how) if one)
    if finding.what == "contact":
        why = (
            "arrows shot with it don't count, and no rest move cures it. "
            f"{capital(place) + ': turn' if place else 'Turn'} the nock, see that the rest drops "
            "in time, or take lower vanes"
        )
    else:
        why = "the rest does not cure a tear that timing makes. Twist the cable"
    return CURES[finding.what], why


def advice_words(tuned: "Tuned", display: Display) -> list[str]:
    """The next step first; what to look for; then what the last change did and what is left."""
    call, why = verdict_words(tuned, display)
    said = ". ".join(one for one in (f"{call}: {why}", typed_words(tuned)) if one)
    lines = [f"{said}.", *outlook_words(tuned, display)]
    asked = tuned.advice.verdict == "shoot" and tuned.advice.test.is_film
    if asked and not tuned.turn.seen.film_errors:
        lines.append(HOW_TO_FILM)  # once: who has filmed knows how
    return lines


def outlook_words(tuned: "Tuned", display: Display) -> list[str]:
    """What to look for; what the last round's change did; what is left now, and what is odd."""
    lines = expectation_words(tuned, display)
    if _is_of_last_round(tuned):
        lines.insert(tuned.advice.verdict in ("move", "shoot"), happened_words(tuned, display))
    return lines


def typed_words(tuned: "Tuned") -> str:
    """The command that tells how, or takes what was found; empty where nothing was asked."""
    log = tuned.question.log
    name = log.path.name
    if tuned.advice.verdict == "measure":
        return f"How, and what to write there: vireton measure {log.setup_path.name}"
    looked, cured = asked_for(tuned)
    if looked:
        return f"Then tell what you found: vireton record {name} --looked '{looked} yes' (or no)"
    return f"Then record that, or: vireton record {name} --found '{cured}'" if cured else ""


def asked_for(tuned: "Tuned") -> tuple[str, str]:
    """What is to be looked into, such as ``"slipped 3"``, and the finding that tells of a cure."""
    from vireton.tuning.observations.found import CURED_BY

    advice, finding = tuned.advice, tuned.turn.finding
    looked = cured = ""
    if advice.verdict == "look" and advice.story is not None:
        looked = f"{advice.story.kind} {max(advice.story.round, 1)}"
    if advice.verdict == "cure" and finding is not None:
        cured = CURED_BY[finding.what]
    return looked, cured


def expectation_words(tuned: "Tuned", display: Display) -> list[str]:
    """What the next arrows should look like, what is left now, where the aim is, what is odd."""
    if tuned.advice.verdict == "cure":
        return []
    if not tuned.turn.seen.count and tuned.turn.segments == 1:
        return []
    lines = []
    advice = tuned.advice
    if advice.verdict in ("move", "shoot"):
        shoot = "Then shoot" if advice.verdict == "move" else ""
        test = f"{shoot} {test_words(advice.test)} and look for" if shoot else "Look for"
        lines.append(f"{test} {_look_for(tuned, display)}")
    lines.append(f"Now at 20 yd: {_left(tuned, display)}")
    high = tuned.turn.aimed()[1]
    at_target = advice.verdict == "stop" or advice.test.kind == "pair"
    if at_target and advice.aim == "clean" and abs(high) > 0.15 * INCH:
        side = "above" if high > 0.0 else "below"
        lines.append(
            f"From a clean launch your bare shaft lands {length(abs(high), display)} {side} the "
            "fletched ones: that is the aim"
        )
    return [
        *lines,
        *[capital(words) for words in (*_odd(tuned)[:1], *_stray_words(tuned, display))],
    ]


def doubt_words(tuned: "Tuned", display: Display) -> list[str]:
    """What may have gone wrong, how the bow is taken to answer, and what more would tell."""
    lines = [
        f"{capital(name)}: {percent(share)}" for name, share, _ in causes(tuned) if share >= 0.01
    ]
    names = {
        "launch": "as its numbers say",
        "practice": "as most bows do",
        "rigid": "as a bow that does not give",
    }
    models = tuned.posterior.models()
    said = ", ".join(f"{names[name]} {percent(share)}" for name, share in models.items())
    tests = ", ".join(
        f"{percent(one.then)} after {test_words(one.test)}" for one in tuned.next_tests()[:3]
    )
    inside = length(tuned.question.tolerance, display)
    return [
        *lines,
        f"How this bow answers its rest: {said}",
        *learnt_words(tuned),
        f"Within {inside}: {percent(tuned.inside)} now; {tests}",
    ]


def learnt_words(tuned: "Tuned") -> list[str]:
    """That the bow's own arrows count here, and not in a question of its setup file alone."""
    shot = tuned.turn.seen.count
    if not shot:
        return []
    return [
        "This goes by what your arrows have shown of this bow; `vireton rest` goes by its setup "
        "file alone, so sizes there may be others"
    ]


def causes(tuned: "Tuned") -> list[tuple[str, float, str]]:
    """(what went wrong, its probability, the look that settles it), likeliest first."""
    from vireton.tuning.observations.looked import mishap_words

    found = []
    for story, share in tuned.posterior.stories().items():
        if story.kind == "none":
            found.append(("nothing went wrong so far", share, ""))
        else:
            found.append((mishap_words(story.kind, story.round), share, _LOOKS[story.kind]))
    return found


_LOOKS = {
    "contact": "powder on vanes and rest, and the rest's timing",
    "reversed": "measure where the rest stands now",
    "slipped": "measure where the rest stands now, and tighten it",
    "swapped": "the target or the paper of that round",
    "decimal": "the target or the paper of that round",
    "changed": "what else was touched: nock, string, arrow, grip",
}


def _look(tuned: "Tuned") -> str:
    from vireton.tuning.observations.looked import mishap_words

    story = tuned.advice.story
    assert story is not None
    assert story.kind != "none"
    return (
        f"{chance(tuned.advice.story_probability)} that {mishap_words(story.kind, story.round)}. "
        f"Check: {_LOOKS[story.kind]}"
    )


def _odd(tuned: "Tuned") -> list[str]:
    """The likeliest thing that may have gone wrong, where it is not the advice itself."""
    from vireton.tuning.observations.looked import mishap_words

    if tuned.advice.verdict == "look":
        return []
    return [
        f"{chance(share)} that {mishap_words(story.kind, story.round)}"
        for story, share in tuned.posterior.stories().items()
        if story.kind != "none" and share >= _TOLD
    ]


def _look_for(tuned: "Tuned", display: Display) -> str:
    """What the next tear or pair should look like, after the move if there is one."""
    import numpy as np

    from vireton.tuning.advice import PAPER
    from vireton.tuning.evidence import rest_of

    moves = np.array([rest_of(tuned.advice.move)])
    if tuned.advice.test.kind == "tear":
        tears = tuned.turn.belief.tear("bare", PAPER, moves)[:, 0]
        middle = complex(np.mean(tears))
        step = _PAPER_GRAIN[display.name]
        hole = [round(one / step) * step for one in (middle.real, middle.imag)]
        said = ", ".join(sides((hole[0], hole[1]), HOLE_SIDES, display.name))
        around = max(1, round(float(np.std(tears - middle)) / step)) * step
        spread = spelled(tidy(around), "bench", display.name)
        return f"{'tail ' + said if said else 'a clean hole'}, give or take {spread}"
    if tuned.advice.test.is_film:
        return _film_to_look_for(tuned, moves)
    mean, low, high = tuned.turn.separation(tuned.advice.move)
    right, up = (side(float(mean[axis]), names, display) for axis, names in enumerate(BESIDE))
    wide = length(float(np.mean(high - low)) / 2.0, display)
    where = f"{right} and {up}" if float(wide.split()[0]) else right
    return f"the bare shaft {where} of the fletched one, give or take {wide}"


def _film_to_look_for(tuned: "Tuned", moves: "ComplexArray") -> str:
    import numpy as np

    test = tuned.advice.test
    rate = tuned.turn.belief.film_rate("bare", test.distance, moves)[:, 0]
    above = test.kind == "film above"
    drawn = rate.real if above else rate.imag
    ways = ("right", "left") if above else ("up", "down")
    middle = float(np.mean(drawn))
    return (
        f"the nose turning {ways[middle < 0.0]} at {abs(middle):.1f} rad/s, give or take "
        f"{float(np.std(drawn)):.1f}"
    )


def side(value: float, names: tuple[str, str, str], display: Display) -> str:
    """``"1.2 in right"``; the last name where it is nothing."""
    size = f"{abs(value) / display.small_size:.1f}"
    if float(size) == 0.0:
        return names[2]
    return f"{size} {display.small} {names[0] if value > 0.0 else names[1]}"


def _left(tuned: "Tuned", display: Display) -> str:
    import numpy as np

    size = np.abs(tuned.advice.now) / display.small_size
    low, high = np.percentile(size, [5.0, 95.0])
    goal = "from a clean launch" if tuned.advice.aim == "clean" else "apart"
    return (
        f"{np.median(size):.1f} {display.small} {goal}; most bows that shoot like yours: "
        f"{low:.1f} to {high:.1f} {display.small}"
    )


def length(meters: float, display: Display) -> str:
    """``"1.2 in"``."""
    return f"{meters / display.small_size:.1f} {display.small}"


def _stray_words(tuned: "Tuned", display: Display) -> list[str]:
    """The shots that stand apart from their groups: named, and kept."""
    from vireton.tuning.groups import outliers
    from vireton.tuning.observations import Group

    return [
        f"shot {place + 1} of the {group.arrow} group at {display.distance(group.distance)} in "
        f"round {one.number} stands apart from its group. It counts all the same; if it was a bad "
        "shot, take the round back and record it without"
        for one in tuned.question.log.rounds.counting
        for group in one.seen(Group)
        for place in outliers(group, tuned.turn.spread)
    ]


def known_grid(tuned: "Tuned") -> Grid:
    """What is known of the bow, before and after."""
    return Grid(
        "what is known",
        ("", "mean (95 %)", ""),
        tuple(unknown_rows(tuned)),
        frozenset({0, 1, 2}),
    )


def unknown_rows(tuned: "Tuned") -> list[tuple[str, str, str]]:
    """(name, value with its 95 % interval, remark) of what the inference is about."""
    import numpy as np

    from vireton.tuning.unknowns import NAMES

    samples = tuned.turn.belief.theta
    step = tuned.question.tuner.step
    wide = np.sqrt(np.diag(tuned.question.tuner.prior.components[0].covariance))
    names = {
        "rate_right": ("yaw rate at the start, rad/s", 1.0),
        "angle_right": ("yaw at the start, °", np.pi / 180.0),
        "rate_up": ("pitch rate at the start, rad/s", 1.0),
        "angle_up": ("pitch at the start, °", np.pi / 180.0),
        "rate_gain_right": ("yaw rate per rest step right, rad/s", 1.0 / step),
        "rate_gain_up": ("pitch rate per rest step up, rad/s", 1.0 / step),
        "sight_right": ("sight, right, mrad", 1e-3),
        "sight_up": ("sight, up, mrad", 1e-3),
    }
    rows = []
    for key, (name, size) in names.items():
        k = NAMES.index(key)
        drawn = samples[:, k] / size
        low, high = np.percentile(drawn, [2.5, 97.5])
        digits = max(2, digits_for(float(high - low)))
        remark = ""
        if np.std(samples[:, k]) > _NOTHING_LEARNT * wide[k]:
            remark = "not seen yet"
        ends = f"({plain(float(low), digits)} to {plain(float(high), digits)})"
        rows.append((name, f"{plain(float(drawn.mean()), digits)} {ends}", remark))
    right = tuned.posterior.probability_right
    rows.append(("rest right turns the nose right", percent(right), _side_remark(right)))
    return rows


def _side_remark(right: float) -> str:
    if 0.1 < right < 0.9:
        return "open"
    return "shown"
