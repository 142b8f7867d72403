"""Pieces made up for these tests: parts and joints as a few words each."""

from witnessmark.survey import Survey, survey_in

ID = "01890a5d-ac96-774b-bcce-b302099a8057"


def joint(code, parts, way="don't know", held="glued", state="tight", **more):
    """One joint: parts with a space between, the first being the one that comes away."""
    held = [held] if isinstance(held, str) else list(held)
    return {"code": code, "parts": parts.split(), "withdraw": way, "held": held, "state": state, **more}


def screw(code, hole="", **more):
    return {"code": code, "kind": "screw", "hole": hole, **more}


def piece(joints, kind="other", size=None, **parts) -> Survey:
    """A survey of these joints. `parts` gives more of some parts: `SEAT={"count": 4}`; a dash is written __."""
    more = {code.replace("__", "-"): fields for code, fields in parts.items()}
    codes = [code for each in joints for code in (*each["parts"], *each.get("behind", ()))]
    codes = dict.fromkeys([*codes, *more])
    tables = {
        "id": ID,
        "piece": {"kind": kind} | ({"size": size} if size else {}),
        "part": [{"code": code, "name": code.lower()} | more.get(code, {}) for code in codes],
        "joint": joints,
    }
    return survey_in(tables, "made up")


def part(survey, code):
    return survey.parts_by_code()[code]


def steps(taken):
    """The order as (take, with, way)."""
    return [(each.take, each.along, each.way and each.way.value) for each in taken.order]
