"""Twelve parts of the Windsor chair off and back: each by the address that its tag's code holds."""

from playwright.sync_api import Page, expect

from browser.conftest import PHONE, Desk, entered

TWELVE = 12


def tags_of(page: Page, piece: str) -> list[str]:
    """The codes of the parts, as the page of tags lists them."""
    page.goto(f"/p/{piece}/tags/")
    codes = page.locator("main input[name=part]").evaluate_all("(all) => all.map((one) => one.value)")
    return list(dict.fromkeys(codes))


def test_twelve_parts_off_and_back_by_their_tags(browser, shop: Desk):
    page = entered(browser, shop, "Tobias", viewport=PHONE, has_touch=True)
    codes = tags_of(page, "W2")[:TWELVE]
    assert len(codes) == TWELVE

    for code in codes:
        page.goto(f"/p/W2/{code}")  # what the tag's code says
        key = page.locator(".do-main")
        expect(key).to_have_text(f"{code} is off")
        key.tap()
        expect(page.locator(".do-main")).to_contain_text(f"{code} is back")
    page.goto("/p/W2/apart/")
    expect(page.locator("main")).to_contain_text(f"{TWELVE} parts off")

    # not together while anything is out, and it says what
    page.goto("/p/W2/together/")
    expect(page.locator("#isit")).to_contain_text("Not together yet")
    in_order = [one.inner_text().strip() for one in page.locator("ol.backs > li p:first-child > a").all()]
    assert sorted(in_order) == sorted(codes)
    assert in_order.index("LEG-BR") < in_order.index("BOW")  # no step of the plan binds these: last off, first back

    for code in in_order:
        page.goto(f"/p/W2/{code}")
        expect(page.get_by_role("heading", name="Where it goes")).to_be_visible()
        key = page.locator(".do-main")
        expect(key).to_contain_text(f"{code} is back")
        key.tap()
        expect(page.locator(".do-main")).to_have_text(f"{code} is off")
    page.goto("/p/W2/together/")
    expect(page.locator("#isit")).to_contain_text("All that came off is back, every fixing has its ending")
    assert page.told == []


def test_a_part_that_came_off_by_mistake_is_undone_in_one_tap(browser, shop: Desk):
    page = entered(browser, shop, "Tobias", viewport=PHONE, has_touch=True)
    code = tags_of(page, "W2")[0]
    page.goto(f"/p/W2/{code}")
    page.locator(".do-main").tap()
    expect(page.locator(".do-main")).to_contain_text(f"{code} is back")
    page.get_by_role("button", name="Undo").first.tap()
    expect(page.locator("main")).not_to_contain_text(f"{code} is back")
    page.goto(f"/p/W2/{code}")
    expect(page.locator(".do-main")).to_have_text(f"{code} is off")
    assert page.told == []
