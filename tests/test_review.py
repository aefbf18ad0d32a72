"""The flow from text to findings: what a review promises whatever its rules say."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

import netcheck.review
from netcheck.case import Case, UndeclaredFact, View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Review,
    Severity,
)
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.rule import Rule, all_rules, rule
from netcheck.text import Span
from tests.annotated import Texts

SHORTED = """
battery B1 12 V DC, ungrounded, fused 4 A
switch S1 normally open 1-2
lamp H1 12 V DC 0.5 A
wire kind default: 18 AWG copper MTW, 1 m
circuit "Work light"
  B1:+ --1-- S1 --2-- H1 --3-- B1:-
  S1:2 --2-- B1:-   # across the lamp
"""


def reviewed(**texts: str) -> Review:
    paths = {f"{name}.panel": text for name, text in texts.items()}
    return netcheck.review.review(list(paths), Texts(paths))[0]


def missing_loads(review: Review) -> list[Finding]:
    return [finding for finding in review.findings if finding.rule == "missing load"]


def test_a_wire_across_a_lamp_is_one_missing_load_on_its_own_line() -> None:
    (found,) = missing_loads(reviewed(light=SHORTED))
    assert (8, "danger") == (found.place.span.line, found.severity.value)
    assert ("turn S1 on", "B1 comes on") == found.steps
    assert ["B1:+", "S1:1", "S1:2", "B1:-"] == [step.at for step in found.path]


def test_a_finding_has_the_same_identity_when_its_lines_move() -> None:
    (before,) = missing_loads(reviewed(light=SHORTED))
    (after,) = missing_loads(reviewed(light="\n\n# moved\n" + SHORTED))
    assert before.place.span.line + 3 == after.place.span.line
    assert before.identity == after.identity


def test_the_same_panels_give_the_same_review_in_any_order_of_their_findings() -> None:
    assert reviewed(a=SHORTED, b=SHORTED) == reviewed(a=SHORTED, b=SHORTED)
    paths = [f.place.span.path for f in missing_loads(reviewed(b=SHORTED, a=SHORTED))]
    assert ["a.panel", "b.panel"] == paths


def test_an_accepted_finding_is_kept_apart_with_its_reason() -> None:
    accept = 'accept missing load on B1: "bench demonstration" until 2030-01-31\n'
    review = reviewed(light=SHORTED + accept)
    assert [] == missing_loads(review)
    kept = [a for a in review.accepted if a.finding.rule == "missing load"]
    assert [("bench demonstration", "2030-01-31")] == [(a.reason, a.until) for a in kept]


def test_of_several_wires_of_one_number_the_one_that_is_named_is_accepted() -> None:
    text = """
battery B1 12 V DC, ungrounded, fused 4 A
strip X1 terminals 1 to 4
wire kind default: 18 AWG copper MTW, 1 m
X1:1 --9-- B1:+
X1:1 --9-- X1:2
X1:2 --9-- B1:-
"""
    (found,) = missing_loads(reviewed(light=text))
    assert ("9 X1:2 to B1:-",) == found.wires
    until = '"bench demonstration" until 2030-01-31\n'
    this = f"accept missing load on wire 9 B1:- to X1:2: {until}"
    assert [] == missing_loads(reviewed(light=text + this))
    other = f"accept missing load on wire 9 X1:1 to X1:2: {until}"
    assert [found.rule] == [one.rule for one in missing_loads(reviewed(light=text + other))]


def test_accepting_a_rule_that_does_not_exist_is_a_mistake_with_a_near_name() -> None:
    review = reviewed(light=SHORTED + 'accept missing lode on B1: "why not"\n')
    assert ["did you mean `missing load`?"] == [mistake.help for mistake in review.mistakes]


def test_a_text_without_devices_is_a_mistake_and_not_a_pass() -> None:
    review = reviewed(empty="# nothing here\n")
    assert ["this text describes no device"] == [m.message for m in review.mistakes]
    assert (0, ()) == (review.checks, review.panels)


def test_a_library_of_assemblies_is_not_empty() -> None:
    library = "assembly ZONE\nconnections FEED\nvalve Y1 24 V DC 8 W\nend\n"
    assert () == reviewed(library=library).mistakes


def test_a_rule_that_breaks_is_told_and_never_hides_what_others_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def breaking(view: View) -> Iterator[Outcome]:
        raise RuntimeError("out of order")

    broken = Rule(
        "broken rule", Family.DRAWING, Severity.QUERY, "", "",
        all_rules()[0].reference, "", (), breaking,
    )  # fmt: skip
    monkeypatch.setattr(netcheck.review, "all_rules", lambda: (*all_rules(), broken))
    review = reviewed(light=SHORTED)
    assert 1 == len(missing_loads(review))
    assert ["broken rule"] == [n.rule for n in review.not_decided if n.rule == "broken rule"]
    assert ["light.panel: broken rule: RuntimeError: out of order"] == list(review.failures)


class Thing:
    pass


class OtherThing:
    pass


@concludes()
def find_thing(view: View) -> Thing:
    view[Behaviour]
    return Thing()


class Egg:
    pass


class Hen:
    pass


@concludes(Egg)
def find_hen(view: View) -> Hen:
    view[Egg]
    return Hen()


@concludes(Hen)
def find_egg(view: View) -> Egg:
    view[Hen]
    return Egg()


def any_case() -> Case:
    loader = Texts({"light.panel": SHORTED})
    panel, _ = build_panel("light.panel", gather("light.panel", loader))
    return Case(panel)


def test_a_fact_that_is_not_declared_is_refused() -> None:
    with pytest.raises(UndeclaredFact, match="Behaviour is used but not declared"):
        any_case().conclude(Thing)


def test_facts_that_need_each_other_are_refused() -> None:
    with pytest.raises(UndeclaredFact, match="Hen needs Egg needs Hen"):
        any_case().conclude(Hen)


def test_a_rule_stamps_its_name_family_and_severity_on_what_it_says() -> None:
    @rule(
        family=Family.DRAWING, severity=Severity.QUERY, summary="s", why="w", source="from memory",
        kind=ReferenceKind.FROM_MEMORY,
    )  # fmt: skip
    def find(view: View) -> Iterator[Outcome]:
        place = Place(Span("a", 1, 1, 2))
        yield Finding("something", place)
        yield NotChecked("no data", place)

    found, open_question = find.outcomes(any_case())
    assert isinstance(found, Finding)
    assert ("test review", Family.DRAWING, Severity.QUERY, "from memory") == (
        found.rule, found.family, found.severity, found.reference.text,
    )  # fmt: skip
    assert "test review" == open_question.rule


@pytest.mark.parametrize("each", all_rules(), ids=lambda each: each.name)
def test_every_rule_says_what_why_and_on_whose_word(each: Rule) -> None:
    assert each.summary
    assert each.why
    assert each.reference.text
    assert len(each.doc.strip().splitlines()) >= 2
    assert each.name == each.name.lower()
