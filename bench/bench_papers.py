"""How long all papers of the demo chest take, as a ratio to the typesetter alone on the same pages and data.

Both cold: each run is a fresh process, and its first papers are measured, from loading the room (or the typesetter)
to the last byte; making the plan is not measured. Runs alternate, medians are taken. The aim is at most 2.5. Run it
as `python bench/bench_papers.py [RUNS]`.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from unittest import mock

AIM = 2.5
DEMO = Path(__file__).resolve().parents[1] / "demo"


def chest():
    """The demo chest's plan, and its photographs by their SHA-256."""
    import hashlib
    from datetime import UTC, datetime

    from witnessmark.daybook import daybook_from
    from witnessmark.plan import plan_piece
    from witnessmark.shop import shop_from
    from witnessmark.survey import survey_from

    shop = shop_from((DEMO / "shop.toml").read_text("utf-8"), "shop.toml")
    survey = survey_from((DEMO / "chest.toml").read_text("utf-8"), "chest.toml", shop.context)
    daybook = daybook_from((DEMO / "daybook.jsonl").read_text("utf-8"), "daybook.jsonl", shop.context)
    pictures = [file.read_bytes() for file in (DEMO / "pictures").iterdir() if file.is_file()]
    plan = plan_piece(survey, shop, daybook, datetime(2026, 11, 25, 8, tzinfo=UTC))
    return plan, {hashlib.sha256(picture).hexdigest(): picture for picture in pictures}.get


def all_papers() -> float:
    """Seconds from loading the room to the last paper."""
    plan, photograph = chest()
    started = time.perf_counter()
    from witnessmark.papers import papers_of

    papers_of(plan, photograph)
    return time.perf_counter() - started


def typst_alone(pages: Path) -> float:
    """Seconds from loading the typesetter to the last PDF, of pages whose data is ready."""
    jobs = json.loads(pages.read_text("utf-8"))
    started = time.perf_counter()
    import typst

    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[jobs[0]["fonts"]])
    for job in jobs:
        typst.compile(
            job["template"], root=str(Path(job["template"]).parent), font_paths=fonts, ignore_system_fonts=True,
            sys_inputs={"data": job["data"]}, pdf_standards=["ua-1", "a-2a"], timestamp=1,
        )  # fmt: skip
    return time.perf_counter() - started


def save_pages(into: Path) -> None:
    """What `papers_of` hands the typesetter, for `typst_alone`."""
    import typst

    from witnessmark.papers import papers_of
    from witnessmark.papers.glyphs import FONTS

    jobs, really = [], typst.compile_with_warnings

    def noted(template, **settings):
        jobs.append({"template": str(template), "data": settings["sys_inputs"]["data"], "fonts": str(FONTS)})
        return really(template, **settings)

    with mock.patch("typst.compile_with_warnings", noted):
        papers_of(*chest())
    into.write_text(json.dumps(jobs), "utf-8")


def measured(*words: str) -> float:
    """What a fresh process of this file measured. Raises CalledProcessError where it fails."""
    return float(subprocess.run([sys.executable, __file__, *words], check=True, capture_output=True, text=True).stdout)


def main(runs: int) -> int:
    """Prints the medians and their ratio; 1 where it is over the aim."""
    with tempfile.TemporaryDirectory() as folder:
        pages = Path(folder) / "pages.json"
        save_pages(pages)
        pairs = [(measured("papers"), measured("typst", str(pages))) for _ in range(runs + 1)][1:]
    papers, alone = (statistics.median(times) for times in zip(*pairs, strict=True))
    times = f"papers {papers * 1000:.0f} ms, typst {alone * 1000:.0f} ms"
    print(f"{times}, ratio {papers / alone:.2f} (aim: at most {AIM:g})")
    return 0 if papers / alone <= AIM else 1


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["papers"]:
            print(all_papers())
        case ["typst", pages]:
            print(typst_alone(Path(pages)))
        case [runs]:
            sys.exit(main(int(runs)))
        case _:
            sys.exit(main(7))
