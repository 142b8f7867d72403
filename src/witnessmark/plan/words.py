"""The words of other rooms that a survey may use: tests, features of date and wood, ways to go about it, steps."""

from witnessmark.evidence import date_words
from witnessmark.finish import spot_tests
from witnessmark.survey import Words
from witnessmark.treatment import step_words, way_words
from witnessmark.wood import wood_words


def survey_words() -> Words:
    """What `survey_from` checks a survey's words against, so that a slip is answered with the nearest right one."""
    return Words(
        tests={test.key: test.states for test in spot_tests()},
        date_features=date_words(),
        wood_features={feature: tuple(states) for feature, states in wood_words().states.items()},
        ways=way_words(),
        rules=step_words(),
    )
