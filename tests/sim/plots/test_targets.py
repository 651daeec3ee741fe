"""Sheets at true scale, measured in the files themselves."""

import re
import shutil
import subprocess
import zlib
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.image import imread

from vireton.bow.cautions import SHOOTING_BARE
from vireton.paper import (
    CORNERS,
    FILLED_HALF,
    HALF_FILLED,
    MARGIN,
    MARK_FRAME,
    MARK_SIDE,
    MARKS,
    PAPERS,
)
from vireton.plots import group_middle, save, target_figure
from vireton.plots.sheets import SCALE_BARS
from vireton.plots.targets import KINDS
from vireton.units.problems import InputProblem

#: A point of PDF and SVG is 1/72 in (ISO 32000-1:2008, 8.3.2.3; W3C CSS 2.1, 4.3.2).
POINT = 25.4 / 72.0  # mm
CLOSE = 0.1  # mm

#: ISO 216:2007 A4; ANSI/ASME Y14.1 size A (both from memory), mm.
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}

EVERY = [(kind, paper, system) for kind in KINDS for paper in PAPERS for system in ("us", "metric")]


@pytest.fixture
def sheet():
    def draw(kind="group", paper="letter", system="us"):
        return target_figure(kind, paper=paper, system=system, caution=SHOOTING_BARE)

    return draw


def svg_lines(path):
    """Straight pieces (x1, y1, x2, y2) in mm by the id of the group that they stand in."""
    root = ET.parse(path).getroot()
    found = {}
    for group in root.iter("{http://www.w3.org/2000/svg}g"):
        for one in group.findall("{http://www.w3.org/2000/svg}path"):
            numbers = re.fullmatch(r"M (\S+) (\S+)\s+L (\S+) (\S+)\s*", one.attrib["d"])
            if numbers:
                piece = tuple(float(n) * POINT for n in numbers.groups())
                found.setdefault(group.attrib.get("id", ""), []).append(piece)
    return root, found


def pdf_lines(path):
    """The page's size and all its straight pieces in mm, from the operators m and l."""
    content = path.read_bytes()
    box = re.search(rb"/MediaBox \[\s*(\S+)\s+(\S+)\s+(\S+)\s+(\S+)\s*\]", content)
    pieces = []
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", content, flags=re.DOTALL):
        try:
            text = zlib.decompress(stream)
        except zlib.error:
            continue
        number = rb"(-?[\d.]+)"
        pattern = rb"%s %s m\n%s %s l\n\s*S" % (number, number, number, number)
        pieces += [tuple(float(n) * POINT for n in one) for one in re.findall(pattern, text)]
    return [float(n) * POINT for n in box.groups()], pieces


def lengths(pieces):
    return [float(np.hypot(x2 - x1, y2 - y1)) for x1, y1, x2, y2 in pieces]


@pytest.mark.parametrize(("kind", "paper", "system"), EVERY)
def test_svg_is_as_large_as_the_paper_and_its_bars_as_they_say(
    tmp_path, sheet, kind, paper, system
):
    path = tmp_path / "sheet.svg"
    save(sheet(kind, paper, system), path)
    root, lines = svg_lines(path)
    for name, wanted in zip(("width", "height"), SIZES[paper], strict=True):
        assert root.attrib[name].endswith("pt")
        assert float(root.attrib[name][:-2]) * POINT == pytest.approx(wanted, abs=CLOSE)
    # user units are points only if the view box says so
    assert [float(n) * POINT for n in root.attrib["viewBox"].split()[2:]] == pytest.approx(
        SIZES[paper], abs=CLOSE
    )
    for name, wanted in (("bar-100-mm", 100.0), ("bar-4-in", 101.6)):
        assert lengths(lines[name]) == pytest.approx([wanted], abs=CLOSE)


@pytest.mark.parametrize("paper", PAPERS)
def test_pdf_is_as_large_as_the_paper_and_its_bars_as_they_say(tmp_path, sheet, paper):
    path = tmp_path / "sheet.pdf"
    save(sheet("plumb", paper), path)
    page, pieces = pdf_lines(path)
    assert page == pytest.approx([0.0, 0.0, *SIZES[paper]], abs=CLOSE)
    level = [one for one in pieces if abs(one[1] - one[3]) < 1e-6]
    for bar in (100.0, 101.6):
        assert any(abs(one - bar) < CLOSE for one in lengths(level)), bar


@pytest.mark.parametrize(("system", "step"), [("us", 25.4), ("metric", 10.0)])
@pytest.mark.parametrize("kind", ["group", "plumb", "plumb-below"])
def test_grid_squares_are_as_wide_and_as_high_as_their_numbers(
    tmp_path, sheet, words, kind, system, step
):
    path = tmp_path / "sheet.svg"
    save(sheet(kind, "a4", system), path)
    pieces = [one for many in svg_lines(path)[1].values() for one in many]
    across = sorted({round(one[0], 3) for one in pieces if one[0] == one[2] and one[1] != one[3]})
    fine = step / {"us": 4, "metric": 2}[system]
    # the longest run of evenly spaced upright lines is the grid
    gaps = np.diff(across)
    assert np.isclose(gaps, fine, atol=0.01).sum() >= 24
    figure = sheet(kind, "a4", system)
    places = {}
    for text in figure.axes[0].texts:
        if re.fullmatch(r"\d+", text.get_text()):
            places.setdefault(int(text.get_text()), []).append(np.array(text.get_position()) * 25.4)
    zero, one = places[0], places[1]
    apart = [
        np.abs(a - b)
        for a in zero
        for b in one
        if np.isclose(np.abs(a - b), step, atol=CLOSE).any()
    ]
    assert any(np.isclose(d[0], step, atol=CLOSE) for d in apart)
    assert any(np.isclose(d[1], step, atol=CLOSE) for d in apart)


@pytest.mark.parametrize(
    ("system", "fine", "number"), [("us", 25.4 / 16, 12.7), ("metric", 1.0, 10)]
)
def test_tear_marks_count_from_their_corner(tmp_path, sheet, system, fine, number):
    figure = sheet("tear", "letter", system)
    axes = figure.axes[0]
    windows = [np.array(patch.get_xy())[:4] * 25.4 for patch in axes.patches]
    assert len(windows) == 2
    first = "½" if system == "us" else "10"
    zeros = [np.array(t.get_position()) * 25.4 for t in axes.texts if t.get_text() == "0"]
    ones = [np.array(t.get_position()) * 25.4 for t in axes.texts if t.get_text() == first]
    assert len(zeros) == len(ones) == 8
    # each zero has its first number one step along its edge, sideways or up
    for zero in zeros:
        steps = [np.abs(one - zero) for one in ones]
        assert any(np.allclose(d, (number, 0)) or np.allclose(d, (0, number)) for d in steps)
    left, low = windows[0].min(axis=0)
    uprights = [
        seg[0][0] * 25.4
        for collection in axes.collections
        for seg in collection.get_segments()
        if np.isclose(seg[0][1] * 25.4, low) and seg[1][1] < seg[0][1]
    ]
    assert np.diff(sorted(set(np.round(uprights, 6)))) == pytest.approx(fine)
    assert min(uprights) == pytest.approx(left)


def test_each_tear_has_its_corner():
    # tail high and left of the point: the corner is at (tail sideways, point's height), lower left
    figure = target_figure("tear", paper="letter", system="us", caution="")
    axes = figure.axes[0]
    upper, lower = sorted(axes.patches, key=lambda p: -p.get_xy()[:, 1].max())
    dots = [line.get_xydata()[0] for line in axes.lines if line.get_marker() == "o"]

    def marked(window):
        xy = window.get_xy()
        middle = (xy.min(axis=0) + xy.max(axis=0)) / 2
        inside = [d for d in dots if (xy.min(axis=0) < d).all() and (d < xy.max(axis=0)).all()]
        return {("right" if d[0] > middle[0] else "left", d[1] > middle[1]) for d in inside}

    assert marked(upper) == {("left", False), ("right", True)}
    assert marked(lower) == {("right", False), ("left", True)}
    words = [t.get_text() for t in axes.texts if "corner" in t.get_text()]
    assert any("high and LEFT: use the lower\nleft" in t for t in words)
    assert any("high and RIGHT: use the lower\nright" in t for t in words)


@pytest.mark.parametrize(("kind", "paper", "system"), EVERY)
def test_all_ink_keeps_clear_of_the_edges_and_can_be_read(
    sheet, assert_legible, kind, paper, system
):
    figure = sheet(kind, paper, system)
    figure.suptitle("")  # only the file's own title, not drawn
    assert_legible(figure)
    width, height = PAPERS[paper]
    inked = [np.array(line.get_xydata()) for line in figure.axes[0].lines]
    inked += [np.array(s) for c in figure.axes[0].collections for s in c.get_segments()]
    renderer = figure.canvas.get_renderer()
    inked += [
        np.array(t.get_window_extent(renderer).get_points()) / figure.dpi
        for t in figure.axes[0].texts
    ]
    everything = np.concatenate(inked)
    assert everything.min() >= MARGIN - 0.05
    assert everything[:, 0].max() <= width - MARGIN + 0.05
    assert everything[:, 1].max() <= height - MARGIN + 0.05


def rings(figure):
    """(middle, radius) of each ring, in."""
    found = []
    for line in figure.axes[0].lines:
        xy = np.asarray(line.get_xydata())
        if len(xy) > 100:
            middle = (xy[:-1]).mean(axis=0)
            away = np.hypot(*(xy - middle).T)
            assert np.ptp(away) < 1e-6
            found.append((middle, float(away.mean())))
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("system", "sizes"), [("us", (1.0, 3.0)), ("metric", (2.0 / 2.54, 8.0 / 2.54))]
)
def test_a_small_ring_for_fletched_and_a_large_one_for_bare_about_one_aim(
    sheet, words, paper, system, sizes
):
    figure = sheet("group", paper, system)
    (at, small), (there, large) = rings(figure)
    assert at == pytest.approx(group_middle(paper, system))
    assert there == pytest.approx(at)
    assert (small, large) == pytest.approx(sizes)
    # no ring leaves the grid, and the grid not the paper
    grid = np.concatenate(
        [np.array(s) for c in figure.axes[0].collections for s in c.get_segments()]
    )
    for sign in (-1.0, 1.0):
        assert grid[:, 0].min() <= at[0] + sign * large <= grid[:, 0].max()
    said = words(figure)
    assert "fletched: inside this ring" in said and "bare: inside this ring" in said
    assert "miss the large ring" in said.replace("\n", " ")


def test_the_face_stands_where_sheets_that_are_printed_already_have_it():
    # a picture of an older print is read with the middle of this one
    middles = {paper: group_middle(paper, "us") for paper in PAPERS}
    assert middles["letter"] == pytest.approx((4.25, 6.0483), abs=1e-3)
    assert middles["a4"] == pytest.approx((4.1339, 6.3948), abs=1e-3)


@pytest.mark.parametrize("kind", KINDS)
def test_no_sheet_shows_marks_of_typing(sheet, words, kind):
    assert "`" not in words(sheet(kind))


@pytest.mark.parametrize("kind", KINDS)
def test_every_sheet_says_how_to_print_and_to_shoot(sheet, words, kind):
    said = words(sheet(kind))
    for needed in ("100 %", "MEASURE BOTH BARS", "100 mm", "4 in", "backstop"):
        assert needed in said.replace("\n", " ")


@pytest.mark.parametrize(("kind", "paper", "system"), EVERY)
def test_four_corner_marks_lie_where_the_table_says(tmp_path, sheet, kind, paper, system):
    path = tmp_path / "sheet.svg"
    save(sheet(kind, paper, system), path)
    root = ET.parse(path).getroot()
    svg = "{http://www.w3.org/2000/svg}"
    groups = {one.attrib.get("id", ""): one for one in root.iter(f"{svg}g")}
    width, height = PAPERS[paper]
    opening = MARK_SIDE - 2.0 * MARK_FRAME
    for corner in CORNERS:
        path = groups[f"mark-{corner.replace(' ', '-')}"].find(f"{svg}path")
        numbers = [float(n) / 72.0 for n in re.findall(r"-?[\d.]+", path.attrib["d"])]
        points = np.reshape(numbers, (-1, 2))
        points[:, 1] = height - points[:, 1]  # an SVG counts down
        outer, inner = points[:4], points[-4:]
        low, high = outer.min(axis=0), outer.max(axis=0)
        assert (low + high) / 2.0 == pytest.approx(MARKS[paper][corner], abs=1e-4)
        assert high - low == pytest.approx(MARK_SIDE, abs=1e-4)
        for near_edge in (min(low[0], width - high[0]), min(low[1], height - high[1])):
            assert near_edge == pytest.approx(MARGIN, abs=1e-4)
        half = 0.5 if corner == HALF_FILLED else 1.0
        assert np.ptp(inner, axis=0) == pytest.approx((opening, half * opening), abs=1e-4)
        if corner == HALF_FILLED:
            lies_low = inner[:, 1].mean() < MARKS[paper][corner][1]
            assert lies_low == (FILLED_HALF[paper] == "upper")


@pytest.mark.parametrize(("kind", "paper", "system"), EVERY)
def test_nothing_stands_close_to_a_corner_mark(sheet, kind, paper, system):
    figure = sheet(kind, paper, system)
    figure.suptitle("")
    renderer = FigureCanvasAgg(figure).get_renderer()
    axes = figure.axes[0]
    boxes = [t.get_window_extent(renderer).get_points() / figure.dpi for t in axes.texts]
    boxes += [np.array(line.get_xydata()) for line in axes.lines]
    boxes += [np.array(s) for c in axes.collections for s in c.get_segments()]
    boxes += [np.array(patch.get_xy()) for patch in axes.patches]
    for center in MARKS[paper].values():
        for box in boxes:
            gap = np.maximum(box.min(axis=0) - center, center - box.max(axis=0))
            assert gap.max() >= MARK_SIDE / 2.0 + 0.1


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs poppler's pdftoppm")
def test_a_rasterised_bar_measures_what_it_says(tmp_path, sheet):
    save(sheet("group", "letter"), tmp_path / "sheet.pdf")
    dots = 600
    subprocess.run(
        ["pdftoppm", "-r", str(dots), "-png", "-singlefile", "sheet.pdf", "sheet"],
        cwd=tmp_path,
        check=True,
    )
    dark = imread(tmp_path / "sheet.png")[..., :3].mean(axis=2) < 0.5
    assert dark.shape == (11 * dots, round(8.5 * dots))
    found = []
    for level in (1.47, 1.18):
        row = dark[round((11.0 - level) * dots)]
        inked = np.flatnonzero(row[: round(4.6 * dots)])
        # the hairs at the bars' ends stand half their width further out
        found.append((inked[-1] - inked[0] + 1) / dots * 25.4 - 0.35 / 72.0 * 25.4)
    assert found == pytest.approx([one * 25.4 for one in SCALE_BARS.values()], abs=CLOSE)


@pytest.mark.parametrize(
    "wrong", [{"kind": "rings"}, {"paper": "a5"}, {"system": "cubits"}], ids=str
)
def test_what_is_not_known_is_named_with_what_is(sheet, wrong):
    with pytest.raises(InputProblem, match=r"choose .* or "):
        sheet(**wrong)
