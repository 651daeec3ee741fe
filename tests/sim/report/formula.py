"""A made-up bow whose arrows land by a formula."""

from dataclasses import dataclass

import numpy as np

from demo import INCH, YARD
from vireton.report.shown import Measure
from vireton.report.tables import Reach

MPH = 0.44704
STEP = INCH / 32
FAR = np.array([20.0, 40.0]) * YARD
REACH = Reach(np.arange(-4, 5) * STEP, np.arange(-4, 5) * STEP, np.arange(-15.0, 15.1, 2.5) * MPH)
GRAIN = 0.01 * INCH
MEASURE = Measure("in", INCH, "mph", MPH, 1.96, 2.448)


@dataclass(frozen=True)
class FormulaCase:
    """Cubic in the wind, so that the tables' interpolation is exact but for their grain."""

    weight: float = 0.7
    nose: int = 1
    kinds: tuple = ("fletched", "bare")

    def places(self, kind, settings):
        right, up, wind = settings.T
        factor = {"fletched": 20.0, "bare": 30.0}[kind]
        nose = self.nose * {"fletched": 1.0, "bare": 10.0}[kind]
        far = FAR / FAR[0]
        sideways = (factor + nose) * right + 0.002 * wind + 1e-4 * wind**3
        upwards = factor * up - 0.001 * wind**2
        return np.stack([sideways[:, None] * far, upwards[:, None] * far], axis=-1)

    def covariances(self, seen, settings):
        sd = {"fletched": 0.4, "bare": 0.8, "apart": 1.0}[seen] * INCH * FAR / FAR[0]
        shape = np.array([[1.0, 0.5], [0.5, 2.25]])
        return np.broadcast_to(sd[:, None, None] ** 2 * shape, (len(settings), len(FAR), 2, 2))


CASES = (FormulaCase(), FormulaCase(0.3, -1))
