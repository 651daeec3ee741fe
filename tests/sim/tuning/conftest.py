"""Puts the bench of this folder where its tests find it."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
