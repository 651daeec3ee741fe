"""``vireton scatter``: what only a terminal can show."""

import os
import pty
import signal
import subprocess
import sys
import time


def test_a_picture_of_several_set_ups_is_refused_before_any_shot(vireton, setup_file, monkeypatch):
    monkeypatch.setattr("vireton.scatter.study.run_study", None)
    done = vireton("scatter", setup_file, "--vary", "vanes.count=3,4", "--plot", "cloud.png")
    assert done.code == 2
    assert "--plot draws one set-up" in done.err
    assert done.out == ""


def test_ctrl_c_ends_it_without_a_traceback(setup_file):
    # its error stream is a terminal, so that the count of arrows shows and we know that it shoots
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [
            sys.executable, "-m", "vireton_cli.main", "scatter", str(setup_file),
            "--precision", "0.01 %", "--most", "100000000",
        ],
        stdout=subprocess.PIPE,
        stderr=theirs,
    )  # fmt: skip
    os.close(theirs)
    said = b""
    try:
        began = time.monotonic()
        while b"arrows shot" not in said and time.monotonic() - began < 100.0:
            said += os.read(ours, 4096)
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30.0) == 130
        while True:
            try:
                more = os.read(ours, 4096)
            except OSError:  # how a terminal says that nobody holds its other end
                break
            said += more
            if not more:
                break
    finally:
        process.kill()
        assert process.stdout is not None
        process.stdout.close()
        os.close(ours)
    assert b"stopped" in said
    assert b"Traceback" not in said
