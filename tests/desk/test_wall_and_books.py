"""The wall with its list by day, posting it; the books with their sums and their table."""

import csv
import io

import pieces
from witnessmark.desk.clock import now
from witnessmark.record import Revision, StockRow, latest, plans_here

WICKED = "<script>alert(1)</script>"


def test_the_wall_stands_as_a_drawing_and_by_day_in_words(helper, demo_shop):
    demo_shop("chest")
    said = helper.get("/wall/").content.decode()
    assert 'class="draw wall-draw own"' in said
    assert "Today, Wed 25 Nov" in said
    assert "bring into condition" in said
    assert "Promised for Friday 4 December" in said  # the chair's, in the list by day


def test_promises_say_50_80_and_95_and_which_are_thin(helper, demo_shop):
    demo_shop("chest")
    rows = {row["code"]: row for row in helper.get("/wall/").context["promises"]}
    assert rows["C1"]["thin"]
    assert rows["C1"]["promised"] == "Thu 17 Dec"
    assert len(rows["W2"]["ends"]) == 3


def test_what_is_posted_is_what_changes_are_shown_against(helper, demo_shop):
    demo_shop("chest")
    assert "Nobody has posted these days yet" in helper.get("/wall/").content.decode()
    assert helper.post("/wall/post/").status_code == 302
    assert helper.post("/wall/post/").status_code == 302
    assert (latest("calendar").number, latest("calendar").who) == (2, "Tobias")
    assert "were posted" in helper.get("/wall/").content.decode()
    assert helper.get("/wall/").context["moved"] == []


def test_a_reader_sees_the_wall_and_posts_nothing(reader, demo_shop):
    demo_shop("chest")
    assert "Post these days" not in reader.get("/wall/").content.decode()
    assert reader.post("/wall/post/").status_code == 403
    assert Revision.objects.filter(kind="calendar").count() == 0


def test_who_else_is_waited_for_stands_on_the_wall(helper, demo_shop):
    demo_shop("chest")
    assert "With other people" in helper.get("/wall/").content.decode()


def test_an_empty_shop_has_an_empty_wall(helper, db):
    assert "Nothing on the wall yet" in helper.get("/wall/").content.decode()


def test_what_is_out_is_not_planned(helper, demo_shop):
    chest = demo_shop("chest")
    helper.get("/wall/")
    StockRow.objects.filter(piece=chest).update(stage="out")
    assert chest not in {plan["piece"]["id"] for plan in plans_here(now())}


# ---- books ----


def test_the_books_are_for_owners(helper, reader, demo_shop):
    demo_shop("chest")
    for client in (helper, reader):
        assert client.get("/books/").status_code == 403
        assert client.get("/books.csv").status_code == 403


def test_each_piece_has_its_sums_and_all_together(owner, demo_shop):
    demo_shop("chest")
    said = owner.get("/books/").content.decode()
    assert "£2,979" in said  # the quote of the chest
    assert "£5,046" in said  # of all four
    assert "may go under the margin scheme" in said
    assert "your accountant decides" in said


def test_a_price_agreed_under_the_floor_is_said(owner, demo_shop):
    slope = demo_shop("slope")
    owner.post(f"/p/{slope}/price/", {"price": "£90", "why": "an old promise"})
    assert "was agreed for less than its floor" in owner.get("/books/").content.decode()


def test_the_table_reads_back_and_holds_no_sum_of_a_title(owner, demo_shop):
    chest = demo_shop("chest")
    answer = owner.get("/books.csv")
    assert answer["Content-Disposition"] == 'attachment; filename="books-2026-11-25.csv"'
    rows = {row["piece"]: row for row in csv.DictReader(io.StringIO(answer.content.decode()))}
    assert len(rows) == len(pieces.PIECES)
    assert rows[chest]["quote_usual"] == "2979.00"
    assert float(rows[chest]["floor_low"]) < float(rows[chest]["floor_high"])
