"""Odds against a general probability library: ProbLog, whose exact inference knows nothing of our sums.

Each random question is written out as a ProbLog program (candidate → state → what was read) and both are asked.
Also two worked examples of Bayes' rule from the literature.
"""

import math
import random
import warnings

import pytest

from witnessmark.odds import NONE_OF_THESE, Candidate, Feature, How, Question, Reading

with warnings.catch_warnings():
    warnings.simplefilter("ignore", DeprecationWarning)  # its own parser uses a module Python 3.11 deprecates
    from problog import get_evaluatable
    from problog.logic import Term
    from problog.program import PrologString


def a_question(dice: random.Random) -> Question:
    candidates = tuple(Candidate(f"c{at}", f"c{at}", dice.uniform(0.1, 3)) for at in range(dice.randint(2, 5)))
    features = []
    for at in range(dice.randint(2, 4)):
        states = tuple(f"s{state}" for state in range(dice.randint(2, 4)))
        chances = {}
        for one in candidates:
            weights = [dice.random() + 0.01 for _ in states]
            chances[one.key] = {state: weight / sum(weights) for state, weight in zip(states, weights, strict=True)}
        at_large = [dice.random() + 0.01 for _ in states]
        background = {state: part / sum(at_large) for state, part in zip(states, at_large, strict=True)}
        features.append(Feature(f"f{at}", f"f{at}", states, chances, background))
    return Question(candidates, tuple(features), none_prior=dice.uniform(0.01, 0.2))


def some_readings(dice: random.Random, question: Question, left_out: str | None = None) -> list[Reading]:
    """One or two readings of most features: the second is of the same hidden state."""
    readings = []
    for feature in question.features:
        for _ in range(dice.randint(0, 2) if feature.key != left_out else 0):
            readings.append(Reading(feature.key, dice.choice(feature.states), dice.choice(list(How)),
                                    dice.uniform(0.2, 0.99)))  # fmt: skip
    return readings


def program_of(question: Question, readings: list[Reading], ask: str) -> str:
    """The same question as a logic program. The reader is right, or says a state as often as it is met."""
    total = sum(one.prior for one in question.candidates)
    known = 1 - question.none_prior
    heads = [f"{one.prior / total * known}::cand({one.key})" for one in question.candidates]
    lines = ["; ".join([*heads, f"{question.none_prior}::cand(none)"]) + "."]
    for feature in question.features:
        for key, row in [*feature.chances.items(), ("none", feature.background)]:
            lines.append(f"{'; '.join(f'{p}::{feature.key}({s})' for s, p in row.items())} :- cand({key}).")
    for at, reading in enumerate(readings):
        feature = question.feature(reading.feature)
        lines.append(f"{reading.reliability}::right({at}).")
        lines.append("; ".join(f"{p}::guess({at},{s})" for s, p in feature.background.items()) + ".")
        lines.append(f"reads({at},S) :- right({at}), {feature.key}(S).")
        lines.append(f"reads({at},S) :- \\+right({at}), guess({at},S).")
        wanted = f"reads({at},{reading.state})"
        lines.append(f"evidence({wanted},{'false' if reading.how is How.NOT_SEEN else 'true'}).")
    return "\n".join([*lines, ask])


def answers(program: str) -> dict[str, float]:
    return {str(term): value for term, value in get_evaluatable().create_from(PrologString(program)).evaluate().items()}


@pytest.mark.parametrize("seed", range(12))
def test_the_odds_are_those_of_a_general_probability_library(seed):
    dice = random.Random(seed)
    question = a_question(dice)
    readings = some_readings(dice, question)
    found = question.weigh(readings)
    theirs = answers(program_of(question, readings, "query(cand(_))."))
    for one in question.candidates:
        assert found.probabilities[one.key] == pytest.approx(theirs[f"cand({one.key})"], abs=1e-9)
    assert found.none_of_these == pytest.approx(theirs["cand(none)"], abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_leaving_one_out_and_the_ratio_are_theirs_too(seed):
    dice = random.Random(100 + seed)
    question = a_question(dice)
    readings = some_readings(dice, question)
    if not readings:
        readings = [Reading("f0", "s0", How.SEEN, 0.9)]
    found = question.weigh(readings)
    leader = "none" if found.leader == NONE_OF_THESE else found.leader
    odds = {}
    for name, kept in (("all", readings), ("less", readings[1:])):
        chance = answers(program_of(question, kept, "query(cand(_))."))[f"cand({leader})"]
        odds[name] = chance / (1 - chance)
    assert found.readings[0].ratio == pytest.approx(odds["all"] / odds["less"], rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_what_a_look_is_expected_to_tell_is_theirs_too(seed):
    # Mutual information of candidate and next reading, from the library's joint chances.
    dice = random.Random(200 + seed)
    question = a_question(dice)
    readings = some_readings(dice, question, left_out="f0")
    found = question.weigh(readings)
    program = program_of(question, readings, "")
    right = How.SEEN.reliability
    table = question.feature("f0")
    guesses = "; ".join(f"{p}::guess(new,{s})" for s, p in table.background.items())
    program += (
        f"\n{right}::right(new).\n{guesses}.\nreads(new,S) :- right(new), f0(S).\n"
        "reads(new,S) :- \\+right(new), guess(new,S).\nboth(C,S) :- cand(C), reads(new,S).\nquery(both(_,_))."
    )
    joint = {}
    for term, chance in answers(program).items():
        parsed = Term.from_string(term)
        joint[str(parsed.args[0]), str(parsed.args[1])] = chance
    left, top = {}, {}
    for (candidate, state), chance in joint.items():
        left[candidate] = left.get(candidate, 0) + chance
        top[state] = top.get(state, 0) + chance
    bits = sum(p * math.log2(p / left[c] / top[s]) for (c, s), p in joint.items() if p > 0)
    ours = {look.key: look.gain for look in found.next_looks}
    if "f0" in ours:
        assert ours["f0"] == pytest.approx(bits, abs=1e-9)
    else:
        assert found.enough or bits < 0.05 + 1e-9


@pytest.mark.parametrize(
    ("prior", "if_true", "if_false", "posterior", "tolerance"),
    [
        (0.01, 0.8, 0.096, 0.078, 0.0005),  # Gigerenzer and Hoffrage, Psychological Review 102 (1995) 684: 7.8 %
        (0.15, 0.8, 0.2, 0.41, 0.005),  # Tversky and Kahneman (1982), the cab problem: 0.41, from memory
        (0.001, 1.0, 0.05, 0.0196, 0.0001),  # Casscells, Schoenberger and Graboys (1978): about 2 %, from memory
    ],
)
def test_the_textbook_cases_of_bayes_rule(prior, if_true, if_false, posterior, tolerance):
    question = Question(
        (Candidate("ill", "ill", prior), Candidate("well", "well", 1 - prior)),
        (
            Feature("sign", "sign", ("yes", "no"), {
                "ill": {"yes": if_true, "no": 1 - if_true}, "well": {"yes": if_false, "no": 1 - if_false},
            }),
        ),
        none_prior=0.0,
    )  # fmt: skip
    found = question.weigh([Reading("sign", "yes", reliability=1.0)])
    assert found.probabilities["ill"] == pytest.approx(posterior, abs=tolerance)
