"""A pretend phone: pictures of a printed sheet whose true geometry is known.

The sheet is drawn by the library, holes are torn at known inches, and a pinhole camera with a
lens looks at it, out of focus, shaken, in uneven light, over clutter, with noise and JPEG. Light
adds up in linear light; the picture is stored with the gamma 2.2. All of it is invented.
"""

import functools
import io
from dataclasses import dataclass

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from PIL import Image, ImageDraw
from scipy import ndimage

from vireton.paper import PAPERS
from vireton.plots import target_figure

DOTS = 254  # of the printed sheet, per inch: letter and A4 are whole numbers of them
PAPER_WHITE, INK = 0.85, 0.04  # shares of the light that come back


@dataclass
class Shot:
    """A picture: its JPEG file, and ``pixels``, the truth: inches (n, 2) to pixels (n, 2)."""

    file: bytes
    size: tuple[int, int]
    matrix: np.ndarray
    lens: float

    def pixels(self, inches):
        flat = np.column_stack([inches, np.ones(len(inches))]) @ self.matrix.T
        flat = flat[:, :2] / flat[:, 2:]
        center, reach = middle_of(self.size)
        away = (flat - center) / reach
        return away * (1.0 + self.lens * (away**2).sum(axis=1, keepdims=True)) * reach + center


def middle_of(size):
    return np.array([(size[0] - 1) / 2.0, (size[1] - 1) / 2.0]), np.hypot(*size) / 2.0


@functools.cache
def printed(kind="tear", paper="letter", system="us"):
    """The sheet as light that comes back, (rows, columns) of 254 an inch."""
    figure = target_figure(kind, paper=paper, system=system, caution="Our own caution.")
    figure.set_dpi(DOTS)
    for mark in figure.patches:
        mark.set_snap(False)  # a bitmap would move its edges to whole dots
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    drawn = np.asarray(canvas.buffer_rgba())[..., :3].mean(axis=2) / 255.0
    return (INK + (PAPER_WHITE - INK) * drawn**2.2).astype(np.float32)


def torn(sheet, holes, height, rng):
    """The sheet with ragged dark holes about (n, 2) inches."""
    sheet = sheet.copy()
    for right, up in holes:
        column, row = right * DOTS, (height - up) * DOTS
        reach = 60
        rows = slice(max(int(row) - reach, 0), int(row) + reach)
        columns = slice(max(int(column) - reach, 0), int(column) + reach)
        y, x = np.mgrid[rows, columns]
        angle = np.arctan2(y - row, x - column)
        rim = 32.0 + sum(
            rng.normal(0.0, 3.0) * np.cos(k * angle + rng.uniform(0, 6)) for k in range(2, 9)
        )
        sheet[rows, columns][np.hypot(y - row, x - column) < rim] = 0.06
    return sheet


def view(rng, paper, size, tilt, fill):
    """The (3, 3) map from inches to pixels of a camera that holds the whole sheet in view."""
    width, height = PAPERS[paper]
    focus = rng.uniform(0.72, 0.95) * max(size)
    turn, lean = rng.uniform(0.0, 2.0 * np.pi, 2)
    axis = np.array([np.cos(lean), np.sin(lean), 0.0])
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    tilted = np.eye(3) + np.sin(tilt) * cross + (1.0 - np.cos(tilt)) * cross @ cross
    spun = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    flipped = np.diag([1.0, -1.0, 1.0])  # rows count downwards
    rotation = tilted @ spun @ flipped
    center, _reach = middle_of(size)
    edges = np.array([(0, 0), (width, 0), (width, height), (0, height)], float)

    def matrix(distance, aside):
        camera = np.diag([focus, focus, 1.0])
        camera[:2, 2] = aside
        pose = np.column_stack([rotation[:, :2], [0.0, 0.0, distance]])
        to_middle = np.array([[1, 0, -width / 2.0], [0, 1, -height / 2.0], [0, 0, 1.0]])
        return camera @ pose @ to_middle

    def box(m):
        seen = np.column_stack([edges, np.ones(4)]) @ m.T
        seen = seen[:, :2] / seen[:, 2:]
        return seen.min(axis=0), seen.max(axis=0)

    near, far = 8.0, 200.0
    for _step in range(60):  # the distance at which the sheet fills its share
        distance = np.sqrt(near * far)
        low, high = box(matrix(distance, (0.0, 0.0)))
        if ((high - low) / size).max() > fill:
            near = distance
        else:
            far = distance
    low, high = box(matrix(distance, (0.0, 0.0)))
    spare = (np.array(size) - (high - low)) / 2.0
    aside = rng.uniform(-0.7, 0.7, 2) * spare
    # moved in the picture by a turn of the camera, here a shift: still a perspective view
    return matrix(distance, center - (low + high) / 2.0 + aside)


def clutter(rng, size):
    """A bench with things on it, light that comes back."""
    width, height = size
    picture = Image.new("L", size, int(rng.uniform(20, 200)))
    draw = ImageDraw.Draw(picture)
    for _thing in range(60):
        x, y = rng.uniform(0, width), rng.uniform(0, height)
        far = rng.uniform(0.01, 0.2) * max(size)
        angle = rng.uniform(0, 2 * np.pi)
        way, aside = np.array([np.cos(angle), np.sin(angle)]), rng.uniform(0.05, 1.0)
        other = aside * np.array([-way[1], way[0]])
        box = [
            tuple(np.array([x, y]) + far * (a * way + b * other))
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        shade = int(rng.uniform(5, 250))
        kind = rng.integers(4)
        if kind == 0:
            draw.polygon(box, fill=shade)
        elif kind == 1:
            draw.line([*box, box[0]], fill=shade, width=int(rng.uniform(3, 40)))
        elif kind == 2:
            draw.ellipse((x - far, y - far, x + far, y + far), outline=shade, width=12)
        else:
            draw.line(box[:2], fill=shade, width=int(rng.uniform(2, 60)))
    return (np.asarray(picture, np.float32) / 255.0) ** 2.2


def scene(rng, size, sheets, background=None):
    """Sheets, pairs of a light map and its (3, 3) view, over clutter, through the lens."""
    seen = clutter(rng, size) if background is None else background.copy()
    lens = float(rng.uniform(-0.02, 0.02))
    center, reach = middle_of(size)
    for light, matrix, paper in sheets:
        width, height = PAPERS[paper]
        back = np.linalg.inv(matrix)
        shot = Shot(b"", size, matrix, lens)
        edges = shot.pixels(np.array([(0, 0), (width, 0), (width, height), (0, height)]))
        low = np.maximum(np.floor(edges.min(axis=0)) - 30, 0).astype(int)
        high = np.minimum(np.ceil(edges.max(axis=0)) + 30, size).astype(int)
        for top in range(low[1], high[1], 200):
            rows = np.arange(top, min(top + 200, high[1]))
            x, y = np.meshgrid(np.arange(low[0], high[0]), rows)
            x, y = (x - center[0]) / reach, (y - center[1]) / reach
            bent = np.hypot(x, y)
            radius = bent.copy()
            for _round in range(4):
                radius -= (radius * (1 + lens * radius**2) - bent) / (1 + 3 * lens * radius**2)
            share = radius / np.maximum(bent, 1e-9) * reach
            x, y = x * share + center[0], y * share + center[1]
            below = back[2, 0] * x + back[2, 1] * y + back[2, 2]
            right = (back[0, 0] * x + back[0, 1] * y + back[0, 2]) / below
            up = (back[1, 0] * x + back[1, 1] * y + back[1, 2]) / below
            on = (right > 0) & (right < width) & (up > 0) & (up < height)
            where = [(height - up[on]) * DOTS - 0.5, right[on] * DOTS - 0.5]
            part = seen[rows[0] : rows[-1] + 1, low[0] : high[0]]
            part[on] = ndimage.map_coordinates(light, where, order=1, mode="nearest")
    return seen, lens


def developed(rng, seen):
    """What the phone makes of the light: blur, shake, uneven light, noise, gamma, JPEG."""
    height, width = seen.shape
    seen = ndimage.gaussian_filter(seen, rng.uniform(1.0, 3.0), truncate=3.0)
    seen = ndimage.convolve(seen, shake(rng.uniform(2.0, 5.0), rng.uniform(0.0, np.pi)))
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    y, x = y / height - 0.5, x / width - 0.5
    way = rng.uniform(0.0, 2.0 * np.pi)
    light = rng.uniform(2.0, 3.0) ** ((x * np.cos(way) + y * np.sin(way)) / 1.2)
    way = rng.uniform(0.0, 2.0 * np.pi)
    edge = (x * np.cos(way) + y * np.sin(way) - rng.uniform(-0.25, 0.25)) / rng.uniform(0.02, 0.1)
    light = light * (1.0 - rng.uniform(0.3, 0.6) / (1.0 + np.exp(-edge)))
    seen = seen * light.astype(np.float32)
    seen = seen * (0.92 / np.percentile(seen[::16, ::16], 99.0))
    noise = np.sqrt(np.maximum(seen, 0.0) * rng.uniform(0.01, 0.03) ** 2 + 0.004**2)
    seen = seen + noise * rng.standard_normal(seen.shape, dtype=np.float32)
    stored = np.clip(seen, 0.0, 1.0) ** (1.0 / 2.2) * 255.0
    return jpeg(np.round(stored).astype(np.uint8))


def shake(length, angle):
    """A straight line of ``length`` pixels about the middle of 7 by 7, as weights."""
    weights = np.zeros((7, 7), np.float32)
    for step in np.linspace(-0.5, 0.5, 21) * length:
        y, x = 3.0 + step * np.sin(angle), 3.0 + step * np.cos(angle)
        row, column = int(y), int(x)
        for i, j in ((0, 0), (0, 1), (1, 0), (1, 1)):
            weights[row + i, column + j] += abs(1 - i - (y - row)) * abs(1 - j - (x - column))
    return weights / weights.sum()


def jpeg(pixels, quality=80):
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=quality)
    return file.getvalue()


def shoot(
    rng, holes, *, kind="tear", paper="letter", size=(4000, 3000), fill=(0.5, 0.9), spoil=None
):
    """One hand-held picture of a sheet with holes at (n, 2) inches.

    ``fill`` is between what shares of the frame the sheet reaches; ``spoil`` changes the sheet's
    light in place before it is looked at.
    """
    light = torn(printed(kind, paper), holes, PAPERS[paper][1], rng)
    if spoil is not None:
        spoil(light)
    tilt, share = np.radians(rng.uniform(0.0, 35.0)), rng.uniform(*fill)
    matrix = view(rng, paper, size, tilt, share)
    seen, lens = scene(rng, size, [(light, matrix, paper)])
    return Shot(developed(rng, seen), size, matrix, lens)
