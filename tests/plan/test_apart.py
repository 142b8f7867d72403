"""Taking apart inside a plan: what stays shut is not opened, what may be sprung is, glue-ups fit the open time."""

from pieces import NOW, shop
from small_surveys import finish, survey_with
from witnessmark.daybook import DayBook
from witnessmark.finish import adhesive
from witnessmark.plan import plan_piece
from witnessmark.quantities import high, low, usual

CHAIR = '[piece]\nkind = "chair"\nshow_wood = "elm"\n'
PARTS = (
    '[[part]]\ncode = "LEG"\nname = "leg"\nwood = "beech"\nshape = "turned"\nsize = "440 x 50 mm"\n'
    '[[part]]\ncode = "SEAT"\nname = "seat"\nwood = "elm"\nshape = "board"\nsize = "450 x 430 x 42 mm"\n'
)
# A leg wedged through the seat: the wedge must be bored out from above to open it.
LEG = (
    '[[joint]]\ncode = "J1"\nparts = ["LEG", "SEAT"]\nheld = ["glued", "wedged from above"]\nstate = "loose"\n'
    'withdraw = "down"\n'
)
TRIED = 'play = "0.4 mm"\nold_glue = "hide glue"\nhidden_metal = "no"\n'


def plan(*tables: str):
    return plan_piece(survey_with(PARTS, *tables, finish("wax"), piece=CHAIR), shop(), DayBook(), NOW)


def rules(made) -> set[str]:
    return {step.step.rule for step in made.steps}


def test_a_joint_wedged_from_above_is_sprung_where_play_glue_and_fit_allow_it():
    sprung = plan(LEG + TRIED)
    assert "spring_joints" in rules(sprung)
    assert not {"open_joints", "joint_clean", "dry_fit"} & rules(sprung)
    (spring,) = sprung.apart.taken.spring
    assert spring.leaves  # what it leaves undone is said
    assert any(stage.sprung for stage in sprung.apart.stages)


def test_where_nobody_tried_it_the_look_comes_first_and_nothing_is_bored_out():
    untried = plan(LEG)
    assert "try_joints" in rules(untried)
    assert not {"open_joints", "spring_joints"} & rules(untried)
    (look,) = [step.step for step in untried.steps if step.step.rule == "try_joints"]
    assert "stays shut" in " ".join(reason.says for reason in look.why)


def test_a_plain_loose_joint_is_opened_cleaned_and_glued():
    plain = plan(LEG.replace(', "wedged from above"', ""))
    assert {"open_joints", "joint_clean", "dry_fit", "glue_up"} <= rules(plain)


def test_a_sound_joint_is_neither_opened_nor_sprung():
    sound = plan(LEG.replace("loose", "tight"))
    assert not {"open_joints", "spring_joints", "try_joints", "glue_up"} & rules(sound)


def test_a_glue_up_is_held_against_the_printed_open_time_and_less_in_a_cold_shop():
    # Open time of hot hide glue: adhesives.csv, a glue guide's and a makers' page's minutes at a usual shop.
    made = plan(LEG.replace(', "wedged from above"', ""))
    printed = adhesive("hide_glue_hot").open_time.value
    (stage,) = made.apart.stages
    here = stage.open_time.value
    assert high(here) <= high(printed)  # the demo shop is colder than the table's
    assert usual(stage.seconds.value) <= usual(here)
    assert low(here).minutes > 0


def test_stages_open_nothing_that_stays_shut():
    made = plan(LEG.replace(', "wedged from above"', ""))
    shut = set(made.apart.taken.stays_shut)
    assert not shut & {joint for stage in made.apart.stages for joint in stage.joints if not stage.sprung}
