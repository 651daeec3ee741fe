"""Where the rest would leave nothing: after the move to it, nothing is left."""

import numpy as np
import pytest

from vireton.tuning.advice import TRAVEL
from vireton.tuning.best import best_moves

STEP = 0.0254 / 32.0


class Linear:
    """A belief of bows that answer in proportion; invented."""

    def __init__(self, here, by_right, by_up):
        self.here, self.by_right, self.by_up = map(np.asarray, (here, by_right, by_up))

    def left(self, aim, moves, distance):
        assert aim == "clean" and distance == pytest.approx(18.288)
        moved = moves[None] / STEP
        return (
            self.here[:, None]
            + self.by_right[:, None] * moved.real
            + self.by_up[:, None] * moved.imag
        )


def test_a_draw_that_does_not_carry_so_far_has_none():
    bows = Linear([0.01, complex("nan")], [0.02, 0.02], [0.015j, 0.015j])
    assert best_moves(bows, "clean") == pytest.approx(np.array([[-0.5 * STEP, 0.0]]))
    assert best_moves(Linear([complex("nan")], [0.02], [0.015j]), "clean").shape == (0, 2)


def test_after_the_best_move_nothing_is_left():
    bows = Linear(
        here=[0.01 - 0.02j, -0.03 + 0.01j],
        by_right=[0.02 + 0.001j, -0.03 + 0.0j],  # the second answers to the other side
        by_up=[0.0 + 0.015j, 0.002 + 0.02j],
    )
    best = best_moves(bows, "clean")
    for k, (right, up) in enumerate(best):
        left = bows.left("clean", np.array([complex(right, up)]), 18.288)
        assert abs(left[k, 0]) < 1e-9
    assert best[0, 0] < 0.0 < best[0, 1]
    assert best[1, 0] < 0.0


def test_a_bow_that_hardly_answers_stays_within_the_travel():
    bows = Linear(here=[0.05 + 0.01j], by_right=[1e-9 + 0j], by_up=[0.01j])
    best = best_moves(bows, "clean")
    assert np.isfinite(best).all()
    assert np.abs(best).max() <= TRAVEL + 1e-12


def test_it_reads_a_belief_as_the_tuner_has_it():
    import vireton

    turn = vireton.tune("examples/mill_log.toml", distances="40 yd").turn
    best = best_moves(turn.belief, turn.advice.aim)
    assert best.shape == (800, 2)
    inside = np.abs(best).max(axis=1) < 0.99 * TRAVEL
    left = turn.belief.left(turn.advice.aim, best[:, 0] + 1j * best[:, 1], 18.288)
    own = np.abs(np.diagonal(left))[inside]
    assert np.median(own) < 0.05 * np.median(np.abs(turn.advice.now))
