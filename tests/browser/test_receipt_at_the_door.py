"""The handing-in receipt on a phone: damage touched on its photograph, and signed with a finger."""

import shutil

import pytest
from playwright.sync_api import expect

import pieces
from browser.conftest import PHONE, entered, going_from, running


@pytest.fixture
def own_shop(demo_folder, tmp_path):
    shutil.copytree(demo_folder, tmp_path / "shop")
    with running(tmp_path / "shop", **going_from(pieces.NOW)) as up:
        yield up


def test_damage_is_touched_where_it_is_and_has_its_number_from_then_on(browser, own_shop):
    page = entered(browser, own_shop, "Ines", viewport=PHONE, has_touch=True)
    chest = pieces.chest()
    page.goto(f"/p/{chest.id}/receipt/")
    picture = page.locator("#damage-picture svg")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    number = str(len(chest.condition) + 1)
    picture.click(position={"x": box["width"] * 0.25, "y": box["height"] * 0.5})
    expect(picture.locator(".just-marked text")).to_have_text(number)
    row = page.locator("#damages li")
    expect(row.get_by_label("What is amiss here")).to_be_focused()
    picture.click(position={"x": box["width"] * 0.75, "y": box["height"] * 0.5})
    row.nth(1).get_by_role("button", name="Take away").tap()
    expect(picture.locator(".just-marked")).to_have_count(1)
    row.get_by_label("What is amiss here").select_option(label="Stain")
    row.get_by_label("Where, in words").fill("left of the lock")
    page.get_by_label("Keys").fill("2")
    page.get_by_label("What was found").first.fill("a letter")
    page.get_by_label("Given back").first.select_option(label="Yes")
    page.get_by_label("Handed in by").fill("Mx Penwhistle")

    pad = page.locator("#signature-pad")
    pad.scroll_into_view_if_needed()
    at = pad.bounding_box()
    page.mouse.move(at["x"] + 20, at["y"] + 20)
    page.mouse.down()
    page.mouse.move(at["x"] + 120, at["y"] + 60, steps=5)
    page.mouse.up()
    page.get_by_role("button", name="Sign", exact=True).tap()

    page.wait_for_url("**/p/*/")
    expect(page.locator("svg.marked desc")).to_have_text(f"{number}, stain: left of the lock: middle left.")
    page.goto(f"/p/{chest.id}/survey/handed_in/")
    expect(page.get_by_label("Keys")).to_have_value("2")
    assert page.told == []
