"""Files that appear whole or not at all."""

import pytest

from vireton.files.whole import replace_whole


def test_a_file_is_made_and_replaced_and_nothing_lies_beside_it(tmp_path):
    path = tmp_path / "one"
    replace_whole(path, b"first")
    replace_whole(path, b"second")
    assert path.read_bytes() == b"second"
    assert list(tmp_path.iterdir()) == [path]


def test_the_old_one_stays_when_the_new_one_fails(tmp_path, monkeypatch):
    path = tmp_path / "one"
    replace_whole(path, b"first")

    def full(_):
        raise OSError(28, "full")

    monkeypatch.setattr("vireton.files.whole.os.fsync", full)
    with pytest.raises(OSError, match="full"):
        replace_whole(path, b"second")
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]
