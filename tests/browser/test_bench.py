"""The bench in a browser: one thumb, two people, no network; and type and ink as a gloved hand needs them."""

from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.conftest import DESK, PHONE, Desk, entered, going_from, made, running

TUESDAY = datetime(2026, 11, 24, 10, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory):
    folder = made(tmp_path_factory.mktemp("bench") / "shop", TUESDAY)
    with running(folder, **going_from(TUESDAY)) as up:
        yield up


def at_the_bench(browser: Browser, desk: Desk, name: str, **options: object) -> Page:
    page = entered(browser, desk, name, **options)
    page.goto("/bench/")
    return page


def slip(page: Page):
    return page.locator(".undo > p")


def test_begin_and_finish_at_the_thumb_and_undo_in_one_tap(browser, desk):
    page = at_the_bench(browser, desk, "Tobias", viewport=PHONE, has_touch=True)
    main = page.locator(".act .do-main")
    name = page.locator(".ready .step").inner_text()
    box = main.bounding_box()
    assert box["height"] >= 80
    assert box["y"] + box["height"] > PHONE["height"] * 0.7  # where the thumb is
    expect(main).to_contain_text("Begin")
    main.tap()
    expect(page.locator(".ready .clock")).to_be_visible()
    expect(page.locator(".ready .step")).to_have_text(name)
    expect(slip(page)).to_contain_text("Kept.")
    page.locator(".undo").get_by_role("button", name="Undo").tap()
    expect(page.locator(".ready .clock")).to_have_count(0)
    assert page.told == []


def test_two_at_the_bench_see_one_shop(browser, desk):
    ines = at_the_bench(browser, desk, "Ines", viewport=DESK)
    tobias = at_the_bench(browser, desk, "Tobias", viewport=PHONE)
    tobias.locator("summary", has_text="Note").click()
    form = tobias.locator("#deed-note")
    form.get_by_label("Note").fill("drawer runs dry")
    form.get_by_role("button", name="Note").click()
    expect(slip(tobias)).to_contain_text("drawer runs dry")
    ines.goto("/bench/?who=Tobias")
    expect(slip(ines)).to_contain_text("drawer runs dry")
    assert ines.told == tobias.told == []


def test_without_the_network_entries_wait_and_go_when_it_is_back(browser, desk):
    page = at_the_bench(browser, desk, "Ines", viewport=PHONE)
    page.context.set_offline(True)
    page.locator("#deed-stir-C").get_by_role("button").click()
    expect(page.locator("#unsent")).to_contain_text("1 entry waits for the network.")
    page.locator("summary", has_text="Air").click()
    page.locator("#deed-air").get_by_label("Temperature").fill("18")
    page.locator("#deed-air").get_by_label("Humidity").fill("55")
    page.locator("#deed-air").get_by_role("button").click()
    expect(page.locator("#unsent")).to_contain_text("2 entries wait for the network.")
    page.context.set_offline(False)
    expect(page.locator("#unsent")).to_be_hidden(timeout=20000)
    page.goto("/bench/")
    expect(page.locator(".air")).to_contain_text("18 °C, 55 %")
    expect(page.locator("#deed-stir-C")).to_have_count(0)


def test_what_is_amiss_is_said_beside_and_what_was_typed_stays(browser, desk):
    page = at_the_bench(browser, desk, "Ines", viewport=PHONE)
    page.locator("summary", has_text="Minutes").click()
    form = page.locator("#deed-minutes")
    form.get_by_label("How long").fill("soon")
    form.get_by_role("button").click()
    expect(page.locator("#deed-minutes .faults")).to_contain_text("soon")
    expect(page.locator("#deed-minutes").get_by_label("How long")).to_have_value("soon")


def test_without_scripts_the_keys_post_all_the_same(browser, desk):
    page = at_the_bench(browser, desk, "Tobias", viewport=PHONE, java_script_enabled=False)
    page.goto("/bench/")
    page.locator("summary", has_text="Note").click()
    page.locator("#deed-note").get_by_label("Note").fill("no script at all")
    page.locator("#deed-note").get_by_role("button").click()
    expect(slip(page)).to_contain_text("no script at all")


# Every text that is seen: its size, its contrast with what is under it, and whether it is one of the large kinds.
LARGE = (
    ".ready .step, .ready .step-of, .takes b, .clock b, .reach .yes, .reach .by-how, .wait .left, .bench-top time, "
    ".air > p:first-of-type b, .do-main"
)
TYPE_AND_INK = """(large) => {
  const numbers = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const linear = (part) => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  const light = (colour) => {
    const [r, g, b] = numbers(colour).map((part) => linear(part / 255));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const under = (node) => {
    const ground = node && getComputedStyle(node).backgroundColor;
    return !node ? 'rgb(255, 255, 255)' : numbers(ground)[3] === 0 ? under(node.parentElement) : ground;
  };
  const found = [];
  for (const node of document.querySelectorAll('body *')) {
    const said = [...node.childNodes].filter((one) => one.nodeType === 3).map((one) => one.data.trim()).join('');
    const seen = node.getClientRects().length && !node.closest('.unseen, .skip, svg, option, script, [hidden]');
    if (!said || !seen) continue;
    const style = getComputedStyle(node);
    const [ink, ground] = [light(style.color), light(under(node))];
    const ratio = (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
    found.push([said.slice(0, 40), parseFloat(style.fontSize), ratio, !!node.closest(large) && !node.closest('small')]);
  }
  return found;
}"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("view", [PHONE, DESK], ids=["phone", "desk"])
def test_names_amounts_clocks_and_the_key_are_32_px_in_ink_7_to_1_and_the_rest_18_px(browser, desk, view, scheme):
    # WCAG 2.2, success criteria 1.4.3 and 1.4.6: contrast 4.5 to 1 at least, 7 to 1 enhanced; relative luminance as
    # defined there. The sizes are this shop's own: what a wet phone at arm's length needs.
    page = at_the_bench(browser, desk, "Ines", viewport=view, color_scheme=scheme)
    for summary in page.locator("details:not([open]) > summary").all():
        if summary.is_visible():
            summary.click()
    said = page.evaluate(TYPE_AND_INK, LARGE)
    large = [one for one in said if one[3]]
    assert len(large) >= 3
    assert [one for one in large if one[1] < 32 or one[2] < 7] == []
    assert [one for one in said if one[1] < 18 or one[2] < 4.5] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.told == []
