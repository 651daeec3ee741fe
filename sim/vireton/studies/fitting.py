"""Nonlinear least squares with a Gaussian prior, and wider errors where nothing fits.

Maximum a posteriori by damped Gauss–Newton steps; the covariance is that of the linearized fit
(Laplace; any text on Bayesian computation, e.g. MacKay 2003, *Information Theory, Inference, and
Learning Algorithms*, ch. 27).
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray

#: A misfit that chance exceeds once in a hundred times counts as one that needs explaining (our
#: choice).
ODD = 0.01

#: Unknowns (p,) → residuals (n,), in standard deviations, and the predictions' derivative (n, p).
Residuals = Callable[[FloatArray], tuple[FloatArray, FloatArray]]


@dataclass(frozen=True)
class Gaussian:
    """A prior: mean (p,) and precision (p, p), zeros where it stands among the residuals."""

    mean: FloatArray
    precision: FloatArray


@dataclass(frozen=True)
class Linearized:
    """A fit linearized at the unknowns ``at`` (p,): residuals (n,), rows (n, p), and its prior."""

    at: FloatArray
    residuals: FloatArray
    rows: FloatArray
    prior: Gaussian

    @property
    def cost(self) -> float:
        """Sum of squares, the prior's included."""
        off = self.at - self.prior.mean
        return float(self.residuals @ self.residuals + off @ self.prior.precision @ off)

    @property
    def information(self) -> FloatArray:
        """Precision (p, p) of data and prior together."""
        return np.asarray(self.rows.T @ self.rows + self.prior.precision)

    @property
    def covariance(self) -> FloatArray:
        """(p, p)."""
        return np.asarray(np.linalg.inv(self.information))

    def change(self, damping: float) -> FloatArray:
        """The step (p,) to the least squares of the linearized fit, shorter with ``damping``."""
        if not damping and not self.prior.precision.any():
            # squaring the rows would lose half of their digits
            return np.asarray(np.linalg.lstsq(self.rows, self.residuals, rcond=None)[0])
        slope = self.rows.T @ self.residuals - self.prior.precision @ (self.at - self.prior.mean)
        weight = self.information
        return np.asarray(np.linalg.solve(weight + damping * np.diag(np.diag(weight)), slope))


def descend(
    system: Residuals, here: Linearized, rounds: int, *, damped: bool = True
) -> Iterator[tuple[Linearized, Linearized]]:
    """The steps of the fit from ``here``, (before, after) each; the caller stops when one is short.

    At most ``rounds`` trials; a trial that makes the cost larger is damped and is no step,
    unless it is not to be ``damped``.
    """
    damping = 0.0
    for _ in range(rounds):
        trial = here.at + here.change(damping)
        there = Linearized(trial, *system(trial), here.prior)
        is_worse = not np.isfinite(there.cost) or there.cost > here.cost * (1.0 + 1e-9) + 1e-9
        if damped and is_worse:
            damping = max(10.0 * damping, 0.1)
            if damping > 1e4:
                return
            continue
        yield here, there
        here = there
        damping = 0.0 if damping < 0.05 else damping / 10.0


def error_inflation(chi_squared: float, degrees: int) -> tuple[float, float]:
    """How likely a misfit as large is by chance, and the factor on all errors that it asks for.

    ``chi_squared`` sum of squares in standard deviations, ``degrees`` of freedom; with none nan and
    1. Above :data:`ODD` the factor is 1, below it the one that makes the misfit an average one:
    what was seen is then believed less, not just somewhere in between.
    """
    if degrees < 1:
        return math.nan, 1.0
    from scipy.special import chdtrc  # noqa: PLC0415 (slow to import, and seldom needed)

    chance = float(chdtrc(degrees, chi_squared))
    return chance, 1.0 if chance >= ODD else math.sqrt(chi_squared / degrees)
