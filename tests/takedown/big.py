"""A big press of some two hundred parts, as a shop might list it."""

from .made_up import joint, piece


def press(drawers=24, loose_every=3, away="forward"):
    """Sides, top, bottom, rails, drawers of six parts with runners and handles, back boards, cornice and plinth."""
    parts, joints = {}, []

    def add(code, parts_of_it, *rest, **more):
        joints.append(joint(f"J{len(joints) + 1}.{code}"[:12], parts_of_it, *rest, **more))

    add("TOP", "TOP SIDE-L SIDE-R", "up", "glued")
    add("BOT", "BOT SIDE-L SIDE-R", "down", "glued")
    add("CORN", "CORN TOP", "up", ["glued", "nailed"], "loose", play="0.5 mm")
    add("PLI", "BOT PLINTH", "up", "screwed")
    for number in range(8):
        add("BACK", f"BACK{number} TOP BOT", "back", "nailed", "tight" if number % 2 else "loose")
    for number in range(drawers):
        name, state = f"D{number}", "loose" if number % loose_every == 0 else "tight"
        add("RL", f"RAIL{number} SIDE-L", "right", "glued")
        add("RR", f"RAIL{number} SIDE-R", "left", "glued")
        add("SL", f"{name} RAIL{number}", "forward", "slides")
        for side in "LR":
            add("DT", f"{name}.F {name}.{side}", away, "glued", state, play="0.4 mm", old_glue="hide glue")
            add("DB", f"{name}.B {name}.{side}", "back", "glued", "tight")
            add("DS", f"{name}.BT {name}.{side}", "back", "slides")
        add("K", f"{name}.K {name}.F", "forward", "screwed")
        parts[name] = {}
        for bit in ("F", "L", "R", "B", "BT", "K"):
            parts[f"{name}.{bit}"] = {"of": name} | ({"shape": "hardware"} if bit == "K" else {})
    return piece(joints, "chest", "2000 x 500 x 2200 mm", **parts)
