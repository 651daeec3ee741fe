"""Truths to tune, each apart from the library's launch and tuning code.

``TRUTHS`` by name: a maker takes the setup file and a seed and gives one bow.
"""

import sys
from pathlib import Path

# the second launch lives with the tests that use it against the library
_TESTS = str(Path(__file__).resolve().parents[3] / "tests")
if _TESTS not in sys.path:
    sys.path.append(_TESTS)

from truths import bent, contact, linear, rigid  # noqa: E402
from truths.entries import Decimal, Make, Reversed, Slipping, Swapped, around  # noqa: E402

TRUTHS: dict[str, Make] = {
    "bent": bent.make,
    "linear": linear.make,
    "rigid": rigid.make,
    "contact": contact.make,
    "reversed": around(Reversed, bent.make, 11),
    "slips": around(Slipping, bent.make, 12),
    "swapped": around(Swapped, bent.make, 13),
    "decimal": around(Decimal, bent.make, 14),
}
