"""The handing-in receipt, gone through on the screen: counts, contents, who may say yes, marks and the signature."""

import io
import json
import re
from dataclasses import replace
from functools import cache

from PIL import Image, ImageDraw

import pieces
from papers.reading import pages, words
from witnessmark.daybook import HANDING_IN, DayBook, daybook_from
from witnessmark.documents import json_of
from witnessmark.papers import chosen_papers
from witnessmark.papers.pictures import numbered, picture_of
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.survey import Survey, survey_in

SIGNATURE = "e" * 64
HANDED_IN = {
    "keys": 2, "shelves": 0, "may_say_yes": "her brother, colour of his van grey", "on": "2026-11-16",
    "who": "Mx Aldous",
    "contents": [{"what": "a letter", "returned": "yes"}, {"what": "three buttons", "returned": "no"},
                 {"what": "newspaper"}],
}  # fmt: skip


def gone_through() -> Survey:
    tables = json_of(pieces.chest())
    tables["handed_in"] = HANDED_IN
    tables["piece"]["loose_bits"] = ["a finial"]
    tables["wishes"]["spend_up_to"] = "£250"
    tables["photograph"][2]["mark"] = [
        {"says": "worn runner", "x": 0.25, "y": 0.5},
        {"says": "knob loose: left", "x": 0.75, "y": 0.5},
        {"code": "BOT", "x": 0.5, "y": 0.5},
    ]
    return survey_in(tables, "chest")


@cache
def planned() -> PiecePlan:
    return plan_piece(gone_through(), pieces.shop(), pieces.daybook(), pieces.NOW)


def entry(**said: str) -> dict[str, str]:
    return {"id": "01a1e4e8-6d40-7b0a-af04-ad9379c4ce99", "who": "Ellen", "happened": "2026-11-16T10:00:00Z",
            "what": "signed", "piece": gone_through().id, "photograph": SIGNATURE, "to": HANDING_IN} | said  # fmt: skip


def book(*entries: dict[str, str]) -> DayBook:
    return daybook_from("\n".join(map(json.dumps, entries)), "day book", pieces.shop().context)


def drawn() -> bytes:
    image = Image.new("RGB", (600, 200), "white")
    ImageDraw.Draw(image).line((20, 150, 300, 40, 560, 160), fill="black", width=6)
    out = io.BytesIO()
    image.save(out, "PNG")
    return out.getvalue()


def photographs() -> dict[str, bytes]:
    return {**pieces.photographs(), SIGNATURE: drawn()}


def printed(plan: PiecePlan | None = None, of: DayBook | None = None, here: dict[str, bytes] | None = None) -> bytes:
    files = here if here is not None else photographs()
    return chosen_papers([plan or planned()], of or book(), ["receipt"], files.get)["receipt.pdf"]


def test_it_counts_says_what_was_inside_and_who_may_say_yes_to_how_much():
    said = words(printed())
    for line in ("Keys 2", "Shelves none", "a finial", "a letter yes, Mon 16 Nov", "three buttons not yet", "newspaper",
                 "Looked at together, Mon 16 Nov.", "Mx Aldous", "up to £250", "her brother"):  # fmt: skip
        assert line in said


def test_damage_is_marked_with_its_number_on_the_list_and_what_is_not_on_it_counts_on():
    listed = [one.term for one in gone_through().condition]
    worn, beyond = listed.index("worn runner") + 1, len(listed) + 1
    said = words(printed())
    assert f"{worn} Worn runner." in said
    assert f"{beyond} Knob loose: left." in said
    unmarked = words(printed(plan_piece(pieces.chest(), pieces.shop(), pieces.daybook(), pieces.NOW)))
    assert f"{beyond} Knob loose" not in unmarked


def test_the_numbers_are_drawn_where_the_damage_was_touched():
    out = io.BytesIO()
    Image.new("RGB", (800, 400), "grey").save(out, "PNG")
    plain = picture_of(out.getvalue())
    marked = numbered(plain, [(9, 0.25, 0.5), (13, 1.0, 0.0)])
    places = re.findall(r"translate\((\d+) (\d+)\).*?>(\d+)</text>", marked.svg)
    assert places == [("200", "200", "9"), ("800", "0", "13")]
    assert numbered(plain, []) == plain


def test_unsigned_there_are_lines_for_all_three():
    said = words(printed())
    assert said.count("signature") == 3
    assert "Taken in by Ellen" not in said


def test_signed_on_the_screen_the_signature_stands_on_it():
    signed = printed(of=book(entry()))
    said = words(signed)
    assert "Handed in by Mx Aldous" in said
    assert "Mon 16 Nov, 10:00. Taken in by Ellen." in said
    assert said.count("signature") == 2  # the shop, and whoever gets it back
    assert len(pages(signed)) <= 4


def test_another_paper_signed_or_a_signature_struck_out_signs_nothing():
    other = book(entry(to="quotation"))
    gone = {"id": "01a1e4e8-6d40-7b0a-af04-ad9379c4cea0", "who": "Ellen", "happened": "2026-11-16T11:00:00Z",
            "what": "corrects", "corrects": entry()["id"], "piece": gone_through().id}  # fmt: skip
    for one in (other, book(entry(), gone), book(entry(piece="W2"))):
        assert words(printed(of=one)).count("signature") == 3


def test_a_signature_whose_picture_is_not_here_is_asked_for_again():
    said = words(printed(of=book(entry()), here=pieces.photographs()))
    assert "the picture of the signature is not here" in said
    assert "Handed in by" in said


def test_in_the_us_our_words_change_and_theirs_do_not():
    shop = pieces.shop()
    us = shop.model_copy(update={"shop": shop.shop.model_copy(update={"words": type(shop.shop.words)("US")})})
    said = words(printed(replace(planned(), shop=us)))
    assert "colour of his van grey" in said
    assert "or mold, is found" in said
    assert "yes, Mon Nov 16" in said
