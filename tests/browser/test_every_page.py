"""Every page, on a phone and at the computer, by day and by night: nothing amiss, nothing unseen, nothing out of reach.

The addresses are found by walking the desk's own; one whose arguments nobody gave here fails.
"""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import Resolver404, resolve
from playwright.sync_api import Browser, Page

from addresses import addresses
from browser.conftest import DESK, PHONE, Desk, entered, opened

# Web Content Accessibility Guidelines 2.2, levels A and AA (W3C, 2023), and the rules axe-core calls best practice.
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
         "resultTypes": ["violations"]}  # fmt: skip
INK = {"runOnly": {"type": "rule", "values": ["color-contrast"]}, "resultTypes": ["violations"]}

# What stands for an argument of an address: something the demo shop has.
ARGUMENTS = {
    "piece": "C1", "code": "TOP", "table": "part", "row": "1", "about": "wood", "stage": "apart", "name": "quotation",
    "jar": "C", "month": "2026-11", "day": "2026-11-24", "person": "Tobias", "number": "1", "paper": "plan",
    "entry": "1", "phone": "1", "size": "small", "kept": "costs", "several": "room",
}  # fmt: skip
# Arguments that are looked up on a page, since they are made anew with each shop: where, and what finds them.
LOOKED_UP = {
    "sha256": ("/p/C1/apart/", r"/p/[^/]+/photographs/([0-9a-f]{64})/"),
}
# More to see at an address: other pieces, other states of the same page.
ALSO = {
    "stock": ["/?by=waits", "/?stage=out"],
    "find": ["/find/?q=Penwhistle", "/find/?q=nobody+of+that+name"],
    "piece": ["/p/W2/", "/p/D4/", "/p/S8/", "/p/G5/", "/p/J22/"],
    "apart": ["/p/S8/apart/", "/p/W2/apart/"],
    "together": ["/p/S8/together/"],
    "part": ["/p/S8/DR1"],
    "readings": ["/p/C1/read/date/", "/p/C1/read/finish/"],
    "bench": ["/bench/?who=Tobias"],
    "survey_table": ["/p/C1/survey/piece/", "/p/C1/survey/condition/"],
}
OUTSIDE = {"enter"}  # seen by who has not entered
FRAGMENTS = {"names"}  # part of a page: htmx puts it into one
ELSEWHERE = {
    "first_owner": "only a shop without people shows it: see the first morning",
    "paper": "a PDF, and only where it was made before",
    "pair": "only a phone over the shop's own network",
    "lock": "only a phone that was paired",
}
PAGES = [one for one in addresses() if not one.is_api and one.name not in ELSEWHERE]


@pytest.fixture(scope="module")
def visitors(browser: Browser, shop: Desk) -> dict[str, Page]:
    """Who looks: an owner on a phone, and at the computer; and somebody at the door."""
    return {
        "phone": entered(browser, shop, "Ines", viewport=PHONE, has_touch=True),
        "computer": entered(browser, shop, "Ines", viewport=DESK),
        "phone outside": opened(browser, shop, viewport=PHONE, has_touch=True),
        "computer outside": opened(browser, shop, viewport=DESK),
    }


def address_of(pattern: str, visitor: Page) -> str:
    """The address with something of the demo shop for each argument."""

    def argument(found: re.Match[str]) -> str:
        name = found[1]
        if name in LOOKED_UP:
            where, what = LOOKED_UP[name]
            seen = re.search(what, visitor.request.get(where).text())
            assert seen, f"nothing for {{{name}}} of {pattern} at {where}"
            return seen[1]
        assert name in ARGUMENTS, f"{pattern} is new: say in ARGUMENTS or LOOKED_UP what stands for {{{name}}}"
        return ARGUMENTS[name]

    return re.sub(r"\{(\w+)\}", argument, pattern)


def is_page(address: str, visitor: Page) -> bool:
    """Whether it shows a page: not a paper, a picture, or something that is only posted to."""
    reply = visitor.request.get(address)
    if reply.status == 405:
        return False
    assert reply.ok, f"{address} answers {reply.status}: say in ARGUMENTS what it takes"
    return reply.headers["content-type"].startswith("text/html")


PARTS = """() => {
  const seen = (node) => node.checkVisibility();
  const wide = [...document.querySelectorAll('body *')].filter(
    (node) => node.getBoundingClientRect().right > innerWidth + 1 && seen(node) && !node.closest('svg, .unseen, .skip')
  ).map((node) => `${node.tagName}.${node.className}`);
  const named = ['for', 'aria-labelledby', 'aria-describedby', 'aria-controls'];
  return {
    heads: [...document.querySelectorAll('h1')].filter(seen).map((head) => head.innerText),
    title: document.title.trim(), over: document.documentElement.scrollWidth - innerWidth, wide: wide.slice(0, 6),
    hrefs: [...document.querySelectorAll('a[href]')].map((link) => link.getAttribute('href')),
    lost: [...document.querySelectorAll('a[href^="#"], [for], [aria-labelledby], [aria-describedby], [aria-controls]')]
      .flatMap((node) => [(node.getAttribute('href') || '').replace(/^[^#]*#?/, ''),
        ...named.flatMap((key) => (node.getAttribute(key) || '').split(' '))])
      .filter((id) => id && !document.getElementById(id)),
  };
}"""
# Words that lie over other words. What stands at the foot of the window while the page moves under it is left out.
OVER = """() => {
  const unheard = 'svg, script, style, template, option, .unseen, .skip';
  const cut = (one, box) => [Math.max(one[0], box.left), Math.max(one[1], box.top),
    Math.min(one[2], box.right), Math.min(one[3], box.bottom)];
  const frames = new Map();
  const frame = (node) => {
    if (!node || node === document.documentElement) return [-1e9, -1e9, 1e9, 1e9];
    if (frames.has(node)) return frames.get(node);
    const style = getComputedStyle(node);
    let here = frame(node.parentElement);
    if (/fixed|sticky/.test(style.position)) here = null;
    else if (here && style.overflow !== 'visible') {
      const box = node.getBoundingClientRect();
      here = cut(here, box);
    }
    frames.set(node, here);
    return here;
  };
  const boxes = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let text = walk.nextNode(); text; text = walk.nextNode()) {
    const node = text.parentElement;
    if (!text.data.trim() || node.closest(unheard) || !node.checkVisibility()) continue;
    const within = frame(node), range = document.createRange();
    if (!within) continue;
    range.selectNodeContents(text);
    for (const box of range.getClientRects()) {
      const shown = cut(within, box);
      if (shown[2] - shown[0] > 2 && shown[3] - shown[1] > 2) boxes.push([...shown, text]);
    }
  }
  boxes.sort((one, other) => one[1] - other[1]);
  const found = [];
  boxes.forEach((one, at) => {
    for (let next = at + 1; next < boxes.length && boxes[next][1] < one[3]; next++) {
      const other = boxes[next], high = Math.min(one[3], other[3]) - other[1];
      const wide = Math.min(one[2], other[2]) - Math.max(one[0], other[0]);
      if (one[4] !== other[4] && wide > 3 && high > 0.45 * Math.min(one[3] - one[1], other[3] - other[1]))
        found.push(`“${one[4].data.trim().slice(0, 30)}” lies over “${other[4].data.trim().slice(0, 30)}”`);
    }
  });
  return [...new Set(found)].slice(0, 5);
}"""
COVERED = """(node) => {
  node.scrollIntoView({block: 'nearest'});
  const box = node.getBoundingClientRect();
  const there = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  return !(node === there || node.contains(there));
}"""


def amiss_on(page: Page) -> list[str]:
    """What is wrong with the page as it stands in this window."""
    seen = page.evaluate(PARTS)
    found = [] if len(seen["heads"]) == 1 else [f"one heading of the first order wanted, found {seen['heads']}"]
    found += [] if re.match(r"[^·\s].* · witnessmark$", seen["title"]) else [f"no title of its own: {seen['title']!r}"]
    found += [f"{seen['over']} px too wide: {seen['wide']}"] if seen["over"] > 0 else []
    found += [f"nothing answers at {href}" for href in seen["hrefs"] if not leads_somewhere(href)]
    found += page.evaluate(OVER)
    found += [f"points at #{one}, which is not on the page" for one in seen["lost"]]
    for key in page.locator("main .do-main, main .do").all():
        if key.is_visible() and key.evaluate(COVERED):
            found.append(f"out of reach: {key.inner_text()!r}")
    return found


def leads_somewhere(href: str) -> bool:
    if not href.startswith("/") or href.startswith("/static/"):
        return href.startswith(("#", "?", "/static/", "blob:", "data:", "mailto:"))
    try:
        resolve(re.split(r"[?#]", href)[0])
    except Resolver404:
        return False
    return True


def broken_rules(page: Page, rules: dict[str, object]) -> list[str]:
    broken = Axe().run(page, options=rules).response["violations"]
    return [
        f"{one['id']}: {one['help']}: " + "; ".join(str(node["target"]) for node in one["nodes"][:4]) for one in broken
    ]


@pytest.mark.parametrize("page_at", PAGES, ids=lambda one: one.name)
def test_every_page_is_whole_on_a_phone_and_at_the_computer_by_day_and_by_night(visitors, page_at):
    place = " outside" if page_at.name in OUTSIDE else ""
    first = address_of(page_at.pattern, visitors["phone"])
    if page_at.name in FRAGMENTS or not is_page(first, visitors[f"phone{place}"]):
        return
    faults = []
    for address in [first, *ALSO.get(page_at.name, [])]:
        for where in ("phone", "computer"):
            page = visitors[where + place]
            page.told.clear()
            page.emulate_media(color_scheme="light")
            page.goto(address)
            found = amiss_on(page)
            if address == first or where == "phone":
                found += broken_rules(page, RULES)
            if address == first or where == "computer":
                page.emulate_media(color_scheme="dark")
                found += [f"by night: {broken}" for broken in broken_rules(page, INK)]
            faults += [f"{address} on the {where}: {words}" for words in dict.fromkeys(found + page.told)]
    assert not faults, "\n" + "\n".join(faults)


def test_what_is_left_out_here_is_an_address_still():
    assert {*ELSEWHERE, *FRAGMENTS, *OUTSIDE, *ALSO} <= {one.name for one in addresses()}


@pytest.mark.parametrize(
    ("html", "words"),
    [
        ("<h1>One</h1><p style='position:absolute;top:20px;left:10px'>over it</p>", "lies over"),
        ("<h1>One</h1><h1>Two</h1>", "one heading of the first order"),
        ("<h1>One</h1><a href='/nowhere/at-all/'>on</a>", "nothing answers at /nowhere/at-all/"),
        ("<h1>One</h1><a href='#gone'>on</a>", "#gone"),
        ("<h1>One</h1><div style='width:3000px'>wide</div>", "px too wide"),
        ("<h1>One</h1><main><button class='do' style='position:absolute;top:9px'>A</button>"
         "<div style='position:fixed;inset:0'></div></main>", "out of reach"),
    ],
)  # fmt: skip
def test_what_is_amiss_is_found(browser, html, words):
    page = browser.new_context(viewport=DESK).new_page()
    page.set_content(f"<!doctype html><title>A page · witnessmark</title>{html}")
    assert any(words in one for one in amiss_on(page)), amiss_on(page)


def test_a_whole_page_is_let_be(browser):
    page = browser.new_context(viewport=DESK).new_page()
    page.set_content(
        "<title>A page · witnessmark</title><h1>One</h1><p>words</p><main><button class='do'>A</button></main>"
    )
    assert amiss_on(page) == []
