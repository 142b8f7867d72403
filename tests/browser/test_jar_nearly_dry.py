"""A jar that is nearly dry: it is said before the coat is begun, not when the brush is in it."""

import json
import re
import shutil
import subprocess
import sys
from datetime import datetime, timedelta
from typing import Any

from playwright.sync_api import APIRequestContext, Playwright, expect

import pieces
from browser.conftest import PHONE, Desk, entered, going_from, running
from witnessmark.documents import uuid7
from witnessmark.plan import planned_as_logged

COAT = "seal_repairs.found"  # the first coat of the chest that comes out of a jar of the shelf


def another_program(playwright: Playwright, desk: Desk) -> APIRequestContext:
    """What reads and posts by a key, as `token` gives it."""
    command = [sys.executable, "-m", "witnessmark.cli", "token", "Ines", "--data", str(desk.folder), "--json"]
    told = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
    key = told.get("result", told)["token"]
    return playwright.request.new_context(base_url=desk.address, extra_http_headers={"Authorization": f"Bearer {key}"})


def begins(steps: list[dict[str, Any]]) -> datetime:
    """When the plan means to begin the coat."""
    (coat,) = [step for step in steps if step["id"] == COAT]
    return datetime.fromisoformat(coat["starts"])


def test_a_jar_that_is_nearly_dry_says_so_before_the_coat_is_begun(playwright, browser, demo_folder, tmp_path):
    chest = pieces.chest().id
    folder = shutil.copytree(demo_folder, tmp_path / "shop")
    with running(folder) as desk:
        api = another_program(playwright, desk)
        steps = api.get(f"/api/v1/pieces/{chest}/plan").json()["steps"]
        first = pieces.NOW - timedelta(days=6)
        done = [
            {"id": uuid7(first, bytes([at] * 10)), "what": "done", "who": "Ines", "piece": chest,
             "step": planned_as_logged(step), "happened": (first + timedelta(minutes=at)).isoformat()}
            for at, step in enumerate(steps[: [step["id"] for step in steps].index(COAT)])
        ]  # fmt: skip
        assert api.post("/api/v1/daybook", data=done).ok
        steps = api.get(f"/api/v1/pieces/{chest}/plan").json()["steps"]
        day = begins(steps)

    with running(folder, **going_from(day.replace(hour=8, minute=0))) as desk:
        page = entered(browser, desk, "Ines", viewport=PHONE, has_touch=True)
        page.goto(f"/bench/?at={chest}/{COAT}")
        expect(page.locator(".reach")).to_contain_text("Jar B reaches")
        page.goto("/cupboard/")
        jar = page.locator("li", has=page.locator(".tape", has_text=re.compile("^(jar )?B$", re.I))).first
        jar.locator("summary", has_text="Write it down").tap()
        jar.get_by_label("It holds now").fill("4 ml")
        jar.get_by_label("It holds now").press("Enter")
        expect(page.locator("main")).to_contain_text(re.compile("Short by"))

        # and the bench says it where the coat would be begun, with what to mix
        page.goto(f"/bench/?at={chest}/{COAT}")
        expect(page.locator(".reach")).to_contain_text("Jar B is short")
        expect(page.locator(".reach")).to_contain_text(re.compile(r"short by \d+ ml"))
        expect(page.locator(".reach")).to_contain_text(
            re.compile(r"Mix \d+ ml more: [\d.]+ g flakes in \d+ ml before you begin")
        )
        expect(page.locator(".do-main")).to_contain_text("Begin")
        assert page.told == []
