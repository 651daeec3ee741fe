"""A page replaces pages and nothing else."""

import pytest

from vireton.report.page import page_html
from vireton.report.saving import check_target, save_page
from vireton.units.problems import InputProblem


def test_a_page_is_written_and_replaced(tmp_path, page):
    path = tmp_path / "page.html"
    save_page(page_html(page), path)
    first = path.read_bytes()
    save_page(page_html(page).replace("Backstop", "Other"), path)
    assert path.read_bytes() != first
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    "content", [b"", b"<html>mine</html>", b"x" * 2000 + b'content="vireton report"']
)
def test_a_file_that_is_not_ours_is_left_as_it_is(tmp_path, content, page):
    path = tmp_path / "page.html"
    path.write_bytes(content)
    with pytest.raises(InputProblem, match="no page of `vireton report`"):
        save_page(page_html(page), path)
    assert path.read_bytes() == content


@pytest.mark.parametrize("name", ["page.pdf", "page", "bow.toml"])
def test_another_ending_is_refused(tmp_path, name):
    with pytest.raises(InputProblem, match=r"\.html"):
        check_target(tmp_path / name)


def test_no_folder_and_a_folder_in_its_place(tmp_path):
    with pytest.raises(InputProblem, match="no folder"):
        check_target(tmp_path / "none" / "page.html")
    (tmp_path / "folder.html").mkdir()
    with pytest.raises(InputProblem, match="left as it is"):
        check_target(tmp_path / "folder.html")


def test_nothing_half_written_when_the_disk_fails(tmp_path, page, monkeypatch):
    path = tmp_path / "page.html"
    save_page(page_html(page), path)
    before = path.read_bytes()

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("vireton.files.whole.os.fsync", full)
    with pytest.raises(InputProblem, match="No space left"):
        save_page("new", path)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_keeps_pointing_where_it_points(tmp_path, page):
    real = tmp_path / "real.html"
    save_page(page_html(page), real)
    link = tmp_path / "link.html"
    link.symlink_to(real)
    save_page(page_html(page) + "<!-- more -->", link)
    assert link.is_symlink()
    assert real.read_text(encoding="utf-8").endswith("<!-- more -->")
