"""The one kind of array that goes between modules."""

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

#: The same of complex numbers.
ComplexArray = npt.NDArray[np.complex128]

#: The same of yes and no.
BoolArray = npt.NDArray[np.bool_]
