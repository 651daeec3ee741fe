"""``vireton compare``: what only the command line can do."""

import pytest


def test_every_vary_counts_and_the_tables_fit(vireton, setup_file):
    done = vireton(
        "compare", setup_file, "--vary", "vanes.count=3,4", "--vary", "vanes.length=1.75,2,2.5 in",
        "--distances", "60 yd", "--draws", "8",
    )  # fmt: skip
    assert done.code == 0, done.err
    assert "6 arrows, each against the first, vanes.count 3," in done.out
    assert max(len(line.rstrip()) for line in done.out.splitlines()) <= 80


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], "--vary with two values"),
        (["--vary", "vanes.count=3,4", "--plot", "x.doc"], ".png"),
        (["--vary", "vanes.mass=1,2,3,4,5,6,7,8,9 gr", "--plot", "x.png"], "at most 8"),
    ],
)
def test_what_cannot_be_is_refused_before_anything_is_written(
    vireton, setup_file, tmp_path, monkeypatch, options, words
):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    done = vireton("compare", setup_file, "--draws", "8", *options)
    assert (done.code, done.out) == (2, "")
    assert words in done.err
    assert sorted(tmp_path.iterdir()) == before
