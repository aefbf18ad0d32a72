"""Findings that a text or a register accepts: until when, and what nothing needs."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.finding import Finding, Place, Review, Severity, Working
from netcheck.record import replace
from netcheck.register import NoRegister, Register, entries_of, held_against, read, render
from netcheck.review import review
from netcheck.text import Source, Span
from tests.annotated import Texts

SHORTED = """
battery B1 12 V DC, ungrounded, fused 4 A
wire kind default: 18 AWG copper MTW, 1 m
B1:+ --9-- B1:-
button S9 normally open 13-14
"""
UNNEEDED = "acceptance that nothing needs"


def reviewed(text: str, as_of: str = "2027-01-31") -> Review:
    found, _ = review(["light.panel"], Texts({"light.panel": text}), as_of=as_of)
    assert () == found.mistakes
    return found


def rules(found: Review) -> set[str]:
    return {one.rule for one in found.findings}


def test_an_acceptance_holds_on_its_last_day_and_not_on_the_next() -> None:
    text = SHORTED + 'accept missing load on B1: "bench" until 2027-01-31\n'
    assert "missing load" not in rules(reviewed(text, "2027-01-31"))
    (late,) = [f for f in reviewed(text, "2027-02-01").findings if f.rule == "missing load"]
    assert "accepted until 2027-01-31, which is past" == late.related[-1].label
    assert UNNEEDED not in rules(reviewed(text, "2027-02-01"))


def test_a_danger_is_not_accepted_without_a_day_and_anything_else_is() -> None:
    found = reviewed(
        SHORTED
        + 'accept missing load on B1: "bench"\naccept device in no circuit on S9: "spare part"\n'
    )
    (danger,) = [f for f in found.findings if f.rule == "missing load"]
    assert "a danger is accepted only until a date" == danger.related[-1].label
    assert ["device in no circuit"] == [one.finding.rule for one in found.accepted]


def test_an_acceptance_that_nothing_needs_is_found_unless_its_rule_left_something_open() -> None:
    found = reviewed(SHORTED + 'accept sneak path on S9: "x"\n'.replace("sneak path", "back feed"))
    assert UNNEEDED in rules(found)
    open_rule = {one.rule for one in found.not_checked} - rules(found)
    for rule in sorted(open_rule):
        assert UNNEEDED not in rules(reviewed(SHORTED + f'accept {rule} on S9: "x"\n'))


def test_an_acceptance_that_nothing_needs_can_be_accepted_itself_where_it_is_wanted() -> None:
    kept = 'accept back feed on S9: "comes with the next stage"\n'
    found = reviewed(SHORTED + kept + f'accept {UNNEEDED} on S9: "known"\n')
    assert UNNEEDED not in rules(found)


# ---- the register --------------------------------------------------------------------------------

QUERY = Finding(
    "`S9` is described but stands in no circuit",
    Place(Span("a.panel", 3, 1, 2)),
    ("S9",),
    rule="device in no circuit",
    working=(Working("current", 8.0, "A", "by hand"),),
)


def same(path: str) -> str:
    return path


def register_of(*findings: Finding, until: str = "", path: str = "known.json") -> Register:
    entries = entries_of(Review(findings), same, until)
    return read(Source(path, render(entries)), "registered")


def held(*findings: Finding, by: Register, as_of: str = "2027-01-31") -> Review:
    return held_against(Review(findings, panels=("a.panel",), checks=1), by, same, as_of)


def test_a_registered_finding_is_accepted_wherever_its_line_is() -> None:
    moved = replace(QUERY, place=Place(Span("a.panel", 99, 5, 6)), message="in other words")
    found = held(moved, by=register_of(QUERY))
    assert () == found.findings
    assert ["registered"] == [one.reason for one in found.accepted]


def test_a_renamed_device_loses_its_entry_and_the_entry_is_then_a_finding() -> None:
    renamed = replace(QUERY, devices=("S8",))
    found = held(renamed, by=register_of(QUERY))
    assert ["device in no circuit", UNNEEDED] == [one.rule for one in found.findings]
    stale = found.findings[-1].place.span
    assert ("known.json", 2) == (stale.path, stale.line)


def test_an_entry_holds_no_longer_when_severity_or_figures_are_not_those_registered() -> None:
    worse = replace(QUERY, severity=Severity.DEFECT)
    assert (worse.rule,) == tuple(f.rule for f in held(worse, by=register_of(QUERY)).findings)
    more = replace(QUERY, working=(Working("current", 9.0, "A", "by hand"),))
    (again,) = held(more, by=register_of(QUERY)).findings
    assert "current (A) is 9, was 8 when this was registered" == again.related[-1].label
    last_bits = replace(QUERY, working=(Working("current", 8.0000001, "A", "by hand"),))
    assert () == held(last_bits, by=register_of(QUERY)).findings


def test_a_registered_danger_needs_a_day_and_runs_out() -> None:
    danger = replace(QUERY, severity=Severity.DANGER)
    assert held(danger, by=register_of(danger)).findings
    dated = register_of(danger, until="2027-01-31")
    assert () == held(danger, by=dated).findings
    assert held(danger, by=dated, as_of="2027-02-01").findings


def test_entries_of_files_that_were_not_reviewed_are_no_findings() -> None:
    other = replace(QUERY, place=Place(Span("b.panel", 1, 1, 2)))
    assert (QUERY,) == held(QUERY, by=register_of(other)).findings


def test_an_entry_is_not_called_needless_where_its_rule_left_something_open() -> None:
    from netcheck.finding import NotChecked

    left = NotChecked("no size", QUERY.place, rule=QUERY.rule)
    one = Review(not_checked=(left,), panels=("a.panel",), checks=1)
    assert () == held_against(one, register_of(QUERY), same).findings


def test_a_register_is_an_entry_a_line_in_one_order() -> None:
    other = replace(QUERY, devices=("S1",))
    text = render(entries_of(Review((QUERY, other)), same))
    assert text == render(entries_of(Review((other, QUERY)), same))
    assert 4 == len(text.splitlines())
    assert 2 == len(json.loads(text)["entries"])


@given(st.text() | st.sampled_from(["[]", "{}", "[" * 5_000, '{"netcheck_register": 1}', "1"]))
def test_a_text_that_is_no_register_is_said_to_be_none(text: str) -> None:
    with pytest.raises(NoRegister):
        read(Source("known.json", text), "")


@pytest.mark.parametrize("entry", ["1", "{}", '{"file": 1}', "null", "[]"])
def test_a_register_with_an_entry_that_is_none_is_refused(entry: str) -> None:
    text = f'{{"netcheck_register": 1, "entries": [{entry}]}}'
    with pytest.raises(NoRegister):
        read(Source("known.json", text), "")
