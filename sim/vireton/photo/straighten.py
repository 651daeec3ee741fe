"""Pictures in, and the sheet seen squarely out. No metadata is kept."""

import io
import struct
import warnings
from pathlib import Path

import numpy as np
from PIL import Image
from scipy import ndimage

from vireton.kernel.arrays import FloatArray
from vireton.paper import PAPERS
from vireton.photo.locate import Sheet
from vireton.photo.plane import TAP_ERROR, Readings
from vireton.units.problems import InputProblem, named

#: What is read (our choice): room for any phone's picture, none for a bomb.
MOST_BYTES = 20_000_000
MOST_PIXELS = 40_000_000
FORMATS = ("JPEG", "PNG")

#: A straightened sheet for display and taps, pixels per inch: three of them are 1/64 in.
PIXELS_PER_INCH = 200
_FEWEST_PER_INCH, _MOST_PER_INCH = 20, 400

_ORIENTATION = 0x0112  # of EXIF (CIPA DC-008, from memory)
_TURNED = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def read_picture(source: bytes | Path) -> Image.Image:
    """Read a JPEG or PNG, upright as its EXIF orientation says, as RGB without metadata.

    Raises InputProblem for another format, more than 20 MB or 40 megapixels, or a damaged file.
    """
    name = "the picture" if isinstance(source, bytes) else named(source)
    content = _bytes_of(source, name)
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(io.BytesIO(content), formats=FORMATS) as image:
                _demand_size(image.size, name)
                turn = _TURNED.get(_orientation(image))
                pixels = image.convert("RGB")
        except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
            raise _too_many_pixels(name) from error
        except InputProblem:
            raise
        except (OSError, SyntaxError, ValueError, struct.error) as error:
            raise InputProblem(
                f"{name} cannot be read as a JPEG or PNG picture: save or take it again as one"
            ) from error
    upright = pixels if turn is None else pixels.transpose(turn)
    return Image.fromarray(np.asarray(upright))  # the numbers alone


def gray_of(picture: Image.Image) -> FloatArray:
    """The picture's gray, (rows, columns) from 0 to 255."""
    return np.asarray(picture.convert("L"), np.float64)


def straightened(
    picture: Image.Image, sheet: Sheet, pixels_per_inch: int = PIXELS_PER_INCH
) -> Image.Image:
    """The sheet of a picture seen squarely: RGB, the whole paper, upright.

    Raises InputProblem for pixels per inch outside 20 to 400.
    """
    _demand_per_inch(pixels_per_inch)
    width, height = (round(one * pixels_per_inch) for one in PAPERS[sheet.paper])
    colors = np.asarray(picture.convert("RGB"))
    shrink = _shrink(sheet, pixels_per_inch)
    if shrink > 1:
        colors = np.asarray(picture.convert("RGB").reduce(shrink))
    out = np.empty((height, width, 3), np.uint8)
    columns = np.arange(width)
    for top in range(0, height, 256):  # bands, so that the coordinates stay small
        rows = np.arange(top, min(top + 256, height))
        grid = np.stack(np.meshgrid(columns, rows), axis=-1).reshape(-1, 2).astype(float)
        seen = sheet.plane.pixels(inches_of(sheet, grid, pixels_per_inch))
        seen = (seen + 0.5) / shrink - 0.5
        for color in range(3):
            values = ndimage.map_coordinates(
                colors[..., color], [seen[:, 1], seen[:, 0]], order=1, mode="constant", cval=255
            )
            out[rows, :, color] = values.reshape(len(rows), width)
    return Image.fromarray(out)


def inches_of(sheet: Sheet, taps: FloatArray, pixels_per_inch: int) -> FloatArray:
    """Places on the sheet, (n, 2) in, of taps on its straightened image, (column, row) (n, 2)."""
    height = PAPERS[sheet.paper][1]
    place = (np.asarray(taps, float) + 0.5) / pixels_per_inch
    return np.column_stack([place[:, 0], height - place[:, 1]])


def read_straightened(
    sheet: Sheet,
    taps: FloatArray,
    pixels_per_inch: int = PIXELS_PER_INCH,
    tap_error: float = TAP_ERROR,
) -> Readings:
    """Places on the sheet under taps on its straightened image, with their errors.

    ``taps`` (n, 2) and ``tap_error`` count in pixels of the straightened image.
    """
    fit = sheet.plane.read(sheet.plane.pixels(inches_of(sheet, taps, pixels_per_inch)), 0.0)
    return Readings(fit.inches, fit.covariance + (tap_error / pixels_per_inch) ** 2 * np.eye(2))


def between_straightened(
    sheet: Sheet,
    start: FloatArray,
    end: FloatArray,
    pixels_per_inch: int = PIXELS_PER_INCH,
    tap_error: float = TAP_ERROR,
) -> Readings:
    """What lies between taps on the straightened image, ``end`` minus ``start``, and its error.

    A tear is from the point's hole to the tail's hole.
    """
    first, last = (
        sheet.plane.pixels(inches_of(sheet, taps, pixels_per_inch)) for taps in (start, end)
    )
    fit = sheet.plane.between(first, last, 0.0)
    both = 2.0 * (tap_error / pixels_per_inch) ** 2
    return Readings(fit.inches, fit.covariance + both * np.eye(2))


def _bytes_of(source: bytes | Path, name: str) -> bytes:
    try:
        size = len(source) if isinstance(source, bytes) else source.stat().st_size
        if size > MOST_BYTES:
            raise InputProblem(
                f"{name} has {size / 1e6:.0f} MB; at most {MOST_BYTES // 1_000_000} MB are read: "
                "send it in a smaller size"
            )
        return source if isinstance(source, bytes) else source.read_bytes()
    except OSError as error:
        raise InputProblem(f"{name} cannot be read: {error.strerror}") from error


def _demand_size(size: tuple[int, int], name: str) -> None:
    if size[0] * size[1] > MOST_PIXELS:
        raise _too_many_pixels(name)
    if min(size) < 300:
        raise InputProblem(
            f"{name} is {size[0]} by {size[1]} pixels, too small to read a sheet; take it with "
            "the phone's usual camera"
        )


def _too_many_pixels(name: str) -> InputProblem:
    return InputProblem(
        f"{name} has more than {MOST_PIXELS // 1_000_000} megapixels: take it again with the "
        "camera's usual size"
    )


def _orientation(image: Image.Image) -> int:
    """What EXIF says, 1 to 8; a damaged EXIF says nothing."""
    try:
        return int(image.getexif().get(_ORIENTATION, 1))
    except (OSError, SyntaxError, ValueError, TypeError, KeyError, struct.error):
        return 1


def _demand_per_inch(pixels_per_inch: int) -> None:
    if not _FEWEST_PER_INCH <= pixels_per_inch <= _MOST_PER_INCH:
        raise InputProblem(
            f"{pixels_per_inch} pixels per inch: choose {_FEWEST_PER_INCH} to {_MOST_PER_INCH}"
        )


def _shrink(sheet: Sheet, pixels_per_inch: int) -> int:
    """How many pixels of the picture go into one of the straightened image, along a side."""
    width, height = PAPERS[sheet.paper]
    corners = sheet.plane.pixels(np.array([(0, 0), (width, 0), (width, height), (0, height)]))
    longest = np.hypot(*(corners - np.roll(corners, 1, axis=0)).T).max()
    return max(1, int(longest / (height * pixels_per_inch)))
