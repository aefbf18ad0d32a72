"""Which way a finding's figures have changed."""

from __future__ import annotations

import pytest

from netcheck.finding import Finding, Working
from netcheck.record import replace
from netcheck.revisions.findings import ASKS_TOO_MUCH, FIGURES, MILDER, WORSE, difference
from netcheck.rule import all_rules
from tests.report.example import TOO_SMALL

CURRENT, AMPACITY = "current of H1", "ampacity"


def of(rule: str, current_a: float, ampacity_a: float) -> Finding:
    working = (Working(CURRENT, current_a, "A", "x"), Working(AMPACITY, ampacity_a, "A", "x"))
    return replace(TOO_SMALL, rule=rule, working=working)


@pytest.mark.parametrize(
    ("current_a", "ampacity_a", "kind"),
    [(12.0, 7.0, WORSE), (10.0, 5.0, WORSE), (8.0, 7.0, MILDER), (12.0, 9.0, FIGURES)],
)
def test_more_that_is_asked_and_less_that_is_given_is_worse(
    current_a: float, ampacity_a: float, kind: str
) -> None:
    was = of("undersized conductor", 10.0, 7.0)
    assert kind == difference(was, of("undersized conductor", current_a, ampacity_a))[0]


def test_of_another_rule_it_is_not_said_which_way_is_worse() -> None:
    rule = "current too small for its contact"  # more current is better there
    kind, why = difference(of(rule, 0.01, 7.0), of(rule, 0.02, 7.0))
    assert (FIGURES, "current of H1 (A) is 0.02, was 0.01") == (kind, why)
    _, rounded = difference(of(rule, 25 / 12, 7.0), of(rule, 5 / 12, 7.0))
    assert "current of H1 (A) is 0.417, was 2.08" == rounded


def test_the_same_figures_are_no_difference() -> None:
    one = of("undersized conductor", 10.0, 7.0)
    assert "" == difference(one, one)[1]


def test_the_rules_that_ask_too_much_are_rules() -> None:
    assert {rule.name for rule in all_rules()} >= ASKS_TOO_MUCH
