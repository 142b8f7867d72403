"""The papers asked for one by one: what stands on each, as the person who holds it would look for it."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache

import pytest

import pieces
from papers.chest import NOW, chest, shop, survey
from papers.reading import pages, words
from papers.work_done import book, plan, seen, single
from witnessmark.daybook import DayBook
from witnessmark.documents import Faulty
from witnessmark.money import Swing
from witnessmark.papers import WHICH, chosen_papers, keys_asked
from witnessmark.papers.care_card import fully_hard
from witnessmark.papers.quotation import quotation, the_other_way
from witnessmark.papers.screw_cards import place_on_card
from witnessmark.papers.typesetting import typeset
from witnessmark.papers.voice import Voice
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.quantities import Currency, Money, Range
from witnessmark.sources import table

# Words of the bench that a customer is not to meet on a quotation.
JARGON = ("rubber", "body up", "flat down", "cut back", "swab", "dewax", "sessions", "dry fit", "reflow", "carcase",
          "p80", "withdraw", "lb cut")  # fmt: skip


def text(name: str) -> str:
    return words(single()[name])


def voice_of(one: PiecePlan) -> Voice:
    return Voice.of(one.shop.shop, one.now)


@cache
def quote() -> bytes:
    """With a second way made by hand, so that no word hangs on the rules."""
    first = plan()
    ways = tuple(replace(way, chosen=way.offered.key == "clean_wax") for way in first.ways)
    harsh = {"strip", "wash_down", "seal", "brush_coats", "body_up", "flatten", "finish_off"}
    second = replace(first, ways=ways, steps=tuple(one for one in first.steps if one.step.rule not in harsh))
    return typeset("letter", quotation(first, second, voice_of(first), lambda _: None), NOW)


@cache
def demo(name: str) -> PiecePlan:
    return plan_piece(pieces.piece(name), pieces.shop(), pieces.daybook(), pieces.NOW)


@cache
def of_the_demo() -> dict[str, bytes]:
    """Every paper of every demo piece, set once."""
    return chosen_papers([demo(name) for name in pieces.PIECES], pieces.daybook(), WHICH, pieces.photographs().get)


# ---- which ----


def test_the_keys_are_those_people_were_told():
    told = "quotation receipt condition_report treatment_record tags screw_cards mixing_card day_sheet end_of_day week"
    assert (*told.split(), "care_card", "listing", "hang_tag", "solvent_sheet") == WHICH


def test_keys_are_read_as_people_write_them():
    assert keys_asked("quotation, Day-Sheet,care card, quotation") == ("quotation", "day_sheet", "care_card")


@pytest.mark.parametrize(("asked", "near"), [("quotatoin", "quotation"), ("hangtag", "hang_tag"), ("weak", "week")])
def test_what_is_no_paper_is_said_with_the_nearest(asked, near):
    with pytest.raises(Faulty) as faulty:
        keys_asked(f"tags,{asked}")
    (fault,) = faulty.value.faults
    assert (fault.found, fault.nearest) == (asked, near)


@pytest.mark.parametrize("asked", ["", " , "])
def test_no_paper_at_all_is_a_fault(asked):
    with pytest.raises(Faulty):
        keys_asked(asked)


def test_each_key_has_its_paper_and_several_pieces_one_each():
    names = set(of_the_demo())
    for key in WHICH:
        name = key.replace("_", "-")
        if key in {"day_sheet", "end_of_day", "week"}:
            assert f"{name}.pdf" in names
        else:
            assert {f"{name}-{pieces.piece(piece).piece.code}.pdf" for piece in pieces.PIECES} <= names


def test_the_same_plan_gives_the_same_bytes():
    again = chosen_papers([plan()], book(), [key for key in WHICH if key != "quotation"])
    assert again == single()


def test_every_paper_says_that_local_codes_prevail():
    for name, pdf in {**single(), "quotation.pdf": quote()}.items():
        if name.endswith(".pdf"):
            assert "Local codes and licensed practice prevail" in words(pdf), name


# ---- golden texts ----


def test_the_condition_report_as_its_reader_has_it(golden):
    golden("condition_report_chest.txt", "\n\f\n".join(pages(single()["condition-report.pdf"])) + "\n")


def test_the_quotation_as_the_customer_has_it(golden):
    golden("quotation_chest.txt", "\n\f\n".join(pages(quote())) + "\n")


def test_the_listing_as_a_buyer_has_it(golden):
    golden("listing_chest.txt", single()["listing.txt"].decode())


def test_the_care_card_as_it_goes_home(golden):
    golden("care_card_chest.txt", "\n\f\n".join(pages(single()["care-card.pdf"])) + "\n")


# ---- quotation ----


def test_a_quotation_speaks_the_customers_language():
    for said in (
        words(quote()),
        *(words(of_the_demo()[f"quotation-{pieces.piece(name).piece.code}.pdf"]) for name in pieces.PIECES),
    ):
        found = [word for word in JARGON if re.search(rf"\b{re.escape(word)}\b", said, re.IGNORECASE)]
        assert found == []


def test_it_offers_two_ways_with_their_price_and_who_may_say_yes():
    said = words(quote())
    assert "First way: take the finish off, and French polish it" in said
    assert "Second way: clean and wax it" in said
    assert "£780 (£700–£880)" in said
    assert "you may spend up to £500 (as you told us)" in said
    assert "Both ways would cost more than the £500 you named" in said
    assert "What would change it" in said


def test_the_other_way_is_one_that_is_open_and_works_on_the_piece():
    for name in pieces.PIECES:
        other = the_other_way(demo(name), pieces.daybook())
        assert other is not None
        taken = next(way.offered for way in other.ways if way.chosen)
        first = next(way.offered for way in demo(name).ways if way.chosen)
        assert taken.allowed
        assert taken.key != first.key
        assert taken.key not in {"leave_record", "sell_as_found", "break_timber"}


def test_it_says_what_would_change_the_price_and_a_day_to_count_on():
    one = plan(likely_day=datetime(2026, 12, 11, 12, tzinfo=UTC), safe_day=datetime(2026, 12, 18, 12, tzinfo=UTC))
    pounds = [Money(Decimal(sum_), Currency.GBP) for sum_ in (700, 780, 910)]
    cost = replace(one.cost, quote_range=Range(*pounds), would_change=(Swing("hours", pounds[0], pounds[2]),))
    said = words(typeset("letter", quotation(replace(one, cost=cost), None, voice_of(one), lambda _: None), NOW))
    assert "£780 (£700–£910)" in said
    assert "How long the work really takes: by that alone it could come to £700, or to £910." in said
    assert "Fri 11 Dec count on Fri 18 Dec" in said


def test_with_no_other_way_open_it_says_so():
    one = plan()
    said = words(typeset("letter", quotation(one, None, voice_of(one), lambda _: None), NOW))
    assert "No other way suits this piece" in said
    assert "Second way" not in said


def test_every_way_has_words_for_a_customer_and_nearly_every_step():
    # A step without words of its own goes by its trade name, so a new one is never left out of a quotation.
    ways = {row.key for row in table("papers", "customer_ways.csv", key="way")}
    assert {row.key for row in table("treatment", "ways.csv")} <= ways
    told = {row.key for row in table("papers", "customer_work.csv", key="rule")}
    rules = {row.key for row in table("treatment", "steps.csv", key="rule")}
    assert len(rules & told) >= 0.9 * len(rules)


# ---- receipt ----


def test_a_receipt_counts_numbers_and_is_signed():
    said = text("receipt.pdf")
    assert "1 Split" in said
    assert "turned knob (KN)" in text("condition-report.pdf") or "Keys" in said
    for line in ("Found inside", "up to £500", "Handed in by", "Given back complete to", "nothing is promised until"):
        assert line in said


def test_what_is_amiss_has_one_number_on_list_and_photograph():
    said = words(of_the_demo()["receipt-C1.pdf"])
    assert "2 Ring mark" in said
    assert "Shows 1–4 of the list" in said  # the top's four, on the photograph of the top


# ---- records ----


def test_a_treatment_record_says_who_did_what_with_what():
    said = text("treatment-record.pdf")
    for line in (
        "Photograph and record as found",
        "boiled linseed oil",
        "30 ml",
        "sent away, to the turner",
        "PL: An old wedge, sound.",
        "leave out: wax",
        "she waxes it herself",
    ):
        assert line.lower() in said.lower()


def test_how_each_fixing_ended_stands_in_the_record():
    said = text("treatment-record.pdf")
    assert "Of 4 screws, nails and blocks written down, 1 went back to its own hole; 1 still to settle." in said
    assert "S2 (right, back): not going back, a later screw, it split the rail." in said
    assert "S3 (left, front): replaced by an old screw of the same pitch." in said


def test_long_records_have_contents_page_numbers_and_a_bibliography():
    for name in ("condition-report.pdf", "treatment-record.pdf"):
        sheets = pages(single()[name])
        assert re.search(r"What it is 1 ", words(single()[name]))
        assert all(f"{n} / {len(sheets)}" in sheet for n, sheet in enumerate(sheets, 1))
        assert "What this relies on" in words(single()[name])


# ---- tags, screw cards ----


def test_tags_are_the_tags_of_the_plan():
    assert "turned foot" in text("tags.pdf")


def test_a_screw_card_has_each_fixing_with_its_hole_and_how_it_ended():
    said = text("screw-cards.pdf")
    for fixing in seen().joint[0].fixing:
        assert fixing.code in said
        assert fixing.hole in said
    assert "not going back: a later screw" in said
    assert "J1" in said


@pytest.mark.parametrize(
    ("hole", "place"),
    [("left cleat, back", (0.14, 0.16)), ("right cleat, middle", (0.86, 0.5)), ("lock of DR1, left", (0.14, None)),
     ("bottom, board III", (None, 0.84)), ("middle", (0.5, 0.5)), ("second from the door", (None, None)),
     ("upper right", (0.86, 0.16)), ("", (None, None))],
)  # fmt: skip
def test_a_hole_lies_on_the_card_where_its_words_say(hole, place):
    assert place_on_card(hole) == place


def test_no_two_screws_lie_on_one_another():
    from witnessmark.papers.screw_cards import screw_cards

    for name in pieces.PIECES:
        for card in screw_cards(demo(name), voice_of(demo(name)))["cards"]:
            places = [(round(hole["x"], 3), round(hole["y"], 3)) for hole in card["holes"]]
            assert len(set(places)) == len(places), card["code"]
            assert all(0 < x < 1 and 0 < y < 1 for x, y in places), card["code"]


# ---- the day and the week ----


def test_the_end_of_day_goes_by_what_was_used_today():
    # Linseed oil was used today: common practice, its rags are what burns shops down.
    said = text("end-of-day.pdf")
    assert "they fire themselves. (boiled linseed oil)" in said
    assert "Lid on, name on: jar L, boiled linseed oil" in said
    assert "Ellen 1.5 h" in said
    assert "Checked before the door was locked" in said
    without = words(chosen_papers([plan(steps=())], DayBook(), ["end_of_day"])["end-of-day.pdf"])
    assert "they fire themselves" not in without
    assert "Nothing is entered for today yet" in without


def test_a_wet_film_is_shut_away_until_it_may_be_touched():
    coat = next(one for one in plan().steps if one.step.rule == "brush_coats")
    late = plan(now=coat.slots[-1].end)
    said = words(chosen_papers([late], DayBook(), ["end_of_day"])["end-of-day.pdf"])
    assert re.search(r"Brush coat 1: shut away from dust, till \w+ \d+ \w+, \d\d:\d\d, not below 15 °C", said)


def test_the_week_shows_what_is_out_promised_and_clashing():
    said = words(of_the_demo()["week.pdf"])
    assert "LOCK, with the locksmith since 20 November" in said
    assert "two at once" in said
    assert "Each piece is planned by itself" in said
    assert "Victorian mahogany chest of drawers: Sat 19 Dec" in said
    alone = words(chosen_papers([demo("chest")], pieces.daybook(), ["week"])["week.pdf"])
    assert "two at once" not in alone


def test_a_promise_the_plan_does_not_keep_is_said_with_the_day_that_is():
    # Promised for 15 January 2027.
    def said(likely: int, safe: int) -> str:
        one = plan(
            likely_day=datetime(2027, 1, likely, 12, tzinfo=UTC), safe_day=datetime(2027, 1, safe, 12, tzinfo=UTC)
        )
        return words(chosen_papers([one], DayBook(), ["week"])["week.pdf"])

    assert "not before Mon 18 Jan 2027, by the plan" in said(18, 25)
    assert "safe to say Mon 18 Jan 2027" in said(12, 18)
    assert "Jan 2027, by the plan" not in said(11, 12)
    assert "safe to say" not in said(11, 12)


def test_one_day_sheet_holds_all_the_pieces():
    first = pages(of_the_demo()["day-sheet.pdf"])[0]
    for name in ("C1", "W2"):
        assert name in first


# ---- care, listing, hang tag ----


def test_full_hardness_is_reckoned_from_the_last_coat():
    # finish/coatings.csv: padded shellac is fully hard 21 to 60 days after its last coat (common practice there).
    last = max(planned.ends for planned in plan().steps if planned.step.rule == "finish_off")
    sooner, later = fully_hard(plan())
    assert (sooner - last).days == 21
    assert (later - last).days == 60


def test_the_care_card_is_half_a_sheet_on_one_page():
    assert len(pages(single()["care-card.pdf"])) == 1
    for name in pieces.PIECES:
        assert len(pages(of_the_demo()[f"care-card-{pieces.piece(name).piece.code}.pdf"])) == 1


def test_old_paint_says_lead_and_a_piece_without_paint_does_not():
    assert "may hold lead" in words(of_the_demo()["care-card-D4.pdf"])
    assert "may hold lead" not in words(of_the_demo()["care-card-C1.pdf"])


def test_no_percentages_on_a_ticket():
    for name, content in of_the_demo().items():
        if name.startswith(("hang-tag", "listing")):
            said = content.decode() if name.endswith(".txt") else words(content)
            assert "%" not in said
            assert "per cent" not in said


def test_a_hang_tag_is_one_page_and_says_when_the_work_is_not_done():
    for name in pieces.PIECES:
        tag = of_the_demo()[f"hang-tag-{pieces.piece(name).piece.code}.pdf"]
        assert len(pages(tag)) == 1
        assert "this tag is a draft" in words(tag)
    assert "£760" in text("hang-tag.pdf")


def test_a_listing_tells_what_is_later_and_never_of_an_age_nobody_knows():
    told = single()["listing.txt"].decode()
    assert "Backboards: round wire nail, later work." in told
    aged = chest(of=survey(extra=""))
    ageless = chosen_papers([aged], DayBook(), ["listing"])["listing.txt"].decode()
    assert "We do not know when it was made, and say nothing of its age." in ageless
    dated = aged.survey.model_copy(update={"piece": aged.survey.piece.model_copy(update={"made": "about 1865"})})
    said = chosen_papers([replace(aged, survey=dated)], DayBook(), ["listing"])["listing.txt"].decode()
    assert "Made about 1865" in said


def test_a_material_the_law_may_keep_from_sale_stops_a_listing():
    assert "May be of a material the law keeps from sale (escutcheon)" in words(of_the_demo()["listing-B3.pdf"])
    assert "the law keeps from sale" not in words(of_the_demo()["listing-C1.pdf"])


# ---- solvents ----


def test_a_sheet_for_each_solvent_and_task_to_be_signed():
    every = pages(single()["solvent-sheet.pdf"])
    sheets = [page for page in every if "Solvent sheet: " in page]
    needing = [one for one in plan().steps if one.step.needs]
    assert len(sheets) == len(needing)
    for sheet in sheets:
        for said in (
            "prevail over this sheet",
            "CAS 64-17-5",
            "Highly flammable liquid and vapour (H225)",
            "Flash point 13 °C",
            "Done by",
            "date",
        ):
            assert said in " ".join(sheet.split())


def test_every_hazard_code_of_the_solvents_has_its_words():
    told = {row.key for row in table("papers", "hazard_words.csv", key="code")}
    wanted = {
        code for row in table("safety", "solvents.csv", key="material_key") for code in row.keys_in("ghs_h_codes")
    }
    assert wanted <= told


def test_work_without_a_solvent_says_so():
    said = words(chosen_papers([plan(steps=())], DayBook(), ["solvent_sheet"])["solvent-sheet.pdf"])
    assert "No work still to come on this piece lets a listed solvent into the air." in said


# ---- words and measures ----


def test_a_us_shop_reads_its_own_words_measures_and_paper():
    us = shop(words="US", units="inches")
    us = us.model_copy(update={"shop": us.shop.model_copy(update={"gallon": type(us.shop.gallon)("us")})})
    made = chosen_papers(
        [plan(at=us)], book(), ["solvent_sheet", "end_of_day", "receipt", "care_card", "condition_report"]
    )
    said = " ".join(words(pdf) for pdf in made.values())
    assert "Flash point 55 °F" in said
    assert "clamps" in said
    assert "cramps" not in said
    assert "44 1/8 × 20 7/8 × 42 1/2 in" in said
    care = words(made["care-card.pdf"]).lower()
    assert "pad" not in re.findall(r"\w+", care)  # a rubber is a pad, but rubber feet are not


def test_nobody_knows_anything_and_every_paper_is_set_all_the_same():
    nothing = survey(title="", code="")
    piece = nothing.piece.model_copy(update={"owner": "", "size": None, "promised": None, "came_on": None})
    bare = nothing.model_copy(update={"part": (), "piece": piece})
    one = chest(of=bare, steps=(), mixes=(), ways=(), shopping=(), branches=(), workings=(), cautions=(), warnings=(),
                total=None)  # fmt: skip
    made = chosen_papers([one], DayBook(), WHICH)
    assert len(made) == len(WHICH) + 1  # the listing is there as plain text too
    assert "This record is not complete" in words(made["condition-report.pdf"])
    assert "No screw or nail is written down yet" in words(made["screw-cards.pdf"])
