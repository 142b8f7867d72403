"""How quick the desk is in a shop of 10,000 pieces and 1,000,000 day-book entries, as ratios measured in one run.

A page against a plain view: the same middleware and session, one query for as many rows as the page reads, of the
table it reads most of, and one plain template of as many bytes in as many lines. The page in the large shop against
the same page in a shop of 100 pieces and their entries. Posting an entry against a bare INSERT that is as durable;
taking in a survey against reading its file. All in this process through Django's handler, in turn; medians are taken.
Plans are made beforehand. Run it as `python bench/bench_desk.py [FOLDER [RUNS]]`: the shops are kept in FOLDER and
found there again.
"""

import gzip
import os
import re
import shutil
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import a_big_shop

SMALL, LARGE = (100, 10_000), (10_000, 1_000_000)  # pieces, day-book entries
MOST, MOST_QUERIES, MOST_GROWTH, MOST_KB = 4.0, 25, 1.5, 150.0
PLAIN = "{% for line in lines %}{{ line }}\n{% endfor %}"
_IN_BOTH = ("django_session", "record_person")  # what the middleware reads


@dataclass
class Seen:
    """A page of one shop: what it reads and sends, and how long it and its plain view took."""

    name: str
    address: str
    queries: int = 0
    rows: int = 0
    table: str = ""
    sent: bytes = b""
    page: list[float] = field(default_factory=list)
    plain: list[float] = field(default_factory=list)

    @property
    def middle(self) -> float:
        return statistics.median(self.page)

    @property
    def plainly(self) -> str:
        lines = max(1, self.sent.count(b"\n"))
        return f"/plain/{self.table}/{self.rows}/{lines}/{len(self.sent)}/"


def desk_in(folder: Path) -> None:
    """Django set up on a folder, its clock fixed, and the plain view beside the desk's own addresses."""
    os.environ |= {"WITNESSMARK_DATA": str(folder), "WITNESSMARK_NOW": a_big_shop.NOW.isoformat()}
    os.environ["DJANGO_SETTINGS_MODULE"] = "witnessmark.desk.settings"
    import django
    from django.conf import settings

    django.setup()
    settings.ALLOWED_HOSTS.append("testserver")
    from django.apps import apps
    from django.http import HttpRequest, HttpResponse
    from django.template import engines
    from django.urls import path

    from witnessmark.desk.urls import urlpatterns

    template = engines["django"].from_string(PLAIN)

    def plain(request: HttpRequest, table: str, rows: int, lines: int, size: int) -> HttpResponse:
        model = next(one for one in apps.get_models() if one._meta.db_table == table)
        found = list(model.objects.all()[:rows])
        assert len(found) == rows, f"{table} has {len(found)} rows, not {rows}"
        return HttpResponse(template.render({"lines": ["x" * max(0, size // lines - 1)] * lines}))

    plain_path = path("plain/<str:table>/<int:rows>/<int:lines>/<int:size>/", plain)
    settings.ROOT_URLCONF = (*urlpatterns, plain_path)


def opened(folder: Path, pieces: int, entries: int) -> None:
    """The shop of so many pieces: made where it is not there yet, and read from now on."""
    from django.core.management import call_command
    from django.db import connection

    file = folder / f"shop-{pieces}.sqlite3"
    coming = file.with_suffix(".coming")
    connection.close()
    if not file.exists():
        coming.unlink(missing_ok=True)
        connection.settings_dict["NAME"] = coming
        call_command("migrate", verbosity=0)
        began = time.perf_counter()
        a_big_shop.fill(pieces, entries)
        print(f"filled {pieces:,} pieces in {time.perf_counter() - began:.0f} s")
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.close()
        coming.rename(file)
    connection.settings_dict["NAME"] = file


def entered() -> Any:
    from django.test import Client

    from witnessmark.record import Person

    client = Client()
    client.force_login(Person.objects.get(name="Ines"), "django.contrib.auth.backends.ModelBackend")
    return client


def pages() -> list[Seen]:
    from witnessmark.record import StockRow

    chest = StockRow.objects.get(code="C1").piece  # its survey, plan and day book are the demo's longest
    return [Seen("Bench", "/bench/"), Seen("Stock", "/"), Seen("a piece", f"/p/{chest}/")]


def looked_at(client: Any, one: Seen) -> None:
    """What a page asks of the database and sends, once all that is kept for it is kept."""
    from django.db import connection

    asked: list[tuple[str, Any]] = []

    def noted(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        asked.append((sql, params))
        return execute(sql, params, many, context)

    for _ in range(2):
        client.get(one.address)
    with connection.execute_wrapper(noted):
        answer = client.get(one.address)
    assert answer.status_code == 200, f"{one.address} answers {answer.status_code}"
    one.queries, one.sent = len(asked), answer.content
    rows: Counter[str] = Counter()
    for sql, params in asked:
        table = re.search(r'FROM "?(\w+)', sql)
        if sql.lstrip().startswith("SELECT") and table and table[1] not in _IN_BOTH:
            with connection.cursor() as cursor:
                cursor.execute(f"SELECT count(*) FROM ({sql})", params)
                rows[table[1]] += cursor.fetchone()[0]
    one.rows, one.table = rows.total(), rows.most_common(1)[0][0]
    plain = client.get(one.plainly)
    assert plain.status_code == 200
    assert abs(len(plain.content) / len(one.sent) - 1) < 0.05, "the plain view sends as much"


def seconds(act: Callable[[], Any]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def told(says: str, found: float, aim: float, unit: str = "") -> bool:
    fits = found <= aim
    print(f"  {says}: {found:.3g}{unit} (aim: at most {aim:g}{unit}) {'PASS' if fits else 'over'}")
    return fits


def pages_measured(folder: Path, runs: int) -> Iterator[bool]:
    """The pages of both shops, in turn with their plain views and with each other."""
    shops = {}
    for shop in (SMALL, LARGE):
        opened(folder, *shop)
        client, seen = entered(), pages()
        for one in seen:
            looked_at(client, one)
        shops[shop] = client, seen
    for _ in range(3):
        for shop, (client, seen) in shops.items():
            opened(folder, *shop)
            for one in seen:
                client.get(one.address), client.get(one.plainly)
                for _ in range(runs):
                    one.page.append(seconds(lambda: client.get(one.address)))  # noqa: B023
                    one.plain.append(seconds(lambda: client.get(one.plainly)))  # noqa: B023
    for small, large in zip(shops[SMALL][1], shops[LARGE][1], strict=True):
        plain = statistics.median(large.plain)
        print(f"{large.name}: {large.middle * 1000:.1f} ms, plainly {plain * 1000:.1f} ms "
              f"({large.rows} rows, {len(large.sent) / 1000:.0f} kB)")  # fmt: skip
        yield told("to the plain view", large.middle / plain, MOST)
        yield told("queries", large.queries, MOST_QUERIES)
        yield told(f"queries more than with {SMALL[0]} pieces", large.queries - small.queries, 0)
        yield told(f"to the same with {SMALL[0]} pieces", large.middle / small.middle, MOST_GROWTH)


def bench_after_an_entry(runs: int) -> None:
    """The bench when something was just written: the piece is planned again, and so are the days of all."""
    from witnessmark.record import StockRow, new_id, post_entries

    client, (bench, *_) = entered(), pages()
    chair = StockRow.objects.get(code="W2").piece
    for _ in range(runs):
        at = a_big_shop.NOW
        post_entries([{"id": new_id(at), "what": "note", "who": "Ines", "piece": chair, "note": "seen to",
                       "happened": at.isoformat()}], at)  # fmt: skip
        bench.page.append(seconds(lambda: client.get(bench.address)))
    print(f"Bench, the first look after an entry: {bench.middle * 1000:.0f} ms (no aim: its piece is planned again)")


def posting(runs: int) -> None:
    """One entry through the record, against one INSERT of its JSON and its commit, in the same file."""
    import json

    from django.db import connection

    from witnessmark.record import StockRow, new_id, post_entries

    at, piece = a_big_shop.NOW, StockRow.objects.get(code="C1").piece
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE IF NOT EXISTS bare (cursor INTEGER PRIMARY KEY, id TEXT UNIQUE, body TEXT)")
        cursor.execute("PRAGMA synchronous")
        assert cursor.fetchone() == (2,), "an INSERT as durable as an entry"
    through, bare = [], []
    for _ in range(runs):
        one = {"id": new_id(at), "what": "note", "who": "Ines", "piece": piece, "note": "wax is dry",
               "happened": at.isoformat()}  # fmt: skip
        through.append(seconds(lambda: post_entries([one], at)))  # noqa: B023
        with connection.cursor() as cursor:
            values = [one["id"], json.dumps(one)]
            bare.append(seconds(lambda: cursor.execute("INSERT INTO bare (id, body) VALUES (%s, %s)", values)))  # noqa: B023
    entry, alone = statistics.median(through), statistics.median(bare)
    print(f"posting an entry: {entry * 1000:.1f} ms, a bare INSERT {alone * 1000:.1f} ms, ratio {entry / alone:.1f}")


def taking_in(folder: Path, runs: int) -> None:
    """A survey in its file, new to the record, against reading it."""
    from witnessmark.record import new_id, taken_in, the_shop
    from witnessmark.survey import survey_from

    text = (a_big_shop.DEMO / "chest.toml").read_text("utf-8")
    taken, read = [], []
    for _ in range(runs):
        file = folder / "survey.toml"
        file.write_text(re.sub(r'^id = ".*"$', f'id = "{new_id(a_big_shop.NOW)}"', text, count=1, flags=re.M), "utf-8")
        taken.append(seconds(lambda: taken_in(file, "Ines", a_big_shop.NOW)))  # noqa: B023
        context = the_shop().context
        read.append(seconds(lambda: survey_from(file.read_text("utf-8"), "survey.toml", context)))  # noqa: B023
    whole, alone = statistics.median(taken), statistics.median(read)
    print(f"taking in a survey: {whole * 1000:.0f} ms, reading it {alone * 1000:.0f} ms, ratio {whole / alone:.1f}")


def first_load() -> bool:
    """The heaviest of the pages with all that it asks for and every font, compressed; without photographs."""
    from django.contrib.staticfiles import finders

    client, most = entered(), 0.0
    for one in pages():
        html = client.get(one.address).content
        asked = set(re.findall(r'/static/([^"?]+)"', html.decode()))
        files = {name: Path(finders.find(name)) for name in asked}
        files |= {font.name: font for font in finders.find("desk/look.css") and
                  (Path(finders.find("desk/look.css")).parent / "fonts").glob("*.woff2")}  # fmt: skip
        unlike = {file.resolve(): file.read_bytes() for file in files.values()}
        size = len(gzip.compress(html, 6)) + sum(
            len(body) if file.suffix == ".woff2" else len(gzip.compress(body, 6)) for file, body in unlike.items()
        )
        most = max(most, size / 1000)
    print("first load, compressed, with fonts")
    return told("the heaviest page", most, MOST_KB, " kB")


def main(folder: Path, runs: int) -> int:
    """Prints all of it; 1 where something is over its aim."""
    from django.db import connection

    kept = [*pages_measured(folder, runs), first_load()]
    with tempfile.TemporaryDirectory(dir=folder) as name:  # what is written now must not stand in the shop that is kept
        connection.close()
        shop = connection.settings_dict["NAME"]
        connection.settings_dict["NAME"] = Path(shutil.copy(shop, name))
        bench_after_an_entry(min(runs, 5))
        posting(runs * 3)
        taking_in(Path(name), runs)
        connection.close()
    return 0 if all(kept) else 1


if __name__ == "__main__":
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 9
    if len(sys.argv) > 1:
        kept_in = Path(sys.argv[1])
        kept_in.mkdir(parents=True, exist_ok=True)
        desk_in(kept_in)
        sys.exit(main(kept_in, times))
    with tempfile.TemporaryDirectory() as passing:
        desk_in(Path(passing))
        sys.exit(main(Path(passing), times))
