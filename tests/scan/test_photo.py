"""From picture files to present, missing and cannot tell, on a page made here."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from compliance.scan.blank import BlankPage
from compliance.scan.decide import PRESENT_FROM, compute_score, find_group, judge, load_weights
from compliance.scan.ink import Ink
from compliance.scan.model import PageFinding, Region, Seen
from compliance.scan.photo import look_at_pictures
from compliance.scan.symbol import code_rects, make_code_modules

WIDTH, HEIGHT = 612, 792
S = 2.5
"""Dots a point of the drawn page: 180 dots an inch."""
CODE = "TESTAA"


def region(name: str, kind: str, left: float, top: float, right: float, low: float) -> Region:
    """A region given from the top of the page down."""
    return Region(
        id=name,
        label=name,
        kind=kind,
        page=0,
        left=left,
        bottom=HEIGHT - low,
        right=right,
        top=HEIGHT - top,
    )


REGIONS = (
    region("name", "printed-name", 72, 240, 300, 263),
    region("signature", "signature", 72, 300, 300, 335),
    region("date", "date", 340, 311, 480, 335),
    region("box", "check", 100, 400, 112, 412),
    region("stamp", "notary-stamp", 72, 450, 252, 570),
)


def draw_blank(*, page: int = 0, code: str = CODE) -> Image.Image:
    image = Image.new("RGB", (round(WIDTH * S), round(HEIGHT * S)), "white")
    pen = ImageDraw.Draw(image)
    font = ImageFont.load_default(24)
    rng = np.random.default_rng(page)
    for row in range(6):
        words = "".join(rng.choice(list("aeinorstl  "), 60))
        pen.text((72 * S, (100 + 16 * row) * S), words, fill="black", font=font)
    for start, end, y in ((72, 300, 264), (72, 300, 336), (340, 480, 336)):
        pen.line((start * S, y * S, end * S, y * S), fill="black", width=2)
        pen.text((start * S, (y + 2) * S), "name day sign", fill="black", font=font)
    pen.rectangle((100 * S, 400 * S, 112 * S, 412 * S), outline="black", width=2)
    pen.text((118 * S, 400 * S), "I agree", fill="black", font=font)
    for corner, (left, _, right, top) in enumerate(code_rects(WIDTH, HEIGHT)):
        side = round((right - left) * S)
        modules = Image.fromarray(~make_code_modules(code, page, corner)).resize((side, side))
        image.paste(modules.convert("RGB"), (round(left * S), round((HEIGHT - top) * S)))
    return image


def blank(page: int = 0) -> BlankPage:
    grey = np.asarray(draw_blank(page=page).convert("L"))
    rects = code_rects(WIDTH, HEIGHT)
    return BlankPage(page=page, grey=grey, dpi=72 * S, width=WIDTH, height=HEIGHT, codes=rects)


def fill(image: Image.Image, *names: str) -> Image.Image:
    pen = ImageDraw.Draw(image)
    font = ImageFont.load_default(40)
    if "name" in names:
        pen.text((80 * S, 244 * S), "Odile Ferrant", fill=(30, 40, 120), font=font)
    if "date" in names:
        pen.text((350 * S, 316 * S), "05/24/2027", fill=(30, 40, 120), font=font)
    if "signature" in names:
        t = np.linspace(0, 1, 80)
        x, y = 85 + 150 * t, 322 + 9 * np.sin(30 * t)
        points = [(float(a) * S, float(b) * S) for a, b in zip(x, y, strict=True)]
        pen.line(points, fill=(30, 40, 120), width=3)
    if "box" in names:
        for ends in ((101.0, 401.0, 111.0, 411.0), (111.0, 401.0, 101.0, 411.0)):
            pen.line([value * S for value in ends], fill=(20, 20, 22), width=3)
    if "stamp" in names:
        pen.ellipse((100 * S, 460 * S, 200 * S, 560 * S), outline=(30, 40, 130), width=4)
        pen.text((112 * S, 500 * S), "NOTARY PUBLIC", fill=(30, 40, 130), font=font)
    return image


def photo(page: Image.Image) -> bytes:
    """A tilted, shaded photo on a dark desk."""
    wide, high = 1500, 1750
    quad = (-90, -60, -60, 2150, 1640, 2080, 1700, -40)
    bilinear = Image.Resampling.BILINEAR
    view = page.transform(
        (wide, high), Image.Transform.QUAD, quad, bilinear, fillcolor=(70, 60, 50)
    )
    light = np.linspace(1, 0.6, wide)[None, :, None]
    values = np.asarray(view.filter(ImageFilter.GaussianBlur(0.7)), dtype=float) * light
    return save(Image.fromarray(values.astype(np.uint8)), "JPEG", quality=80)


def save(image: Image.Image, kind: str, **options: object) -> bytes:
    stream = BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def look(data: bytes, regions: tuple[Region, ...] = REGIONS) -> PageFinding:
    (finding,) = look_at_pictures([("page.jpg", data)], [blank()], regions, form_code=CODE)
    return finding


def seen(finding: PageFinding) -> dict[str, Seen]:
    return {found.region.id: found.seen for found in finding.findings}


NAMES = tuple(place.id for place in REGIONS)


def test_look_finds_everything_on_a_filled_page() -> None:
    finding = look(photo(fill(draw_blank(), *NAMES)))

    assert (finding.page, finding.how) == (0, "codes")
    assert seen(finding) == dict.fromkeys(NAMES, Seen.PRESENT)
    assert {found.crop for found in finding.findings} == {b""}


def test_look_finds_nothing_on_an_empty_page() -> None:
    finding = look(photo(draw_blank()))

    assert seen(finding) == dict.fromkeys(NAMES, Seen.MISSING)
    assert [found.region for found in finding.findings] == list(REGIONS)
    assert all("again" in found.why or "notary" in found.why for found in finding.findings)


@pytest.mark.parametrize("left_out", NAMES)
def test_look_finds_the_one_thing_missing(left_out: str) -> None:
    filled = [name for name in NAMES if name != left_out]

    finding = look(photo(fill(draw_blank(), *filled)))

    expected = dict.fromkeys(NAMES, Seen.PRESENT) | {left_out: Seen.MISSING}
    assert seen(finding) == expected


def test_look_gives_pictures_of_what_is_not_plainly_present() -> None:
    finding = look(photo(fill(draw_blank(), "name")))

    sizes = {
        found.region.id: Image.open(BytesIO(found.crop)).size
        for found in finding.findings
        if found.crop
    }
    marked = Image.open(BytesIO(finding.marked))
    # The region with 20 points round it at 120 dots an inch.
    expected = {
        place.id: (
            (place.right - place.left + 40) * 120 / 72,
            (place.top - place.bottom + 40) * 120 / 72,
        )
        for place in REGIONS[1:]
    }
    assert sizes.keys() == expected.keys()
    for name, size in sizes.items():
        assert size == pytest.approx(expected[name], abs=1)
    assert (marked.format, marked.size) == ("PNG", (1020, 1320))
    # The missing signature is framed in black, four dots wide.
    assert np.asarray(marked.convert("L"))[530:540, 118:121].max() == 0


def test_look_is_the_same_every_time() -> None:
    data = photo(fill(draw_blank(), "name", "date"))

    assert look(data) == look(data)


def test_look_at_a_black_and_white_scan_asks_instead_of_calling_missing() -> None:
    page = fill(draw_blank(), "name", "signature").convert("1", dither=Image.Dither.NONE)

    finding = look(save(page, "PNG"))

    found = {item.region.id: item for item in finding.findings}
    assert found["name"].seen is Seen.PRESENT
    assert found["date"].seen is Seen.CANNOT_TELL
    assert "black and white" in found["date"].why


def test_look_asks_about_a_place_outside_the_picture() -> None:
    page = fill(draw_blank(), *NAMES)

    finding = look(save(page.crop((0, 0, page.width, round(500 * S))), "PNG"))

    found = {item.region.id: item for item in finding.findings}
    assert found["stamp"].seen is Seen.CANNOT_TELL
    assert "outside the picture" in found["stamp"].why
    assert found["signature"].seen is Seen.PRESENT


def test_look_asks_about_a_place_that_is_covered() -> None:
    page = fill(draw_blank(), *NAMES)
    # A red flag stuck over the place of the date and its rule.
    page.paste((200, 60, 50), (round(335 * S), round(300 * S), round(485 * S), round(350 * S)))

    finding = look(photo(page))

    found = {item.region.id: item for item in finding.findings}
    assert found["date"].seen is Seen.CANNOT_TELL
    assert "lies over" in found["date"].why
    assert found["signature"].seen is Seen.PRESENT


def test_look_lines_up_without_codes_and_says_so() -> None:
    page = fill(draw_blank(), "name", "signature")
    for left, bottom, right, top in code_rects(WIDTH, HEIGHT):
        upper, lower = round((HEIGHT - top - 2) * S), round((HEIGHT - bottom + 2) * S)
        page.paste((255, 255, 255), (round((left - 2) * S), upper, round((right + 2) * S), lower))

    finding = look(save(page.rotate(2, fillcolor="white"), "JPEG"))

    assert (finding.page, finding.how) == (0, "print")
    assert "without corner codes" in finding.why
    assert seen(finding)["name"] is Seen.PRESENT
    assert seen(finding)["date"] is Seen.MISSING


def test_look_at_a_page_of_another_form_says_so() -> None:
    finding = look(photo(fill(draw_blank(code="OTHERB"), *NAMES)))

    assert (finding.page, finding.findings, finding.marked) == (None, (), b"")
    assert "another form" in finding.why
    assert "OTHERB" in finding.why


def test_look_at_a_page_the_form_does_not_have_says_so() -> None:
    finding = look(photo(draw_blank(page=3)))

    assert finding.page is None
    assert finding.why == "The corner codes name page 4, which this form does not have."


def test_look_at_a_page_too_small_in_the_picture_says_so() -> None:
    page = draw_blank().resize((540, 700), Image.Resampling.LANCZOS)
    desk = Image.new("RGB", (900, 1100), (200, 200, 200))
    desk.paste(page, (150, 150))

    finding = look(save(desk, "PNG"))

    assert finding.page is None
    assert "too small" in finding.why or "lined up" in finding.why


def test_look_asks_about_places_that_are_not_on_the_page() -> None:
    beside = (
        region("right of it", "text", 700, 100, 800, 120),
        region("above it", "check", 100, -40, 112, -28),
        region("below it", "date", 100, 800, 200, 820),
        region("partly", "date", 560, 780, 700, 820),
        region("a line", "signature", 100, 300, 300, 300),
    )

    finding = look(photo(draw_blank()), beside)

    assert list(seen(finding).values())[:3] == [Seen.CANNOT_TELL] * 3
    assert seen(finding)["a line"] is Seen.CANNOT_TELL
    assert all(found.crop.startswith(b"\x89PNG") for found in finding.findings)


def test_look_tells_the_pages_of_a_scan_apart() -> None:
    pages = [draw_blank(page=1), fill(draw_blank(page=0), *NAMES)]
    data = save(pages[0], "TIFF", save_all=True, append_images=pages[1:])

    findings = look_at_pictures([("scan.tif", data)], [blank(0), blank(1)], REGIONS, form_code=CODE)

    assert [(found.picture, found.page, len(found.findings)) for found in findings] == [
        ("scan.tif page 1", 1, 0),
        ("scan.tif page 2", 0, 5),
    ]


def plain(**changes: float) -> Ink:
    """The measure of a well-filled writing line."""
    values: dict[str, float] = {
        "area": 300,
        "cover": 0.6,
        "extent": 20,
        "count": 6,
        "diagonal": 60,
        "contrast": 0.5,
        "part": 0.06,
        "crossing": 0,
        "stain": 0,
        "relief": 1,
        "light": 180,
        "tint": 0,
        "outside": 0,
    }
    return Ink(**(values | changes))  # type: ignore[arg-type]


NOTHING = {"area": 0, "cover": 0, "extent": 0, "count": 0, "diagonal": 0, "contrast": 0, "part": 0}


@pytest.mark.parametrize(
    ("kind", "changes", "expected", "words"),
    [
        ("signature", {}, Seen.PRESENT, "ink of the right size"),
        ("signature", NOTHING, Seen.MISSING, "Sign"),
        ("notary-signature", NOTHING, Seen.MISSING, "notary"),
        ("notary-stamp", NOTHING, Seen.MISSING, "shade"),
        ("notary-stamp", NOTHING | {"relief": 2.5}, Seen.CANNOT_TELL, "shaded with a pencil"),
        ("text", NOTHING | {"stain": 40}, Seen.CANNOT_TELL, "coffee"),
        ("text", {"crossing": 900}, Seen.CANNOT_TELL, "runs across"),
        ("date", {"light": 20}, Seen.CANNOT_TELL, "too dark"),
        ("date", {"tint": 0.6}, Seen.CANNOT_TELL, "lies over"),
        ("date", {"outside": 0.5}, Seen.CANNOT_TELL, "outside"),
    ],
)
def test_judge_says_what_to_do(
    kind: str, changes: dict[str, float], expected: Seen, words: str
) -> None:
    verdict = judge(plain(**changes), kind, two_level=False, covered=False)

    assert verdict.seen is expected
    assert words in verdict.why


def test_judge_asks_when_the_print_around_was_not_found() -> None:
    verdict = judge(plain(), "signature", two_level=False, covered=True)

    assert verdict.seen is Seen.CANNOT_TELL


@pytest.mark.parametrize("kind", ["signature", "text", "date", "check", "notary-stamp"])
def test_score_rises_from_nothing_to_plenty(kind: str) -> None:
    assert compute_score(plain(**NOTHING), kind) < 0.05
    assert compute_score(plain(area=900, count=15, part=0.3), kind) > PRESENT_FROM


def test_weights_cover_every_group_of_kinds() -> None:
    groups = {find_group(kind) for kind in ("signature", "title", "date", "check", "notary-stamp")}

    assert set(load_weights()) == groups
