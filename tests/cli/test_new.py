"""``vireton new``."""


def test_it_writes_a_file_that_runs(vireton, tmp_path):
    path = tmp_path / "my bow é.toml"
    done = vireton("new", path)
    assert done.code == 0
    assert str(path) in done.out
    assert vireton("rest", path, "--up", "1/32in", "--draws", "8").code == 0


def test_it_never_overwrites(vireton, tmp_path):
    path = tmp_path / "bow.toml"
    path.write_text("mine", encoding="utf-8")
    done = vireton("new", path)
    assert done.code == 2
    assert "bow.toml" in done.err
    assert path.read_text(encoding="utf-8") == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_is_not_there(vireton, tmp_path):
    done = vireton("new", tmp_path / "nowhere" / "bow.toml")
    assert done.code == 2
    assert len(done.err.strip().splitlines()) == 1
    assert not (tmp_path / "nowhere").exists()
