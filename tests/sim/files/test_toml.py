"""One reader for every kind of file: the same words, with the kind's own name."""

from pathlib import Path

import pytest

from vireton.files.problems import FileError, FileKind
from vireton.files.toml import as_text, parse_toml, read_bytes


class ListError(FileError):
    """Of the made-up kind below."""


KIND = FileKind("list", ListError, 1 << 20, "there is no list; begin one", "nothing was changed")


def test_bytes_text_and_tables(tmp_path: Path) -> None:
    path = tmp_path / "list.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\r\nb = 'c'\r\n")
    text = as_text(read_bytes(path, KIND), path, KIND)
    assert text == "a = 1\nb = 'c'\n"
    assert parse_toml(text, path, KIND) == {"a": 1, "b": "c"}


def test_what_cannot_be_read_is_told_by_its_kind(tmp_path: Path) -> None:
    with pytest.raises(ListError, match="is a folder; give the list in it"):
        read_bytes(tmp_path, KIND)
    with pytest.raises(ListError, match=r"no\.toml: there is no list; begin one"):
        read_bytes(tmp_path / "no.toml", KIND)
    large = tmp_path / "large.toml"
    large.write_bytes(b"#" * ((1 << 20) + 1))
    with pytest.raises(ListError, match="larger than 1 MiB, so it is no list"):
        read_bytes(large, KIND)
    large.write_bytes(b"#" * (1 << 20))
    assert len(read_bytes(large, KIND)) == 1 << 20


def test_line_and_column_of_what_is_no_text_and_no_toml() -> None:
    with pytest.raises(ListError, match="list, line 2: is not UTF-8 text at column 3;"):
        as_text(b"a\nb \xff", "list", KIND)
    with pytest.raises(
        ListError, match=r"list, line 2: not valid TOML at column 7: .*b = \"1 in\""
    ):
        parse_toml("a = 1\nb = 1 in\n", "list", KIND)
    with pytest.raises(ListError, match="line 2: not valid TOML at column 6, the end of the file"):
        parse_toml("a = 1\nb = [\n\n", "list", KIND)
    with pytest.raises(ListError, match="nested too deeply for a list"):
        parse_toml("a." * 30 + "a = 1", "list", KIND)
