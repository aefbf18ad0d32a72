"""Intents, word by word: what each form of sentence asks of a small panel."""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.intents import Intents, IntentVerdict, Outcome
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from tests.annotated import Texts

PANEL = """\
panel "Bench"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "one supply"
edge E2 24 V DC, fused 4 A, 100 A available, 0V grounded, from "another supply"
button S1 normally closed 11-12
button S2 normally open 13-14
switch SS1 normally open 13-14
relay K1 coil 24 V DC; normally open 13-14 23-24
relay K2 coil 24 V DC; normally closed 21-22
lamp H1 24 V DC
lamp H2 24 V DC
on-delay timer KT1 5 s; coil 24 V DC; timed normally open 15-18
lamp H3 24 V DC
assume S1 and S2 are never pressed together
circuit "Bench"
  E1:+ --101-- S1 --102-- S2 --103-- K1:A1-A2 --200-- E1:0V
  S1:12 --104-- K1:13-14 --105-- S2:14
  E2:+ --301-- K1:23-24 --302-- H1 --300-- E2:0V
  E1:+ --106-- SS1 --107-- K2:A1-A2 --201-- E1:0V
  E1:+ --108-- K2:21-22 --109-- H2 --202-- E1:0V
  SS1:14 --110-- KT1:A1-A2 --203-- E1:0V
  E1:+ --111-- KT1:15-18 --112-- H3 --204-- E1:0V
"""


def verdict(sentence: str, drawn: str = PANEL) -> IntentVerdict:
    text = f'{drawn}intent "asked": {sentence}\n'
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    (found,) = Case(panel).conclude(Intents).verdicts
    return found


@pytest.mark.parametrize(
    ("sentence", "outcome"),
    [
        ("K1 is out whenever S1 is pressed", Outcome.PROVED),
        ("K1 is out whenever S2 is pressed", Outcome.BROKEN),
        ("K1 is in whenever S2 is pressed", Outcome.PROVED),
        ("never (S1 is pressed and K1 is in)", Outcome.PROVED),
        ("never (S2 is pressed and K1 is in)", Outcome.BROKEN),
        ("K1 and K2 are never in together", Outcome.BROKEN),
        ("sometimes K1 and K2 are in", Outcome.PROVED),
        ("sometimes K1 is in and S1 is pressed", Outcome.NO_STATE),
        ("H1 can be on", Outcome.PROVED),
        ("H2 is on only while SS1 is off", Outcome.PROVED),
        ("H3 is on only while SS1 is on", Outcome.PROVED),
        ("H2 is off whenever SS1 is on and K2 is out", Outcome.PROVED),
        ("H2 is off whenever SS1 is on and K2 is out and E1 is present", Outcome.EMPTY),
        ("K1 is out whenever S1 is pressed and S2 is pressed", Outcome.EMPTY),
        ("not H2 is on or SS1 is off whenever E1 is present", Outcome.PROVED),
    ],
)
def test_each_form_of_sentence_is_judged(sentence: str, outcome: Outcome) -> None:
    assert outcome == verdict(sentence).outcome


def test_losing_a_source_is_no_way_of_switching_off() -> None:
    # H1 hangs on E2, K1 on E1: asked with both present, the lamp shows the relay.
    assert Outcome.PROVED == verdict("H1 is on whenever K1 is in").outcome
    assert Outcome.PROVED == verdict("H2 is on whenever SS1 is off").outcome


def test_a_source_that_the_sentence_names_may_be_lost() -> None:
    assert Outcome.BROKEN == verdict("H1 is on whenever K1 is in or E2 is absent").outcome


def test_only_while_forbids_and_so_heeds_every_source() -> None:
    # With E2 lost the lamp is off and the relay is still in.
    assert Outcome.BROKEN == verdict("K1 is in only while H1 is on").outcome


def test_a_timer_that_has_not_run_out_yet_has_settled() -> None:
    assert Outcome.BROKEN == verdict("H3 is on whenever SS1 is on").outcome
    assert Outcome.PROVED == verdict("sometimes H3 is off and SS1 is on").outcome


def test_at_every_instant_asks_for_passing_states_too() -> None:
    # The switch is on, K2 has not pulled in yet.
    assert Outcome.PROVED == verdict("H2 is off whenever SS1 is on").outcome
    found = verdict("H2 is off whenever SS1 is on, at every instant")
    assert Outcome.BROKEN == found.outcome
    assert found.shown is not None
    assert "H2" == found.shown.load.device


def test_what_breaks_it_is_told_with_the_steps_and_the_path_of_what_is_on() -> None:
    found = verdict("H1 is off whenever SS1 is on")
    assert found.witness is not None
    assert {"turn SS1 on", "press S2", "E1 comes on", "E2 comes on", "K1 pulls in"} <= set(
        found.witness.steps
    )
    assert found.shown is not None
    assert ["E2:+", "K1:23", "K1:24", "H1:X1", "H1:X2", "E2:0V"] == [
        found.shown.path[0].start,
        *(passed.end for passed in found.shown.path),
    ]


@pytest.mark.parametrize(
    ("sentence", "fault"),
    [
        ("K1 is out whenever S1 is pressed, even if any one wire opens", ""),
        ("H2 is off whenever SS1 is on, even if any one wire opens", "wire"),
        ("K1 is out whenever S1 is pressed, even if any one contact welds", "S1:11-12 welded"),
        ("H1 is off whenever S1 is pressed, even if any one contact welds", "welded"),
    ],
)
def test_a_proviso_is_proved_or_broken_by_a_fault(sentence: str, fault: str) -> None:
    found = verdict(sentence)
    assert (Outcome.BROKEN if fault else Outcome.PROVED) == found.outcome
    assert fault in (found.fault.words if found.fault is not None else "")


def test_what_can_be_is_not_decided_with_one_fault() -> None:
    found = verdict("sometimes H1 is on, even if any one wire opens")
    assert Outcome.UNDECIDED == found.outcome
    assert found.reason


THREE_PHASE = """\
panel "Fan"
source MAINS 208Y/120 V AC 60 Hz, four-wire, neutral bonded here
switch SS1 normally open 13-14
contactor K1 coil 120 V AC; 3 main poles 25 A
motor M1 1 hp 208 V AC three-phase
circuit "Fan"
  MAINS:L1 --1-- SS1 --2-- K1:A1-A2 --3-- MAINS:N
  MAINS:L1 --4-- K1:1-2 --5-- M1:T1
  MAINS:L2 --6-- K1:3-4 --7-- M1:T2
"""


@pytest.mark.parametrize(
    ("third", "on"),
    [("  MAINS:L3 --8-- K1:5-6 --9-- M1:T3\n", Outcome.PROVED), ("", Outcome.BROKEN)],
)
def test_a_motor_on_two_phases_is_neither_on_nor_off(third: str, on: Outcome) -> None:
    # Common practice: on one phase a motor hums and burns; nobody would call that on, or off.
    sentences = ("M1 is on whenever K1 is in", "M1 is off whenever K1 is in")
    text = THREE_PHASE + third + "".join(f'intent "{s}": {s}\n' for s in sentences)
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    found = Case(panel).conclude(Intents).verdicts
    assert [on, Outcome.BROKEN] == [one.outcome for one in found]


IN_DOUBT = """\
panel "Bench"
battery E1 24 V DC, fused 4 A, 100 A available, - grounded
button S1 normally open 13-14
button S2 normally open 13-14
relay K1 coil 24 V DC 0.5 W; normally open 13-14; normally closed 21-22
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
lamp H3 24 V DC 1 W
circuit "Bench"
  E1:+ --1-- S1 --2-- H2 --3-- K1:A1-A2 --0-- E1:-
  E1:+ --4-- S2 --5-- K1:A1
  E1:+ --6-- K1:13-14 --7-- H1 --8-- E1:-
  E1:+ --9-- K1:21-22 --10-- H3 --11-- E1:-
"""
"""Through H2 the coil of K1 gets 16 V of its 24 V: it may pull in, and it may not."""


@pytest.mark.parametrize(
    ("sentence", "outcome"),
    [
        ("H1 is on whenever S1 is pressed and S2 is released", Outcome.UNDECIDED),
        ("H1 is off whenever S1 is pressed and S2 is released", Outcome.UNDECIDED),
        ("H3 is on whenever S1 is pressed and S2 is released", Outcome.UNDECIDED),
        ("H3 is off whenever S1 is pressed and S2 is released", Outcome.UNDECIDED),
        ("H1 is on whenever S1 is pressed", Outcome.UNDECIDED),
        ("H1 is off whenever S1 is pressed", Outcome.BROKEN),
        ("H1 is on whenever S2 is pressed", Outcome.PROVED),
        ("H3 is off whenever S2 is pressed", Outcome.PROVED),
        ("H1 is off whenever S1 is released and S2 is released", Outcome.PROVED),
        ("sometimes S1 is pressed and S2 is released and H1 is on", Outcome.UNDECIDED),
        ("sometimes S1 is pressed and S2 is released and H3 is on", Outcome.UNDECIDED),
        ("sometimes S2 is pressed and H1 is on", Outcome.PROVED),
    ],
)
def test_what_hangs_on_a_coil_that_may_or_may_not_pull_in_is_neither_proved_nor_broken(
    sentence: str, outcome: Outcome
) -> None:
    assert outcome is verdict(sentence, IN_DOUBT).outcome


REMEMBERED = """\
panel "Bench"
battery E1 24 V DC, fused 4 A, 100 A available, - grounded
switch SS1 normally open 13-14 23-24
switch SS2 normally open 13-14
relay K1 coil 24 V DC 0.5 W; normally closed 21-22
relay K2 coil 24 V DC 1 W; normally open 13-14
relay K3 coil 24 V DC 1 W; normally open 13-14 23-24
on-delay timer KT1 5 s; coil 24 V DC; timed normally open 15-18
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
lamp H3 24 V DC 1 W
circuit "Bench"
  E1:+ --1-- SS1:13-14 --2-- H1 --3-- K1:A1-A2 --0-- E1:-
  E1:+ --1-- SS1:23-24 --4-- K1:21-22 --5-- KT1:A1-A2 --0-- E1:-
  E1:+ --1-- KT1:15-18 --6-- K2:A1-A2 --0-- E1:-
  KT1:15 --1-- K2:13-14 --6-- K2:A1
  K2:14 --6-- H2 --0-- E1:-
  E1:+ --1-- SS2 --7-- K3:A1-A2 --0-- E1:-
  SS2:13 --1-- K3:13-14 --7-- K3:A1
  E1:+ --1-- K3:23-24 --8-- H3 --0-- E1:-
"""
"""Through H1 the coil of K1 gets 16 V of its 24 V.  Where it does not pull in, the timer runs out
and K2 seals itself in; that stays when SS1 is off again and nothing is in doubt any more."""


@pytest.mark.parametrize(
    ("sentence", "outcome"),
    [
        ("K2 is out whenever SS1 is off", Outcome.UNDECIDED),
        ("H2 is off whenever SS1 is off", Outcome.UNDECIDED),
        ("sometimes SS1 is off and H2 is on", Outcome.UNDECIDED),
        ("H2 is on whenever K2 is in and SS1 is off", Outcome.UNDECIDED),
        ("K3 is out whenever SS2 is off", Outcome.BROKEN),
        ("sometimes SS1 is off and H3 is on", Outcome.PROVED),
        ("H3 is off whenever K3 is out", Outcome.PROVED),
        ("K2 is out whenever E1 is absent", Outcome.PROVED),
    ],
)
def test_luck_that_a_seal_in_remembers_neither_breaks_nor_proves(
    sentence: str, outcome: Outcome
) -> None:
    assert outcome is verdict(sentence, REMEMBERED).outcome


HELD_BACK = """\
panel "Bench"
battery E1 24 V DC, fused 4 A, 100 A available, - grounded
switch SS1 normally open 13-14
relay K1 coil 24 V DC 0.5 W; normally closed 21-22
relay K2 coil 24 V DC 1 W; normally open 13-14 23-24; normally closed 31-32
on-delay timer KT1 5 s; coil 24 V DC; timed normally open 15-18; timed normally closed 25-26
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
circuit "Bench"
  E1:+ --1-- SS1 --2-- KT1:25-26 --3-- K2:A1-A2 --0-- E1:-
  SS1:14 --2-- K2:13-14 --4-- H1 --5-- K1:A1-A2 --0-- E1:-
  SS1:14 --2-- K2:31-32 --6-- KT1:A1-A2 --0-- E1:-
  SS1:14 --2-- K2:23-24 --7-- K1:21-22 --6-- KT1:A1
  SS1:14 --2-- KT1:15-18 --6-- KT1:A1
  KT1:18 --6-- H2 --0-- E1:-
"""
"""K2 pulls in at once.  Then the timer runs only where K1, which gets 16 V of its 24 V, stays out.
While K2 waited, the timer could run out without any luck; but K2 does not wait."""


@pytest.mark.parametrize(
    ("sentence", "outcome"),
    [
        ("KT1 is out whenever E1 is present", Outcome.UNDECIDED),
        ("sometimes KT1 is in", Outcome.UNDECIDED),
        ("H2 is off whenever SS1 is off", Outcome.PROVED),
    ],
)
def test_no_timer_runs_out_while_a_relay_that_must_move_has_not(
    sentence: str, outcome: Outcome
) -> None:
    assert outcome is verdict(sentence, HELD_BACK).outcome
