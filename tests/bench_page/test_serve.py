"""The start: its words, its code, and its end by Ctrl-C."""

import os
import signal
import stat
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from vireton.units.problems import InputProblem
from vireton_bench import serve
from vireton_bench.words import PLAIN_HTTP


def test_the_pairing_secret_is_kept_and_can_be_renewed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    first = serve.pairing_secret(tmp_path, anew=False)
    assert len(first) >= 22
    assert serve.pairing_secret(tmp_path, anew=False) == first
    assert serve.pairing_secret(tmp_path / "other", anew=False) != first
    assert serve.pairing_secret(tmp_path, anew=True) != first
    if os.name == "posix":
        for file in (tmp_path / "vireton").iterdir():
            assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_start_says_what_plain_http_means(capsys: pytest.CaptureFixture[str]) -> None:
    serve.announce("http://192.0.2.7:8484/pair/x", is_lan=True)
    said = capsys.readouterr().out
    assert "http://192.0.2.7:8484/pair/x" in said
    assert PLAIN_HTTP in said
    assert "█" in said or "▀" in said
    serve.announce("http://127.0.0.1:8484/", is_lan=False)
    assert "only on this computer" in capsys.readouterr().out


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputProblem, match="no such folder"):
        serve.serve(tmp_path / "no", port=0, is_lan=False, units="us", unpair=False)


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGINT for one process")
def test_ctrl_c_ends_it_with_a_word_and_no_traceback(shop: Path) -> None:
    code = "from vireton_cli.main import run\nif __name__ == '__main__': run()"
    process = subprocess.Popen(
        [sys.executable, "-c", code, "bench", str(shop), "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    assert process.stdout is not None
    address = process.stdout.readline().split()[-1]
    with urllib.request.urlopen(f"{address}api/state", timeout=30) as answer:
        assert b"warm" in answer.read()
    time.sleep(0.2)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "stopped" in out
    assert err == ""
