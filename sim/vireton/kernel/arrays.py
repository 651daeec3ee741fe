"""The one kind of array that goes between modules."""

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
