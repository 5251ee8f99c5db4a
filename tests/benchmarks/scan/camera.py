"""The camera and the flatbed of the picture benchmark: tilt, bend, desk, light, blur, file."""

from dataclasses import dataclass
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from compliance.scan.warp import apply_homography
from tests.benchmarks.scan.layouts import HEIGHT, PAGE_DPI, WIDTH
from tests.benchmarks.scan.writing import SCALE

Rng = np.random.Generator
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Shot:
    """A picture file; ``find`` takes page points (y down) to its dots."""

    data: bytes
    homography: Floats
    curl: tuple[float, ...]
    tags: frozenset[str]

    def find(self, points: Floats) -> Floats:
        """Give the picture dots of page points."""
        q = points.copy()
        for _ in range(4):
            q = points - _bend(q, self.curl)
        return apply_homography(self.homography, q)


def _bend(points: Floats, curl: tuple[float, ...]) -> Floats:
    a, b, u, v, w = curl
    x, y = points[:, 0] / WIDTH, points[:, 1] / HEIGHT
    dx = a * np.sin(np.pi * (u * x + v * y) + w)
    dy = b * np.sin(np.pi * (v * x + u * y) + 2 * w)
    return np.stack((dx, dy), axis=1)


def photograph(page: Image.Image, rng: Rng, *, hard: bool, most_tilt: float = 30.0) -> Shot:
    """Take a photo: tilted, turned, bent, on a desk, in some light, saved as JPEG."""
    tags = {"photo"}
    dpi = rng.uniform(110, 300) if rng.random() < 0.35 else rng.uniform(110, 190)
    tilt = rng.uniform(0, most_tilt)
    matrix, size = _view(rng, dpi, tilt, cut=hard and rng.random() < 0.12)
    most = rng.uniform(0, 6) if rng.random() < 0.7 else 0.0
    curl = (
        float(rng.uniform(-1, 1) * most),
        float(rng.uniform(-1, 1) * most),
        float(rng.uniform(0.5, 1.6)),
        float(rng.uniform(-0.8, 0.8)),
        float(rng.uniform(0, 6)),
    )
    image = _take(page, matrix, curl, size, _desk(rng, size))
    if hard and rng.random() < 0.15:
        _thumb(image, matrix, rng)
        tags.add("thumb")
    image = _light(image, rng)
    image = _soften(image, rng)
    stream = BytesIO()
    image.save(stream, "JPEG", quality=int(rng.uniform(40, 95)))
    tags |= {f"tilt{int(tilt // 10) * 10}", f"dpi{int(dpi // 50) * 50}"}
    return Shot(stream.getvalue(), matrix, curl, frozenset(tags))


def scan(page: Image.Image, rng: Rng) -> Shot:
    """Lay the page on a flatbed: nearly straight, grey or colour, sometimes black and white."""
    tags = {"flatbed"}
    dpi = float(rng.choice([110, 150, 200, 300], p=[0.15, 0.35, 0.35, 0.15]))
    turn = np.radians(rng.uniform(-3, 3) + 90 * rng.integers(4))
    k = dpi / 72
    c, s = np.cos(turn) * k, np.sin(turn) * k
    matrix = np.array([[c, -s, 0.0], [s, c, 0.0], [0, 0, 1.0]])
    corners = apply_homography(matrix, _corners())
    matrix[:2, 2] = -corners.min(axis=0) + rng.uniform(-3, 6, 2)
    wide, high = (corners.max(axis=0) - corners.min(axis=0) + 4).astype(int)
    curl = (0.0, 0.0, 1.0, 0.0, 0.0)
    back = Image.new("RGB", (int(wide), int(high)), (246, 246, 244))
    image = _take(page, matrix, curl, back.size, back)
    image = image.filter(ImageFilter.GaussianBlur(float(rng.uniform(0.2, 0.7))))
    stream = BytesIO()
    if rng.random() < 1 / 6:
        tags.add("one-bit")
        level = int(rng.uniform(130, 200))
        image.convert("L").point(lambda v: 255 * (v > level)).convert("1").save(stream, "PNG")
    else:
        if rng.random() < 0.5:
            image = image.convert("L")
        image.save(stream, "JPEG", quality=int(rng.uniform(50, 95)))
    return Shot(stream.getvalue(), matrix, curl, frozenset(tags))


def _corners() -> Floats:
    return np.array([(0.0, 0.0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT)])


def _view(rng: Rng, dpi: float, tilt: float, *, cut: bool) -> tuple[Floats, tuple[int, int]]:
    """Make the homography of a page tilted about any axis and turned, and the frame."""
    about = rng.uniform(0, 2 * np.pi)
    axis = np.array([np.cos(about), np.sin(about), 0.0])
    angle = np.radians(tilt)
    cross = np.array([[0, 0, axis[1]], [0, 0, -axis[0]], [-axis[1], axis[0], 0]])
    lean = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    turn = np.radians(90 * rng.integers(4) + rng.uniform(-25, 25))
    if rng.random() < 0.2:
        turn = rng.uniform(0, 2 * np.pi)
    roll = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    far = rng.uniform(1.6, 3.0) * HEIGHT
    flat = _corners() - (WIDTH / 2, HEIGHT / 2)
    solid = np.concatenate((flat, np.zeros((4, 1))), axis=1) @ lean.T
    seen = solid[:, :2] * far / (far + solid[:, 2:]) @ roll.T
    # The scale asked for is that of the part of the page farthest away.
    dots = seen * (dpi / 72) * (far + solid[:, 2].max()) / far
    low, high = dots.min(axis=0), dots.max(axis=0)
    margin = rng.uniform(0.01, 0.1) * (high - low).max()
    dots += margin - low
    size = (high - low + 2 * margin).astype(int)
    if cut:
        shift = rng.uniform(0.02, 0.08) * size
        dots -= shift
        size = size - (shift * 0.5).astype(int)
    return _solve(_corners(), dots), (int(size[0]), int(size[1]))


def _solve(points: Floats, dots: Floats) -> Floats:
    rows = []
    for (x, y), (u, v) in zip(points, dots, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
    answer = np.linalg.solve(np.array(rows), dots.ravel())
    return np.append(answer, 1.0).reshape(3, 3)


def _take(
    page: Image.Image,
    matrix: Floats,
    curl: tuple[float, ...],
    size: tuple[int, int],
    desk: Image.Image,
) -> Image.Image:
    step = 48
    columns, rows = size[0] // step + 2, size[1] // step + 2
    x, y = np.meshgrid(np.arange(columns) * step, np.arange(rows) * step)
    flat = np.stack((x.ravel(), y.ravel()), axis=1).astype(float)
    points = apply_homography(np.asarray(np.linalg.inv(matrix), dtype=float), flat)
    points = (points + _bend(points, curl)) * SCALE
    dots = points.reshape(rows, columns, 2)
    mesh = [
        (
            (c * step, r * step, (c + 1) * step, (r + 1) * step),
            tuple(
                float(v)
                for corner in (dots[r, c], dots[r + 1, c], dots[r + 1, c + 1], dots[r, c + 1])
                for v in corner
            ),
        )
        for r in range(rows - 1)
        for c in range(columns - 1)
    ]
    sharp = page
    # A page seen smaller than it was drawn is softened first, as a lens and sensor would.
    ratio = float(PAGE_DPI / 72 / np.sqrt(abs(np.linalg.det(matrix[:2, :2]))))
    if ratio > 1.15:
        sharp = page.filter(ImageFilter.GaussianBlur(0.45 * ratio))
    full = ((columns - 1) * step, (rows - 1) * step)
    bilinear = Image.Resampling.BILINEAR
    seen = sharp.transform(full, Image.Transform.MESH, mesh, bilinear).crop((0, 0, *size))
    cover = Image.new("L", page.size, 255)
    cover = cover.transform(full, Image.Transform.MESH, mesh, bilinear, fillcolor=0)
    return Image.composite(seen, desk, cover.crop((0, 0, *size)))


def _noise(rng: Rng, shape: tuple[int, int], cells: tuple[int, int]) -> Floats:
    coarse = Image.fromarray(rng.normal(0, 1, cells).astype(np.float32))
    return np.asarray(coarse.resize((shape[1], shape[0]), Image.Resampling.BICUBIC), dtype=float)


def _desk(rng: Rng, size: tuple[int, int]) -> Image.Image:
    kind = str(rng.choice(["wood", "stone", "white", "dark", "cloth", "papers", "plain"]))
    small = (size[1] // 4, size[0] // 4)
    base = rng.uniform(60, 200, 3)
    if kind == "white":
        base, value = np.full(3, rng.uniform(225, 250)), _noise(rng, small, (6, 6)) * 2
    elif kind == "dark":
        base, value = rng.uniform(20, 50, 3), _noise(rng, small, (40, 40)) * 4
    elif kind == "wood":
        base = np.array([150.0, 105, 65]) * rng.uniform(0.5, 1.3)
        value = _noise(rng, small, (90, 4)) * 18 + _noise(rng, small, (300, 8)) * 8
    elif kind == "stone":
        value = np.sum([_noise(rng, small, (n, n)) * 90 / n**0.5 for n in (12, 40, 120)], axis=0)
    elif kind == "cloth":
        y, x = np.mgrid[: small[0], : small[1]]
        value = 25 * np.sign(np.sin(x / rng.uniform(2, 9)) * np.sin(y / rng.uniform(2, 9)))
    else:
        value = _noise(rng, small, (5, 5)) * 6
    image = Image.fromarray((base + value[:, :, None]).clip(0, 255).astype(np.uint8)).resize(size)
    if kind == "papers":
        pen = ImageDraw.Draw(image)
        pen.rectangle((0, 0, size[0], size[1]), fill=(235, 235, 230))
        for y in range(10, size[1], 26):
            x = 10
            while x < size[0]:
                wide = int(rng.uniform(10, 60))
                pen.rectangle((x, y, x + wide, y + 9), fill=(60, 60, 64))
                x += wide + 12
    return image


def _thumb(image: Image.Image, matrix: Floats, rng: Rng) -> None:
    corner = _corners()[int(rng.integers(4))]
    inward = (np.array([WIDTH, HEIGHT]) / 2 - corner) * rng.uniform(0.02, 0.09)
    x, y = apply_homography(matrix, (corner + inward)[None])[0]
    r = 36 * np.sqrt(abs(np.linalg.det(matrix[:2, :2])))
    tone = (np.array([205, 150, 120]) * rng.uniform(0.5, 1.05)).clip(0, 255).astype(int)
    ImageDraw.Draw(image).ellipse((x - r, y - 1.4 * r, x + r, y + 1.4 * r), fill=tuple(tone))


def _light(image: Image.Image, rng: Rng) -> Image.Image:
    wide, high = image.size
    small = (max(8, high // 8), max(8, wide // 8))
    y, x = np.mgrid[0 : 1 : small[0] * 1j, 0 : 1 : small[1] * 1j]
    way = rng.uniform(0, 2 * np.pi)
    field = 1 - rng.uniform(0, 0.35) * (0.5 + (np.cos(way) * (x - 0.5) + np.sin(way) * (y - 0.5)))
    if rng.random() < 0.55:
        shade = Image.new("L", (small[1], small[0]), 0)
        corners = [tuple(rng.uniform(-0.4, 1.4, 2) * (small[1], small[0])) for _ in range(4)]
        ImageDraw.Draw(shade).polygon(corners, fill=255)
        soft = shade.filter(ImageFilter.GaussianBlur(float(rng.uniform(1, 18))))
        field = field * (1 - rng.uniform(0.15, 0.55) * np.asarray(soft, dtype=float) / 255)
    if rng.random() < 0.25:
        cx, cy = rng.uniform(0.1, 0.9, 2)
        field = field * (
            1 + rng.uniform(0.1, 0.5) * np.exp(-((x - cx) ** 2 + (y - cy) ** 2) / 0.03)
        )
    field = field * rng.uniform(0.65, 1.02)
    cast = 1 - rng.uniform(0, 0.16, 3) * (1, 0.5, 1)
    spread = np.asarray(
        Image.fromarray(field.astype(np.float32)).resize((wide, high), Image.Resampling.BILINEAR)
    )
    lit = np.asarray(image, dtype=np.float32) * spread[:, :, None] * cast.astype(np.float32)
    grain = rng.normal(0, rng.uniform(0.5, 5), (256, 256, 3)).astype(np.float32)
    reps = (high // 256 + 1, wide // 256 + 1, 1)
    lit += np.tile(grain, reps)[:high, :wide]
    return Image.fromarray(lit.clip(0, 255).astype(np.uint8))


def _soften(image: Image.Image, rng: Rng) -> Image.Image:
    image = image.filter(ImageFilter.GaussianBlur(float(rng.uniform(0, 1.2))))
    if rng.random() < 0.25:
        values = np.asarray(image, dtype=np.float32)
        length, axis = int(rng.integers(2, 4)), int(rng.integers(2))
        values = np.mean([np.roll(values, n, axis) for n in range(length)], axis=0)
        image = Image.fromarray(values.astype(np.uint8))
    return image
