"""``vireton demo`` without a screen."""

import json

import pytest
from matplotlib import pyplot as plt


@pytest.fixture
def no_display(monkeypatch):
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    plt.switch_backend("agg")
    yield
    plt.close("all")


def test_no_display_is_told_with_what_works_instead(vireton, no_display):
    done = vireton("demo")
    assert done.code == 2
    for words in ("no window", "--plot", "animate"):
        assert words in done.err
    assert done.out == ""


@pytest.mark.parametrize("suffix", [".png", ".pdf", ".svg"])
def test_a_still_needs_no_display(vireton, tmp_path, suffix):
    file = tmp_path / f"w{suffix}"
    done = vireton("demo", "--plot", file)
    assert done.code == 0, done.err
    assert done.out == f"wrote {file}\n"
    assert file.stat().st_size > 10_000


def test_json_tells_where_the_sliders_stand(vireton, setup_file, tmp_path):
    done = vireton("demo", setup_file, "--plot", tmp_path / "w.png", "--json", "--units", "metric")
    answer = json.loads(done.out)
    assert answer["schema"] == 1
    assert answer["rest_up_in"] == answer["wind_to_right_mph"] == 0.0
    assert answer["face_yd"] == pytest.approx(20.0 / 0.9144)
    assert answer["fletched_shift_in"] == [0.0, 0.0]
    assert answer["bare_shift_in"][1] > 0.1


def test_rest_up_lifts_the_fletched_arrow():
    # as in `rest`: the same launch, aim and flight
    from demo import mill_rig
    from vireton_cli.demo import _shooting

    rig = mill_rig()
    shoot = _shooting(rig, 60.0 * 0.9144)
    still, moved = shoot(0.0, 0.0, 0.0)[0], shoot(0.0, 0.0254 / 32.0, 0.0)[0]
    there = rig.shoot(rig.fletched, still.distance, 0.0, 0.0254 / 32.0)
    assert moved.up == pytest.approx(there.up)
    assert (moved.up - still.up)[-1] > 0.02
    blown = shoot(0.0, 0.0, 5.0)
    assert blown[0].right[-1] > 0.05 and blown[1].right[-1] > 0.0


def test_a_file_of_another_kind_is_refused_before_the_work(vireton):
    done = vireton("demo", "--plot", "w.gif")
    assert done.code == 2
    assert ".png" in done.err


def test_a_missing_setup_is_named(vireton, tmp_path):
    done = vireton("demo", tmp_path / "none.toml", "--plot", tmp_path / "w.png")
    assert done.code == 2
    assert "none.toml" in done.err
