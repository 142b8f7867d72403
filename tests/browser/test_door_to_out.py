"""A piece, from the door to out, as two people take it there with a phone."""

import io
import re

from PIL import Image, ImageDraw
from playwright.sync_api import expect

from browser.conftest import PHONE, entered

CODE = "T9"


def photograph_of(words: str) -> dict[str, object]:
    """A photograph from a phone: large, and turned only by what its camera noted."""
    picture = Image.new("RGB", (1600, 1200), "#8a5a3c")
    ImageDraw.Draw(picture).rectangle((300, 200, 1300, 1000), outline="#3b2a20", width=20)
    turned = Image.Exif()
    turned[0x0112] = 6  # EXIF 2.32, tag Orientation: the camera was held upright
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=turned)
    return {"name": f"{words}.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def test_from_the_door_to_out(browser, shop):
    page = entered(browser, shop, "Ines", viewport=PHONE, has_touch=True)

    # at the door: ten facts and a photograph
    page.get_by_role("link", name="A new piece at the door").tap()
    page.locator("input[name=photograph]").set_input_files([photograph_of("front")])  # type: ignore[list-item]
    page.get_by_label("What it is", exact=True).select_option(label="Box")
    page.get_by_label("What you call it").fill("Oak tea box")
    page.get_by_label("Whose it is").fill("Wetherby")
    page.get_by_label("Code on its tape").fill(CODE)
    page.get_by_label("How it came").select_option("customer's")
    page.get_by_label("Size: wide × deep × high").fill("300 x 180 x 160 mm")
    page.get_by_label("Wood that shows").fill("oak")
    page.get_by_label("When it was made").fill("about 1860")
    page.get_by_label("The old finish").select_option(label="Shellac")
    page.get_by_label("Scratch").check()
    page.get_by_label("What came with it").fill("a key")
    page.get_by_role("button", name="Keep it, and plan").tap()

    # its first plan
    page.wait_for_url("**/p/*/")
    piece = page.url
    expect(page.get_by_role("heading", level=1)).to_have_text("Oak tea box")
    expect(page.locator("main")).to_contain_text("Most worth finding out")
    assert page.locator("ol.steps > li").count() > 2
    page.locator("img.seen").scroll_into_view_if_needed()
    upright = "(one) => one.decode().then(() => one.naturalHeight > one.naturalWidth)"
    assert page.locator("img.seen").evaluate(upright)

    # a way is chosen, a price agreed
    page.get_by_label("Choose one below, because").fill("its owner wants it to look used")
    page.locator(".ways .way").filter(has=page.get_by_role("button", name="Choose this")).first.get_by_role(
        "button"
    ).tap()
    expect(page.locator(".way.chosen")).to_have_count(1)
    page.get_by_label("Price agreed").fill("£180")
    page.get_by_label("Why", exact=True).first.fill("as said at the door")
    page.get_by_role("button", name="Accept this price").tap()
    expect(page.locator("main")).to_contain_text("3 of 7: Quoted")

    # a part is born as it comes off: photograph, tap, name, off
    page.get_by_role("link", name="Taking apart").tap()
    page.get_by_role("link", name=re.compile("A new part is off|A part that has no code is off")).first.tap()
    picture = page.locator("svg.marked").first
    expect(picture).to_be_visible()
    picture.click(position={"x": 120, "y": 90})
    page.locator(".names label", has_text=re.compile("lid", re.I)).first.tap()
    page.get_by_role("button", name="Off", exact=True).tap()
    expect(page.locator("main")).to_contain_text("LID is off. Tie its tag on")
    page.get_by_role("link", name="Taking apart").tap()
    expect(page.locator("main")).to_contain_text("1 part off")

    # two days at the bench
    page.goto("/bench/")
    page.get_by_label("The day in a line").fill(f"3 h {CODE}")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator(".undo > p")).to_contain_text("Kept.")

    # together, and out
    page.goto(f"{piece}together/")
    page.get_by_role("button", name=re.compile("is back")).first.tap()
    expect(page.locator("#isit")).to_contain_text("All that came off is back")
    page.goto(piece)
    expect(page.locator("main")).to_contain_text("6 of 7: Together")
    page.get_by_label("To", exact=True).select_option(label="Out")
    page.get_by_role("button", name="Move it").tap()
    expect(page.locator("main")).to_contain_text("7 of 7: Out")
    page.goto("/find/?q=Wetherby")
    expect(page.locator("main")).to_contain_text("Oak tea box")
    assert page.told == []
