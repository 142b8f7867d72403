"""Takes the pictures of the desk for README and docs: the demo shop, its clock at a Tuesday morning.

    python docs/pictures/take.py [NAME …]    all of them, or those named, such as desk/bench.png

Needs what the browser tests need. Each picture is one or more windows side by side, in few colours.
"""

import sys
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1] / "tests")]

from PIL import Image  # noqa: E402
from playwright.sync_api import Browser, sync_playwright  # noqa: E402

from browser.conftest import BROWSER, DESK, PHONE, Desk, entered, made, running  # noqa: E402

TUESDAY = datetime(2026, 11, 24, 10, 40, tzinfo=UTC)
COLOURS = 192
APART = 10  # of 255 in any of red, green, blue: nearer ones are told as one
GAP = 24  # px between windows, at one px a CSS px
MARGIN = (214, 213, 205)


@dataclass(frozen=True)
class Window:
    """A page in a window: its address, the window's size, by day or by night, and what stands at its upper edge."""

    address: str
    size: dict[str, int]
    scheme: str = "light"
    top: str = "body"


# Each picture: columns from left to right, each of windows from above to below; its scale in px a CSS px of the first.
PICTURES: dict[str, tuple[float, list[list[Window]]]] = {
    "desk.png": (1.35, [[Window("/bench/", PHONE)], [Window("/p/C1/", DESK), Window("/cupboard/", DESK)]]),
    "desk/door.png": (
        1.35,
        [[Window("/new/", PHONE)], [Window("/p/W2/", PHONE)], [Window("/p/W2/", PHONE, top=".kmn .missing")]],
    ),
    "desk/apart.png": (1.0, [[Window("/p/C1/apart/", DESK)]]),
    "desk/parts.png": (1.35, [[Window("/p/S8/BACK", PHONE)], [Window("/p/S8/together/", PHONE, top="#back")]]),
    "desk/bench.png": (1.35, [[Window("/bench/", PHONE)], [Window("/bench/", PHONE, "dark")]]),
    "desk/wall.png": (1.0, [[Window("/wall/", DESK)]]),
}


def seen(browser: Browser, desk: Desk, window: Window) -> Image.Image:
    """What the window shows, two px a CSS px."""
    page = entered(browser, desk, "Ines", viewport=window.size, color_scheme=window.scheme, device_scale_factor=2)
    page.goto(window.address)
    page.evaluate("document.fonts.ready")
    page.locator(window.top).evaluate("(one) => scrollTo(0, scrollY + one.getBoundingClientRect().top - 24)")
    file = desk.folder.parent / "window.png"
    page.screenshot(path=file)
    page.context.close()
    with Image.open(file) as taken:
        return taken.convert("RGB")


def joined(columns: list[list[Image.Image]], scale: float) -> Image.Image:
    """The windows side by side, each column as high as the first."""
    high = round(columns[0][0].height / 2 * scale)
    gap = round(GAP * scale)
    shrunk = [[_as_high(one, (high - gap * (len(column) - 1)) // len(column)) for one in column] for column in columns]
    wide = sum(column[0].width for column in shrunk) + gap * (len(shrunk) + 1)
    sheet = Image.new("RGB", (wide, high + 2 * gap), MARGIN)
    left = gap
    for column in shrunk:
        top = gap
        for one in column:
            sheet.paste(one, (left, top))
            top += one.height + gap
        left += column[0].width + gap
    return sheet if len(columns) > 1 or len(columns[0]) > 1 else shrunk[0][0]


def in_few_colours(picture: Image.Image) -> Image.Image:
    """The picture in its commonest colours as they are: paper stays paper, red stays red."""
    kept: list[tuple[int, int, int]] = []
    for _, colour in sorted(picture.getcolors(picture.width * picture.height), reverse=True):
        if len(kept) == COLOURS:
            break
        if all(max(abs(one - other) for one, other in zip(colour, had, strict=True)) > APART for had in kept):
            kept.append(colour)
    palette = Image.new("P", (1, 1))
    palette.putpalette([part for colour in kept for part in colour])
    return picture.quantize(palette=palette, dither=Image.Dither.NONE)


def _as_high(picture: Image.Image, high: int) -> Image.Image:
    return picture.resize((round(picture.width * high / picture.height), high), Image.Resampling.LANCZOS)


def main(names: list[str]) -> None:
    """Takes the pictures of these names, all where none is named."""
    strange = [name for name in names if name not in PICTURES]
    if strange:
        sys.exit(f"{', '.join(strange)}: no such picture; there are {', '.join(PICTURES)}")
    with tempfile.TemporaryDirectory() as passing, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=BROWSER, args=["--no-sandbox", "--disable-gpu"])
        with running(made(Path(passing) / "shop", TUESDAY), WITNESSMARK_NOW=TUESDAY.isoformat()) as desk:
            for name in names or PICTURES:
                scale, columns = PICTURES[name]
                picture = joined([[seen(browser, desk, one) for one in column] for column in columns], scale)
                file = HERE / name
                file.parent.mkdir(exist_ok=True)
                in_few_colours(picture).save(file, optimize=True)
                print(
                    f"{file.relative_to(HERE)}: {picture.width} × {picture.height}, {file.stat().st_size / 1024:.0f} kB"
                )


if __name__ == "__main__":
    main(sys.argv[1:])
