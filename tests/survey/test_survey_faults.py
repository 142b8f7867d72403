"""What is wrong with a survey is told at once, in a sentence, with its key and its line."""

import pytest

from witnessmark.documents import Faulty
from witnessmark.survey import Words, survey_from, survey_in

HEAD = """\
schema = 1
id = "01a1e4e3-d960-7450-88ee-021dbeb0fc2a"
[piece]
kind = "chest"
"""
PARTS = """\
[[part]]
code = "TOP"
name = "top"
[[part]]
code = "SIDE-L"
name = "left side"
"""
WORDS = Words(
    tests={"alcohol": ("softens_sticky", "no_change"), "water_drop": ("white_bloom",)},
    date_features={"foot_bun": (), "cockbead_drawer": ()},
    wood_features={"porosity": ("ring_porous", "diffuse_porous")},
    steps=("clean", "strip"),
    ways=("revive", "clean_wax"),
)


def says(text: str, words: Words | None = None) -> list[str]:
    with pytest.raises(Faulty) as raised:
        survey_from(text, "c.toml", words=words)
    return [fault.says for fault in raised.value.faults]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        # one table
        (HEAD.replace("chest", "chests"),
         "c.toml, line 4, piece.kind: found “chests”; expected one of: chest, sideboard, table, chair, box, bookcase, "
         "bed, mirror, other. Did you mean “chest”?"),
        (HEAD.replace('kind = "chest"\n', ""), "c.toml, line 3, piece.kind: expected this key, which is missing."),
        (HEAD.replace("01a1e4e3", "01A1E4E3"),
         "c.toml, line 2, id: found “01A1E4E3-d960-7450-88ee-021dbeb0fc2a”; expected an id as `new` makes it (a UUIDv7 "
         "in small letters). Did you mean “01a1e4e3-d960-7450-88ee-021dbeb0fc2a”?"),
        (HEAD + 'show_wod = "oak"\n',
         "c.toml, line 5, piece.show_wod: found “show_wod”; expected one of the keys kind, title, code, owner, came, "
         "came_from, came_on, promised, price_paid, job, price_said, made, region, size, weight, show_wood, "
         "other_wood, veneered, veneer_thickness, marks, loose_bits, note. Did you mean “show_wood”?"),
        (HEAD + 'show_wood = "mahagony"\n',
         "c.toml, line 5, piece.show_wood: found “mahagony”; expected a wood we know, such as mahogany, or "
         "“don't know”. "
         "Did you mean “mahogany”?"),
        (HEAD + "came_on = 2026-11-25\npromised = 2026-11-20\n",
         "c.toml, line 6, piece.promised: found “2026-11-20”; expected a day on or after 2026-11-25, when it came."),
        (HEAD + f'title = "{"x" * 201}"\n',
         f"c.toml, line 5, piece.title: found “{'x' * 79}…”; expected at most 200 characters."),
        (HEAD + 'size = "1050 mm"\n',
         "c.toml, line 5, piece.size: found “1050 mm”; expected 2 or 3 lengths, such as “900 x 450 x 20 mm”."),
        (HEAD + 'price_paid = "a lot"\n',
         "c.toml, line 5, piece.price_paid: found “a lot”; expected a sum, such as “£120”, “85.50 USD” or "
         "“£300–400”, with its currency."),
        (HEAD + '[[part]]\ncode = "top left"\nname = "top"\n',
         "c.toml, line 6, part[1].code: found “top left”; expected a code of at most twelve capitals, digits, dots and "
         "dashes, such as TOP or DR1.F. Did you mean “TOP-LEFT”?"),
        (HEAD + '[[part]]\ncode = "TOP"\nname = "top"\nshape = "board"\nsize = "900 mm"\n',
         "c.toml, line 9, part[1].size: found “900 mm”; expected along the grain × across it × thick, such as "
         "“900 x 450 x 20 mm”."),
        (HEAD + '[[part]]\ncode = "TOP"\nname = "top"\nless = ["3 x 4 x 5 mm"]\n',
         "c.toml, line 8, part[1].less[1]: found “3 x 4 x 5 mm”; expected 2 lengths, such as “300 x 200 mm”."),
        (HEAD + '[[condition]]\nterm = "splitt"\n',
         "c.toml, line 6, condition[1].term: found “splitt”; expected a condition term; “witnessmark survey terms” "
         "lists them. Did you mean “split”?"),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE-L"]\n[[joint.fixing]]\ncode = "S1"\n'
         'ends = "replaced"\n',
         "c.toml, line 14, joint[1].fixing[1].by: expected what replaces it."),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE-L"]\n[[joint.fixing]]\ncode = "S1"\n'
         'ends = "not going back"\n',
         "c.toml, line 14, joint[1].fixing[1].why: expected why it is not going back."),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = ["TOP"]\n',
         "c.toml, line 13, joint[1].parts: found “a list”; expected at least 2 of them."),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE-L"]\nheld = "glued"\n',
         "c.toml, line 14, joint[1].held: found “glued”; expected a list in square brackets."),
        # across tables
        (HEAD + PARTS + PARTS.replace("SIDE-L", "SIDE-R"),
         "c.toml, line 12, part[3].code: found “TOP”; expected a code of its own: this one is another part's."),
        (HEAD + PARTS + 'of = "TOPP"\n',
         "c.toml, line 11, part[2].of: found “TOPP”; expected the code of a part of this survey. Did you mean “TOP”?"),
        (HEAD + PARTS + 'of = "SIDE-L"\n',
         "c.toml, line 11, part[2].of: found “SIDE-L”; expected a part that is not itself part of SIDE-L."),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = [\n  "TOP",\n  "SIDE-R",\n]\n',
         "c.toml, line 15, joint[1].parts[2]: found “SIDE-R”; expected the code of a part of this survey. "
         "Did you mean “SIDE-L”?"),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = ["TOP", "TOP"]\n',
         "c.toml, line 13, joint[1].parts[2]: found “TOP”; expected each part once."),
        (HEAD + PARTS + '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE-L"]\n'
         'fixing = [{ code = "S1" }, { code = "S1" }]\n',
         "c.toml, line 14, joint[1].fixing[2].code: found “S1”; expected a code of its own: this one is "
         "another fixing's."),
        (HEAD + PARTS + '[[condition]]\nterm = "split"\npart = "TOPS"\n',
         "c.toml, line 13, condition[1].part: found “TOPS”; expected the code of a part of this survey. "
         "Did you mean “TOP”?"),
        (HEAD + PARTS + "[[photograph]]\nsha256 = \"" + "ab" * 32 + '"\nshows = ["TOP", "LEG"]\n',
         "c.toml, line 13, photograph[1].shows[2]: found “LEG”; expected the code of a part of this survey."),
        (HEAD + PARTS + 'shape = "board"\nshow = ["frunt"]\n',
         "c.toml, line 12, part[2].show: found “frunt”; expected a face of the part: face, both faces, top, underside, "
         "front, back, outside, inside, left, right, edge, front edge, back edge, top edge, bottom edge, left edge, "
         "right edge, edges, all edges, end, left end, right end, top end, bottom end, front end, back end, ends, "
         "all round, nothing. Did you mean “front”?"),
    ],
)  # fmt: skip
def test_the_sentence(text, sentence):
    assert says(text) == [sentence]


@pytest.mark.parametrize(
    ("tables", "sentence"),
    [
        ('[[test]]\ntest = "alcohl"\nstate = "no_change"\n',
         "c.toml, line 6, test[1].test: found “alcohl”; expected a test of an old finish: alcohol, water_drop. "
         "Did you mean “alcohol”?"),
        ('[[test]]\ntest = "alcohol"\nstate = "softens"\n',
         "c.toml, line 7, test[1].state: found “softens”; expected what “alcohol” may show: softens_sticky, no_change. "
         "Did you mean “softens_sticky”?"),
        ('[[reading]]\nabout = "date"\nfeature = "foot_bum"\n',
         "c.toml, line 7, reading[1].feature: found “foot_bum”; expected a feature for the date: foot_bun, "
         "cockbead_drawer. Did you mean “foot_bun”?"),
        ('[[reading]]\nabout = "wood"\nfeature = "porosity"\nstate = "ring"\n',
         "c.toml, line 8, reading[1].state: found “ring”; expected what “porosity” may show: ring_porous, "
         "diffuse_porous."),
        ('[[trial]]\nstep = "cleen"\narea = "0.1 m2"\nminutes = "12 min"\n',
         "c.toml, line 6, trial[1].step: found “cleen”; expected a step we know: clean, strip. Did you mean “clean”?"),
        ('[[decision]]\nabout = "way"\nchoose = "revyve"\nwho = "Ines"\non = 2026-11-25\nwhy = "x"\n',
         "c.toml, line 7, decision[1].choose: found “revyve”; expected a way to go about it: revive, clean_wax. "
         "Did you mean “revive”?"),
    ],
)  # fmt: skip
def test_the_words_of_other_rooms_are_checked_when_given(tables, sentence):
    assert says(HEAD + tables, WORDS) == [sentence]
    assert survey_from(HEAD + tables, "c.toml")


@pytest.mark.parametrize("state", ["softens, sticky", "Softens-sticky", "softens_sticky", "don't know"])
def test_spaces_hyphens_and_capitals_are_forgiven(state):
    assert survey_from(f'{HEAD}[[test]]\ntest = "Alcohol"\nstate = "{state}"\n', "c.toml", words=WORDS)


def test_all_faults_come_at_once_in_the_order_of_their_lines():
    text = (
        HEAD + 'size = "9 mm"\nshow_wood = "oke"\n' + PARTS + 'of = "LID"\n[[condition]]\nterm = "splt"\npart = "LEG"\n'
    )
    with pytest.raises(Faulty) as raised:
        survey_from(text, "c.toml")
    assert [(fault.line, fault.key) for fault in raised.value.faults] == [
        (5, "piece.size"),
        (6, "piece.show_wood"),
        (13, "part[2].of"),
        (15, "condition[1].term"),
        (16, "condition[1].part"),
    ]


def test_tables_of_the_wrong_shape_are_no_traceback():
    for wrong in (3, "x", [3], [[]], {"code": 3}, [{"code": 3, "of": [], "parts": 3, "shows": "x", "fixing": 3}]):
        for table in ("part", "joint", "condition", "photograph", "test", "reading", "trial", "decision", "finish"):
            with pytest.raises(Faulty):
                survey_in({"id": "x", "piece": {"kind": "chest"}, table: wrong}, "c", words=WORDS)
