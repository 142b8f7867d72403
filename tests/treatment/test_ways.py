"""Ways to go about it: what is forbidden, what the wishes favour, and whose word is last."""

from small_surveys import TOP, condition, decision, finish, survey_with, wishes
from witnessmark.sources import table
from witnessmark.treatment import chosen_way, findings_in, skipped_in, ways_for


def weighed(*tables: str):
    survey = survey_with(*tables)
    ways, heard = ways_for(findings_in(survey))
    return survey, {way.key: way for way in ways}, heard


def taken(*tables: str) -> str:
    survey, ways, _ = weighed(*tables)
    return chosen_way(survey, tuple(ways.values()))[0].key


def test_every_rule_names_ways_there_are():
    ways = {row.key for row in table("treatment", "ways.csv")}
    for rule in table("treatment", "way_rules.csv"):
        assert set(rule.keys_in("ways")) <= ways, rule.key
        assert rule["verdict"] in {"forbid", "favour", "against"}


def test_a_film_spirit_does_not_melt_can_not_be_revived():
    _, ways, _ = weighed(finish("polyurethane"))
    assert not ways["revive"].allowed
    assert ways["revive"].forbidden_by == ("way_rules.csv: film_will_not_melt",)


def test_a_customers_piece_is_neither_sold_nor_broken():
    survey = survey_with(finish("shellac"), piece='[piece]\nkind = "chest"\ncame = "customer\'s"\n')
    ways = {way.key: way for way in ways_for(findings_in(survey))[0]}
    assert not ways["sell_as_found"].allowed
    assert not ways["break_timber"].allowed


def test_wanted_paint_forbids_every_stripping():
    _, ways, _ = weighed(finish("oil paint"), wishes(keep="paint"))
    assert all(not ways[key].allowed for key in ("strip_brush", "strip_rubber", "oil", "varnish_barrier"))
    assert ways["keep_paint"].allowed


def test_the_old_surface_wanted_is_revived_or_cleaned_and_never_stripped():
    assert taken(finish("shellac"), condition("wear"), wishes(keep="old surface")) == "revive"
    assert taken(finish("shellac"), wishes(keep="old surface")) == "clean_wax"


def test_a_ruined_film_and_gloss_wanted_goes_to_the_rubber():
    ruined = (finish("shellac"), condition("alligatoring", severity="major"), wishes(keep="nothing", sheen="gloss"))
    assert taken(*ruined) == "strip_rubber"
    daily = (finish("shellac"), condition("alligatoring", severity="major"), wishes(keep="nothing", use="daily"))
    assert taken(*daily) == "strip_brush"


def test_an_unknown_finish_is_planned_the_mildest_way():
    assert taken(finish("don't know")) == "clean_wax"


def test_a_tie_goes_to_the_milder_way():
    survey, ways, _ = weighed(finish("shellac"), condition("bruise", "TOP"), TOP)
    best = max(way.points for way in ways.values() if way.allowed)
    way, _ = chosen_way(survey, tuple(ways.values()))
    assert way == next(one for one in ways.values() if one.allowed and one.points == best)


def test_the_restorers_own_choice_wins_even_over_a_rule():
    survey, ways, _ = weighed(finish("polyurethane"), decision("way", choose="revive"))
    way, why = chosen_way(survey, tuple(ways.values()))
    assert way.key == "revive"
    assert why == "Ann chose it: tried it"


def test_the_last_of_two_choices_counts():
    assert taken(decision("way", choose="oil"), decision("way", choose="leave and record")) == "leave_record"


def test_every_rule_is_heard_fired_or_not():
    _, _, heard = weighed(finish("shellac"))
    rules = {said.rule for said in heard}
    assert {f"way_rules.csv: {row.key}" for row in table("treatment", "way_rules.csv")} <= rules
    assert "compatibility.csv: C010" in rules  # wax over shellac was looked up as well
    assert any(said.fired for said in heard)
    assert any(not said.fired for said in heard)


def test_wax_left_on_forbids_what_is_laid_over_it():
    # compatibility table C001: wax is hostile to every film over it
    waxed = (finish("shellac", 'waxed_over = "yes"'), decision("skip", step="take the old wax off"))
    survey = survey_with(*waxed)
    findings = findings_in(survey)
    ways = {way.key: way for way in ways_for(findings, skipped_in(survey))[0]}
    for key in ("revive", "strip_brush", "strip_rubber", "varnish_barrier"):
        assert {"compatibility.csv: C001", "way_rules.csv: nothing_over_wax"} == set(ways[key].forbidden_by), key
    assert ways["oil"].forbidden_by == ("way_rules.csv: nothing_over_wax",)  # the table speaks of films only
    assert ways["clean_wax"].allowed
    assert {way.key: way for way in ways_for(findings)[0]}["revive"].allowed


def test_gilding_is_neither_wiped_nor_stripped():
    _, ways, _ = weighed(finish("gilding"))
    assert [key for key, way in ways.items() if way.allowed] == ["leave_record", "keep_gilding", "sell_as_found"]
    assert taken(finish("gilding")) == "keep_gilding"


def test_milk_paint_is_not_stripped():
    # strippers table: only caustic moves it, and caustic is forbidden on paint
    _, ways, _ = weighed(finish("milk paint"))
    assert "way_rules.csv: no_stripper_for_it" in ways["strip_brush"].forbidden_by


def test_every_way_says_what_it_adds_and_what_it_stands_up_to():
    _, ways, _ = weighed(finish("shellac"))
    assert len(ways) >= 10
    assert all(way.adds and way.resistance and way.reversible and way.hazard and way.gist for way in ways.values())
