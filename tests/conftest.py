"""Settings that all tests share."""

import signal

import pytest
from hypothesis import settings

# a shell starts what runs in its background deaf to Ctrl-C, and all that it starts in turn; the
# tests send it to commands of their own
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

# the first example may compile machine code, so time limits per example would fail at random
settings.register_profile("vireton", deadline=None)
settings.load_profile("vireton")


@pytest.fixture(scope="session")
def warm_kernel() -> None:
    """Compile the kernel (or load its machine code) before a test measures time."""
    # imported here: most tests never need the compiler, whose import takes a second
    from bodies import BARE, FLETCHED, launch_state
    from vireton.kernel.door import fly_to_planes

    for body in (FLETCHED, BARE):
        fly_to_planes(launch_state(), body, [1.0], 0.0)
