"""Pieces made up for these tests: parts and joints as a few words each."""

from witnessmark.quantities import Range, Span, Temperature
from witnessmark.sources import Figure, Standing
from witnessmark.survey import Survey, survey_in
from witnessmark.takedown import Glue

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


# --- glue ---


def figure(value):
    return Figure("made up", value, Standing.CONVENTION, "own_convention")


def glue(key="hide_glue_hot", minutes=5.0, worked_at=(60, 63), fills="moderate"):
    warm = figure(Range(*(Temperature(at) for at in (worked_at[0], sum(worked_at) / 2, worked_at[1]))))
    return Glue(key, key.replace("_", " "), figure(Span(minutes)) if minutes else None, warm, fills)


HOT = glue()


def frame(state="loose", panel=False):
    """Two stiles, two rails: all four corners open of themselves."""
    corners = [("J1", "STILE-L RAIL-T", "left"), ("J2", "STILE-L RAIL-B", "left"),
               ("J3", "STILE-R RAIL-T", "right"), ("J4", "STILE-R RAIL-B", "right")]  # fmt: skip
    joints = [joint(code, parts, way, state=state, hidden_metal="no") for code, parts, way in corners]
    if panel:
        joints.append(joint("J5", "PANEL RAIL-T RAIL-B STILE-L STILE-R", held="captured"))
    stile, rail = {"size": "700 x 60 x 22 mm"}, {"size": "400 x 70 x 22 mm"}
    return piece(joints, STILE__L=stile, STILE__R=stile, RAIL__T=rail, RAIL__B=rail)
