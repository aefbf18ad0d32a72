"""What waits for one uncertain coil is told once.

Source: the trade's habit of one cause, one finding: a coil of the wrong voltage is looked at
once, and what hangs on it is decided with it.
"""

from __future__ import annotations

import pytest

from netcheck.facts.wire_groups import causes_of, not_said, things_in
from netcheck.finding import NotChecked, NotDecided, Place
from netcheck.one_cause import told_once, unchecked_once
from netcheck.review import review
from netcheck.text import Span
from tests.annotated import Texts

PUMP = """panel "Pump"
numbers one for each node
edge E1 24 V DC, fused 5 A, 100 A available, 0V grounded, from "greenhouse panel"
relay K1 coil 48 V DC 3 W with diode; normally open 13-14 23-24 33-34
relay K2 coil 24 V DC 1 W with diode; normally open 13-14
button S1 "Start" normally open 13-14
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
circuit "Control"
  E1:+ -- S1 -- K1:A1-A2 -- E1:0V
  S1:13 -- K1:13-14 -- K2:A1-A2 -- E1:0V
  S1:13 -- K2:13-14 -- K1:23-24 -- H1 -- E1:0V
  S1:13 -- K1:33-34 -- H2 -- E1:0V
intent "both lamps": H1 is on whenever H2 is on
"""


def undecided(reason: str, line: int) -> NotDecided:
    return NotDecided(
        reason, Place(Span("a.panel", line, 1, 1)), (f"D{line}",), rule=f"rule {line}"
    )


def test_questions_that_wait_for_one_coil_are_one_line() -> None:
    waits = "it depends on whether K1 pulls in at the voltage it gets"
    several = [
        undecided(f"whether `M1` can be on: {waits}", 1),
        undecided(f"intent `dry`: {waits}; 18 devices are concerned", 2),
        undecided(f"whether `M1` can be on: {waits}", 3),
        undecided("whether `M2` can be on: more ways than are followed", 4),
    ]
    first, other = told_once(several)
    assert f"whether `M1` can be on; intent `dry`: {waits}" == first.reason
    assert (1, ("D1", "D2", "D3")) == (first.place.span.line, first.devices)
    assert several[3] == other


def test_questions_that_wait_for_different_coils_stay_apart() -> None:
    several = [
        undecided(f"whether `M{n}` can be on: it depends on whether K{n} pulls in", n)
        for n in (1, 2)
    ]
    assert tuple(several) == told_once(several)


def test_more_questions_than_a_line_holds_are_counted() -> None:
    waits = "it depends on whether K1 pulls in"
    (one,) = told_once(undecided(f"whether `M{n}` can be on: {waits}", n) for n in range(1, 6))
    assert "; and 2 more questions: it depends on whether K1 pulls in" in one.reason


def test_a_coil_on_half_its_voltage_leaves_one_line_open() -> None:
    found, _ = review(["pump.panel"], Texts({"pump.panel": PUMP}))
    assert 1 == len(found.not_decided)
    assert ["mismatched voltage"] == [
        one.rule for one in found.findings if "K1" in one.devices and "gets" in one.message
    ]


# ---- what is not checked -----------------------------------------------------------------------

FOUR_HEATERS = """panel "Heaters"
numbers one for each node
{kind}
edge E1 240 V AC 60 Hz, two-wire, fused 20 A, 5 kA available, L2 grounded, from "panel"
switch S1 normally open 1-2 240 V AC 20 A
heater HTR1 1 kW 240 V AC, restart allowed
heater HTR2 1 kW 240 V AC, restart allowed
circuit "North" in heat
  E1:L1 --1-- S1 --2-- HTR1 --N-- E1:L2
circuit "South" in heat
  S1:2 --2-- HTR2 --N-- E1:L2
  E1:PE --PE-- (12 AWG) HTR1:PE --PE-- (12 AWG) HTR2:PE
"""


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        (
            "12 AWG copper MTW 90 degC, 3 m",
            [],
        ),
        (
            "copper MTW 90 degC, 3 m",
            [("no size said", 5, {"conductor below minimum size", "undersized conductor",
                                  "unprotected branch", "voltage drop too large"})],
        ),
        (
            "12 AWG copper, 3 m",
            [("no insulation temperature said", 5, {"undersized conductor", "unprotected branch"})],
        ),
        (
            "12 AWG copper MTW 90 degC",
            [("no length said", 5, {"voltage drop too large"})],
        ),
        (
            "black",
            [("no size, no metal, no insulation temperature and no length said", 5,
              {"conductor below minimum size", "undersized conductor", "unprotected branch",
               "voltage drop too large"})],
        ),
    ],
)  # fmt: skip
def test_what_a_wire_kind_leaves_out_is_told_once_with_the_wires_and_the_rules(
    kind: str, told: list[tuple[str, int, set[str]]]
) -> None:
    text = FOUR_HEATERS.format(kind=f"wire kind heat: {kind}")
    found, _ = review(["heat.panel"], Texts({"heat.panel": text}))
    about_wires = [one for one in found.not_checked if one.wires]
    assert told == [(one.cause, len(one.wires), set(one.rules)) for one in about_wires]


def lacking(cause: str, rule: str, *wires: str, line: int = 1) -> NotChecked:
    place = Place(Span("a.panel", line, 1, 1))
    return NotChecked(f"`wire {wires[0]}`: {cause}", place, (), rule, wires, cause)


def test_wires_that_lack_different_things_stay_apart_and_are_counted_each() -> None:
    told = unchecked_once(
        [
            lacking("no size said", "first", "1", "2", "3"),
            lacking("no length said", "second", "1", "2"),
            lacking("no size said", "third", "2", "3", "4"),
        ]
    )
    assert ["`wire 1` and 3 more wires: no size said", "`wire 1` and 1 more wire: no length said"] \
        == [one.reason for one in told]  # fmt: skip
    assert [("first", "third"), ("second",)] == [one.rules for one in told]


def test_the_place_is_the_wire_that_is_written_first() -> None:
    (one,) = unchecked_once(
        [
            lacking("no size said", "first", "9", line=9),
            lacking("no size said", "second", "4", line=4),
        ]
    )
    assert (4, "`wire 4` and 1 more wire: no size said") == (one.place.span.line, one.reason)


def test_what_no_table_holds_is_one_cause_over_all_rules_too() -> None:
    reason = "NEC 310.16 has no 30 AWG"
    (one,) = unchecked_once(lacking(reason, rule, "1", "2") for rule in ("first", "second"))
    assert (("first", "second"), ("1", "2")) == (one.rules, one.wires)


def test_a_device_that_does_not_say_the_same_thing_to_two_rules_is_told_once() -> None:
    place = Place(Span("a.panel", 1, 1, 1))
    entries = [NotChecked("PS1 says no current", place, ("PS1",), rule) for rule in ("a", "b")]
    other = NotChecked("PS1 says no current", place, ("PS2",), "a")
    assert [("a", "b"), ("a",)] == [one.rules for one in unchecked_once([*entries, other])]


@pytest.mark.parametrize("things", [["size"], ["size", "metal"], ["size", "metal", "length"]])
def test_what_is_not_said_is_put_together_and_taken_apart(things: list[str]) -> None:
    assert things == things_in(not_said(things))
    assert tuple(not_said([thing]) for thing in things) == causes_of(not_said(things))
    assert ("no table has 50 AWG",) == causes_of("no table has 50 AWG")
