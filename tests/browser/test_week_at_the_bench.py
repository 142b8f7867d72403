"""A week at the bench in two browsers: each sees what the other wrote; a clock left running asks next morning."""

import shutil
from datetime import UTC, datetime

from playwright.sync_api import Page, expect

from browser.conftest import DESK, PHONE, entered, free_port, going_from, running

MONDAY = datetime(2026, 11, 30, 8, 30, tzinfo=UTC)


def says(page: Page, line: str) -> None:
    """The day in a line."""
    page.get_by_label("The day in a line").fill(line)
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator(".undo > p")).to_contain_text("Kept.")


def test_a_week_at_the_bench_in_two_browsers(browser, demo_folder, tmp_path):
    folder = shutil.copytree(demo_folder, tmp_path / "shop")
    port = free_port()

    def on(day: int):
        return running(folder, port=port, **going_from(MONDAY.replace(day=day, month=11 if day == 30 else 12)))

    with on(30) as desk:
        ines = entered(browser, desk, "Ines", viewport=DESK)
        tobias = entered(browser, desk, "Tobias", viewport=PHONE, has_touch=True)
        ines.goto("/bench/")
        begun = ines.locator(".ready .step").inner_text()
        ines.locator(".act .do-main").click()
        expect(ines.locator(".ready .clock")).to_be_visible()
        tobias.goto("/bench/")
        says(tobias, "2 h S8")
        ines.goto("/bench/?who=Tobias")
        expect(ines.locator(".undo > p")).to_contain_text("2 h")
        tobias.goto("/bench/?who=Ines")
        expect(tobias.locator(".ready .step")).to_have_text(begun)
        expect(tobias.locator(".ready .clock")).to_be_visible()

    with on(1):  # it ran all night: she says how long it was
        ines.goto("/bench/")
        asked = ines.locator(".ask-clock")
        expect(asked).to_contain_text("left running")
        asked.get_by_label("It was").fill("3 h")
        asked.get_by_role("button").first.click()
        expect(ines.locator(".ask-clock")).to_have_count(0)
        tobias.goto("/bench/")
        key = tobias.locator(".act .do-main")
        key.tap()
        expect(key).not_to_contain_text("Begin")
        key.tap()
        expect(tobias.locator(".undo > p")).to_contain_text("Kept.")

    with on(4):  # Friday: a note each, the air, and round before the door is locked
        for page, words in ((ines, "1 h 30 min C1"), (tobias, "45 min S8")):
            page.goto("/bench/")
            says(page, words)
        tobias.goto("/bench/")
        tobias.locator("summary", has_text="Go round and tick").tap()
        closing = tobias.locator(".closing form")
        for tick in closing.locator("input[type=checkbox]").all():
            tick.check()
        closing.get_by_role("button").tap()
        expect(tobias.locator(".closing")).to_contain_text("Tobias checked at")
        ines.goto("/bench/")
        expect(ines.locator(".closing")).to_contain_text("Tobias checked at")
        ines.goto("/p/S8/daybook/")
        expect(ines.locator("main")).to_contain_text("2 h")
        expect(ines.locator("main")).to_contain_text("45 min")
        assert ines.told == tobias.told == []
