"""Intents, assumptions, interlocks and acceptances: what they come to in the panel."""

from __future__ import annotations

import pytest

from netcheck.model.claims import describe_claim
from netcheck.model.panel import All, Any, Claim, Is, Not, Order, Panel
from tests.model.build import messages, panel_of

BAY = """
source MAINS 120 V AC, 5 kA available, neutral bonded here
button S1 normally closed 11-12
button S2 normally open 13-14
float switch FL1 normally open 13-14
selector SS1 positions HAND OFF AUTO; 13-14 in HAND
contactor K1 coil 24 V DC 3 W; 3 main poles 25 A
contactor K2 coil 24 V DC 3 W; 3 main poles 25 A
on-delay timer KT1 5 s; coil 24 V DC 1 W; timed normally open 17-18
off-delay timer KT2 5 s; coil 24 V DC 1 W; timed normally open 17-18
controller PLC1 24 V DC 8 W; transistor outputs Q0 Q1 from +, 0.5 A
overload OL1 set 8 A
motor M1 1 hp 230 V AC single-phase
terminal X1
terminal X2
X1 --7-- X2
"""


def intent(sentence: str) -> Claim:
    (one,) = panel_of(f'{BAY}intent "it": {sentence}').intents
    return one.claim


def positions(panel: Panel, condition: Is) -> set[str]:
    return {panel.mechanisms[condition.mechanism].positions[index] for index in condition.positions}


@pytest.mark.parametrize(
    ("said", "mechanism", "position"),
    [
        ("S1 is pressed", "S1", "pressed"),
        ("S1 is held", "S1", "pressed"),
        ("FL1 is at rest", "FL1", "at rest"),
        ("SS1 is HAND", "SS1", "HAND"),
        ("K1 is in", "K1", "in"),
        ("K1 is energised", "K1", "in"),
        ("KT1 has run out", "KT1", "in"),
        ("KT2 has run out", "KT2", "out"),
        ("PLC1:Q1 is on", "PLC1 Q1", "on"),
        ("OL1 has tripped", "OL1", "tripped"),
        ("MAINS is off", "MAINS", "absent"),
    ],
)
def test_a_state_is_a_position_of_what_moves(said: str, mechanism: str, position: str) -> None:
    panel = panel_of(f'{BAY}intent "it": never {said}')
    condition = panel.intents[0].claim.condition
    assert isinstance(condition, Is)
    assert (mechanism, {position}) == (condition.mechanism, positions(panel, condition))


def test_a_load_is_on_or_not_on() -> None:
    on = Is("", frozenset(), load="M1", words="M1 is on")
    assert Claim("never", on) == intent("M1 is never on")
    assert Claim("always", Not(on)) == intent("always M1 is off")


def test_whenever_and_only_while_are_two_ways_round() -> None:
    stop = intent("M1 is off whenever S1 is pressed")
    dry = intent("M1 is on only while FL1 is operated")
    assert ("whenever", "S1 is pressed") == (
        stop.form,
        stop.given and describe_claim(Claim("", stop.given)).strip(),
    )
    assert "M1 is on only while FL1 is operated" == describe_claim(dry)


def test_never_together_is_no_two_at_once() -> None:
    found = intent("K1 and K2 are never in together")
    assert isinstance(found.condition, All)
    apart = intent("K1 and K2 and KT1 are never in together")
    assert isinstance(apart.condition, Any)
    assert 3 == len(apart.condition.parts)


def test_timers_run_out_in_the_order_assumed() -> None:
    (one,) = panel_of(f"{BAY}assume KT1 runs out before KT2").assumptions
    assert Order("KT1", "KT2") == one.claim
    assert "KT1 runs out before KT2" == one.words


def test_interlocked_and_opposing_devices_are_named_by_what_moves() -> None:
    panel = panel_of(f"{BAY}mechanical interlock K1 and K2\nopposing K1 and K2")
    assert ((("K1", "K2"),), (("K1", "K2"),)) == (panel.interlocks, panel.opposing)


def test_an_acceptance_keeps_its_rule_devices_wires_reason_and_date() -> None:
    text = 'accept open path on M1, wire 7, wire 7 X2:1 to X1:1: "bench test" until 2027-01-31'
    (one,) = panel_of(BAY + text).acceptances
    assert ("open path", ("M1",), ("7", "7"), "bench test", "2027-01-31") == (
        one.rule, one.devices, one.wires, one.reason, one.until
    )  # fmt: skip


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ('intent "it": M1 is never sideways', "M1 is never `sideways`"),
        ('intent "it": X1 is never on', "X1 is never `on`"),
        ('intent "it": PLC1:Q7 is never on', "PLC1 has no output Q7"),
        ('intent "it": M1 is off within a second whenever S1 is pressed',
         "an intent or assumption says what holds, not how soon"),
        ("assume KT1 runs out before KT1", "KT1 cannot run out before itself"),
        ("assume S1 and S1 are never pressed together", "one thing is named twice here"),
        ("assume M1 can be on", "an assumption says what always holds"),
        ("mechanical interlock K1 and M1", "M1 is a motor: nothing of it can be blocked"),
        ("mechanical interlock K1 and K1", "a device cannot interlock with itself"),
        ('accept open path on M1: " "', "an acceptance needs a reason"),
        ('accept open path on M1: "x" until 2027-13-01', "`2027-13-01` is no date"),
        ('accept open path on wire 8: "x"', "there is no wire 8"),
    ],
)  # fmt: skip
def test_a_claim_that_makes_no_sense_is_told(line: str, message: str) -> None:
    assert [message] == messages(BAY + line)
