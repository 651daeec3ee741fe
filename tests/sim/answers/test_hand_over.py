"""The end of a job: sight, marks, what is left."""

import pytest

from vireton.answers.hand_over import hand_over, hand_over_words, sight_reset
from vireton.bow.setting import BowSetting
from vireton.job import NewRound, append_round, create_log, read_log
from vireton.setup import template_text
from vireton.tuning.changes import Change
from vireton.tuning.observations import group_of_center
from vireton.tuning.rounds import Round
from vireton.tuning.spread import UNKNOWN_SHOOTER
from vireton.units.display import METRIC, US

INCH, YARD = 0.0254, 0.9144
AT = 20 * YARD


def fletched(right, up, count=3, far=20.0):
    return group_of_center("fletched", far * YARD, (right * INCH, up * INCH), count)


def reset(*rounds, click=None):
    return sight_reset(rounds, UNKNOWN_SHOOTER, click)


def test_the_sight_follows_the_arrows():
    found = reset(Round(1, observations=(fletched(1.0, -0.5),)))
    assert found is not None
    assert found.right * AT == pytest.approx(1.0 * INCH)
    assert found.up * AT == pytest.approx(-0.5 * INCH)
    assert found.arrows == 3


def test_groups_weigh_by_their_arrows_and_only_since_the_last_change():
    one, two = Round(1, observations=(fletched(9.0, 0.0),)), BowSetting(INCH / 32)
    found = reset(
        one,
        Round(2, two, (fletched(0.0, 0.0, 1),)),
        Round(3, two, (fletched(3.0, 0.0, 2),)),
    )
    assert found is not None
    assert found.arrows == 3
    assert 1.5 * INCH < found.right * AT < 2.0 * INCH
    after = Round(4, two, (), changes=(Change("peep"),))
    assert reset(one, after) is None
    assert reset() is None


def test_what_was_changed_came_before_the_shots_of_its_round():
    before = Round(1, observations=(fletched(9.0, 0.0),))
    moved = Round(2, observations=(fletched(1.0, 0.0),), changes=(Change("sight", right=INCH),))
    found = reset(before, moved)
    assert found is not None
    assert found.right * AT == pytest.approx(1.0 * INCH)


@pytest.fixture
def job(tmp_path):
    text = template_text().replace("# click_at_20yd", "click_at_20yd").replace("# radius", "radius")
    (tmp_path / "bow.toml").write_text(text, encoding="utf-8")
    log = create_log(tmp_path / "log.toml", tmp_path / "bow.toml").path
    bare = group_of_center("bare", AT, (2.0 * INCH, 0.7 * INCH), 4)
    append_round(log, NewRound((fletched(2.0, 0.0, 4), bare)))
    return read_log(log)


def test_in_inches_mils_and_clicks(job):
    found = hand_over(job)
    lines = hand_over_words(found, US)
    right = 2.0 * INCH / AT * 1e3
    assert lines[0].startswith(
        f"Sight: move it 2.0 in right ({right:.1f} mrad, 20 clicks) at 20 yd"
    )
    told = found.to_dict()
    assert told["sight_reset"]["right_clicks"] == pytest.approx(20.0)
    assert told["sight_reset"]["right_mrad"] == pytest.approx(right)
    assert [one["distance_yd"] for one in told["left"]] == pytest.approx([20.0, 40.0, 60.0])
    assert [line.split(":")[0] for line in lines[1:4]] == ["At 20 yd", "At 40 yd", "At 60 yd"]
    gaps = [one["below_in"] for one in told["marks"]]
    assert gaps[0] == 0.0
    assert gaps == sorted(gaps)
    assert "33 in" in lines[-1]
    assert "cm" in hand_over_words(found, METRIC)[0]


def test_a_small_offset_is_left_alone(tmp_path):
    (tmp_path / "bow.toml").write_text(template_text(), encoding="utf-8")
    log = create_log(tmp_path / "log.toml", tmp_path / "bow.toml").path
    append_round(log, NewRound((fletched(0.3, -0.2, 2),)))
    assert hand_over_words(hand_over(read_log(log)), US)[0].startswith("Sight: leave it; 2 arrows")
