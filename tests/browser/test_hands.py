"""What hands do: three taps for a small job, all by keys, two at one document, and the first morning of a shop."""

import re
import time
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from browser.conftest import DESK, PASSWORD, PHONE, entered, opened, running


def test_a_small_job_is_over_in_three_taps(browser, shop):
    page = entered(browser, shop, "Tobias", viewport=PHONE, has_touch=True)
    job = page.locator(".job-line", has_text="hinge screws pulled")
    job.get_by_role("button", name="Done").tap()
    expect(job.get_by_role("button", name="Done")).to_have_attribute("aria-pressed", "true")
    job.get_by_role("button", name="Paid").tap()
    expect(job.get_by_role("button", name="Paid")).to_have_attribute("aria-pressed", "true")
    job.get_by_role("button", name="Out", exact=True).tap()
    expect(job).to_have_count(0)
    page.goto("/p/J24/")
    expect(page.locator("main")).to_contain_text("7 of 7: Out")
    assert page.told == []


AT = """() => {
  const node = document.activeElement, box = node.getBoundingClientRect();
  const label = node.labels?.[0]?.innerText || '';
  return {words: (node.getAttribute('aria-label') || label || node.innerText || '').trim(), tag: node.tagName,
    seen: node.matches(':focus-visible') && (getComputedStyle(node).outlineStyle !== 'none' || node.matches('.unseen')),
    within: box.bottom > 0 && box.top < innerHeight};
}"""


def tab_to(page: Page, words: str, most: int = 120) -> None:
    """On by the tab key, to what bears the words; wherever one stands on the way, it shows."""
    for _ in range(most):
        page.keyboard.press("Tab")
        here = page.evaluate(AT)
        if here["tag"] == "BODY":
            continue
        assert here["seen"], f"nothing shows that {here['words']!r} has the keys"
        assert here["within"], f"{here['words']!r} has the keys out of sight"
        if re.search(words, here["words"]):
            return
    pytest.fail(f"{words!r} can't be reached by keys")


def test_all_by_keys_enter_find_log_and_undo(browser, shop):
    page = opened(browser, shop, viewport=DESK)
    page.goto("/enter/")
    tab_to(page, "^Your name")
    page.keyboard.type("Tobias")
    tab_to(page, "^Password")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "/enter/" not in url)

    tab_to(page, "^Find: a surname")
    page.keyboard.type("Penwhistle")
    page.keyboard.press("Enter")
    page.wait_for_url("**/find/?q=Penwhistle")
    tab_to(page, "Windsor")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Windsor")

    tab_to(page, "^Bench$")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Bench")
    tab_to(page, "^Minutes$")
    page.keyboard.press("Enter")
    tab_to(page, "^How long")
    page.keyboard.type("25 min")
    page.keyboard.press("Enter")
    expect(page.locator(".undo > p")).to_contain_text("25 min")
    tab_to(page, "^Undo")
    page.keyboard.press("Enter")
    expect(page.locator("main")).not_to_contain_text("25 min")
    assert page.told == []


def test_two_who_change_the_same_are_shown_both_and_what_differs_merges(browser, shop):
    ines, tobias = (entered(browser, shop, name, viewport=DESK) for name in ("Ines", "Tobias"))
    for page in (ines, tobias):
        page.goto("/p/D4/survey/piece/")
    ines.get_by_label("What you call it").fill("Pine dresser, rack and base")
    ines.get_by_label("Note", exact=True).fill("rack to be pinned to the wall")
    ines.get_by_role("button", name="Keep", exact=True).click()
    expect(ines).not_to_have_url(re.compile("survey/piece"))
    tobias.get_by_label("Whose it is").fill("Brambleworth-Hay")
    tobias.get_by_label("Note", exact=True).fill("rack stays loose")
    tobias.get_by_role("button", name="Keep", exact=True).click()
    both = tobias.locator("fieldset", has_text="two versions")
    expect(both).to_have_count(1)
    expect(both).to_contain_text("rack to be pinned to the wall", ignore_case=True)
    expect(both).to_contain_text("rack stays loose", ignore_case=True)
    both.get_by_label("(yours)").check()
    tobias.get_by_role("button", name="Keep", exact=True).click()
    tobias.goto("/p/D4/survey/piece/")
    expect(tobias.get_by_label("What you call it")).to_have_value("Pine dresser, rack and base")
    expect(tobias.get_by_label("Whose it is")).to_have_value("Brambleworth-Hay")
    expect(tobias.get_by_label("Note", exact=True)).to_have_value("rack stays loose")
    assert ines.told == []


def told_code(log: Path) -> str:
    """The code that the terminal tells, once the desk answers."""
    for _ in range(100):
        if told := re.search(r"with this code, once: (\S+)", log.read_text("utf-8")):
            return told[1]
        time.sleep(0.1)
    pytest.fail(f"no code in the terminal:\n{log.read_text('utf-8')}")


def test_the_first_morning_of_a_shop(browser, tmp_path):
    folder = tmp_path / "shop"
    folder.mkdir()
    with running(folder) as desk:
        code = told_code(tmp_path / "shop.log")
        page = opened(browser, desk, viewport=PHONE)
        page.goto("/")
        for said, gone_in in (("ABCD-EFGH", False), (code, True)):
            page.get_by_label("The code in the terminal").fill(said)
            page.get_by_label("Your name").fill("Marthe")
            page.get_by_label("A password").fill(PASSWORD)
            if not gone_in:
                assert Axe().run(page).violations_count == 0
            page.get_by_role("button", name="Open the shop").click()
            if not gone_in:
                expect(page.locator("main")).to_contain_text("That is not the code")
                page.told.clear()  # a browser notes each refusal as an error of its own
        expect(page.get_by_role("heading", level=1)).to_have_text("Stock")
        assert Axe().run(page).generate_snapshot() == ""
        page.goto("/first-owner/")
        expect(page).to_have_url(re.compile("/(enter/)?$"))  # once, and never again
        for place in ("/bench/", "/wall/", "/cupboard/", "/books/", "/shop/"):
            page.goto(place)
            expect(page.get_by_role("heading", level=1)).to_be_visible()
            assert Axe().run(page).generate_snapshot() == "", place
        assert page.told == []
