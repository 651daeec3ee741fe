"""Pictures in, the sheet seen squarely out."""

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from vireton.paper import CORNERS, MARK_SIDE, MARKS, PAPERS
from vireton.photo.straighten import (
    gray_of,
    read_picture,
    read_straightened,
    straightened,
)
from vireton.units.problems import InputProblem


def file_of(picture, kind="JPEG", **how):
    file = io.BytesIO()
    picture.save(file, kind, **how)
    return file.getvalue()


def corners_picture():
    """Another gray in each quarter."""
    grays = np.kron(np.array([[30, 90], [150, 210]], np.uint8), np.ones((200, 250), np.uint8))
    return Image.fromarray(grays)


#: What each EXIF orientation does to the stored picture, as numpy has it (CIPA DC-008, from
#: memory: 6 is to be turned clockwise, 8 counterclockwise).
UPRIGHT = {
    1: lambda a: a,
    2: np.fliplr,
    3: lambda a: np.rot90(a, 2),
    4: np.flipud,
    5: np.transpose,
    6: lambda a: np.rot90(a, -1),
    7: lambda a: np.rot90(a, 2).T,
    8: np.rot90,
}


@pytest.mark.parametrize("orientation", UPRIGHT)
def test_a_picture_is_turned_as_its_camera_says(orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    found = gray_of(read_picture(file_of(corners_picture(), exif=exif, quality=95)))
    wanted = UPRIGHT[orientation](np.asarray(corners_picture()))
    assert found.shape == wanted.shape
    assert np.abs(found - wanted).mean() < 2.0


def test_no_metadata_are_kept():
    exif = Image.Exif()
    exif[0x010E] = "where it was taken"
    notes = PngInfo()
    notes.add_text("Comment", "who took it")
    for content in (
        file_of(corners_picture(), exif=exif, comment=b"a secret"),
        file_of(corners_picture(), "PNG", pnginfo=notes),
    ):
        picture = read_picture(content)
        assert picture.info == {}
        assert not picture.getexif()
        again = file_of(picture)
        assert b"taken" not in again and b"secret" not in again and b"who took" not in again


@pytest.mark.parametrize("mode", ["1", "L", "P", "LA", "RGBA", "CMYK"])
def test_every_usual_mode_becomes_rgb(mode):
    kind = "JPEG" if mode == "CMYK" else "PNG"
    picture = read_picture(file_of(corners_picture().convert(mode), kind))
    assert (picture.mode, picture.size) == ("RGB", (500, 400))


def test_a_file_is_read_as_its_bytes_are(tmp_path):
    file = tmp_path / "sheet.jpg"
    file.write_bytes(file_of(corners_picture()))
    assert read_picture(file).size == (500, 400)
    with pytest.raises(InputProblem, match=r"none\.jpg cannot be read: No such file"):
        read_picture(tmp_path / "none.jpg")


@pytest.mark.parametrize("kind", ["GIF", "TIFF", "BMP", "WEBP"])
def test_other_formats_are_refused(kind):
    with pytest.raises(InputProblem, match=r"cannot be read as a JPEG or PNG"):
        read_picture(file_of(corners_picture(), kind))


@pytest.mark.parametrize("cut", [0, 1, 20, 300, -700])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_damaged_file_is_refused(kind, cut):
    rng = np.random.default_rng(15)
    noisy = Image.fromarray(rng.integers(0, 256, (400, 400), np.uint8))
    with pytest.raises(InputProblem, match="save or take it again"):
        read_picture(file_of(noisy, kind)[:cut])


def huge_png(width, height):
    """A small file that says it is huge."""

    def chunk(name, content):
        check = struct.pack(">I", zlib.crc32(name + content))
        return struct.pack(">I", len(content)) + name + content + check

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    data = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(8000, 5001), (12000, 9000), (60000, 60000)])
def test_more_than_forty_megapixels_are_refused_unread(size):
    with pytest.raises(InputProblem, match=r"more than 40 megapixels: take it again"):
        read_picture(huge_png(*size))


def test_more_than_twenty_megabytes_are_refused(tmp_path, monkeypatch):
    with pytest.raises(InputProblem, match=r"21 MB; at most 20 MB"):
        read_picture(bytes(21_000_000))
    monkeypatch.setattr("vireton.photo.straighten.MOST_BYTES", 1000)
    file = tmp_path / "big.jpg"
    file.write_bytes(file_of(corners_picture()))
    with pytest.raises(InputProblem, match=r"big\.jpg has"):
        read_picture(file)


def test_a_thumbnail_is_too_small():
    with pytest.raises(InputProblem, match="160 by 120 pixels, too small"):
        read_picture(file_of(Image.new("L", (160, 120))))


@pytest.mark.parametrize("per_inch", [40, 100])
def test_marks_lie_in_the_straightened_image_where_they_do_on_paper(shots, located, per_inch):
    for (paper, _holes, shot), sheet in zip(shots[:2], located[:2], strict=True):
        picture = read_picture(shot.file)
        image = straightened(picture, sheet, per_inch)
        width, height = PAPERS[paper]
        assert image.size == (round(width * per_inch), round(height * per_inch))
        assert image.mode == "RGB"
        assert image.info == {}
        gray = np.asarray(image.convert("L"), float)
        for corner in CORNERS:
            x, y = MARKS[paper][corner]
            half = MARK_SIDE / 2.0 + 0.1
            rows = slice(*(round((height - y + d) * per_inch) for d in (-half, half)))
            columns = slice(*(round((x + d) * per_inch) for d in (-half, half)))
            part = gray[rows, columns]
            dark = np.argwhere(part < (part.min() + part.max()) / 2.0)
            middle = (dark.min(axis=0) + dark.max(axis=0)) / 2.0
            assert middle == pytest.approx((np.array(part.shape) - 1) / 2.0, abs=1.01)


@pytest.mark.parametrize("wrong", [0, 19, 401])
def test_pixels_per_inch_have_limits(shots, located, wrong):
    picture = read_picture(shots[0][2].file)
    with pytest.raises(InputProblem, match="choose 20 to 400"):
        straightened(picture, located[0], wrong)


def test_a_tap_s_error_counts_in_pixels_of_the_straightened_image(located):
    sheet = located[0]
    tap = np.array([(400.0, 500.0)])
    coarse, fine = (read_straightened(sheet, tap, 100, error).error for error in (2.0, 0.0))
    assert np.sqrt(coarse**2 - fine**2) == pytest.approx(np.full((1, 2), 0.02))
