"""Ends, contacts and devices that lead nowhere, and those that only look so.

Source: common practice; that spares are declared is this project's own rule.
"""

from __future__ import annotations

from netcheck.case import Case
from netcheck.facts.open_ends import OpenEnds
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
lamp H1 24 V DC 2 W
"""


def ends_in(text: str) -> OpenEnds:
    return Case(panel_of(HEAD + text)).conclude(OpenEnds)


def bare(text: str) -> list[str]:
    return [end.bare for end in ends_in(text).ends]


def unused(text: str) -> list[str]:
    return [part.label for parts in ends_in(text).unused.values() for part in parts]


LAMP = 'circuit "Bench"\n  E1:+ -- H1 -- E1:0V\n'


def test_a_contact_wired_at_one_end_leads_nowhere() -> None:
    assert ["S1:2"] == bare("switch S1 normally open 1-2\n" + LAMP + "  E1:+ -- S1\n")


def test_an_end_on_a_strip_is_no_open_end() -> None:
    text = "switch S1 normally open 1-2\nstrip X1 terminals 1 to 2\n" + LAMP
    assert [] == bare(text + "  E1:+ -- S1 -- X1:1\n")


def test_half_a_change_over_contact_may_be_left() -> None:
    text = "relay K1 coil 24 V DC 1 W; change-over 11-12-14\n" + LAMP
    text += "  E1:+ -- K1:A1-A2 -- E1:0V\n"
    assert [] == bare(text + "  E1:+ -- K1:11-14 -- H1\n")
    assert ["K1:11"] == bare(text + "  H1:X1 -- K1:14\n")
    assert ["K1:12"] == bare(text + "  E1:+ -- K1:11\n")
    assert ["K1 11-12", "K1 11-14"] == unused(text)


def test_each_unused_contact_is_told_unless_it_is_spare() -> None:
    text = "relay K1 coil 24 V DC 1 W; normally open 13-14 23-24; normally closed 31-32 spare\n"
    text += LAMP + "  E1:+ -- K1:A1-A2 -- E1:0V\n  E1:+ -- K1:13-14 -- H1\n"
    assert ["K1 23-24"] == unused(text)


def test_unused_inputs_and_outputs_of_one_common_are_no_open_ends() -> None:
    text = (
        "controller PLC1 24 V DC 8 W; inputs I0 I1 to 0V 24 V DC 6 mA; "
        "transistor outputs Q0 Q1 from + 0.5 A\n" + LAMP
    )
    text += "  E1:+ -- PLC1:+\n  PLC1:0V -- E1:0V\n  E1:+ -- PLC1:I0\n  PLC1:Q0 -- H1:X1\n"
    assert [] == bare(text)
    assert ["PLC1 I1-0V", "PLC1 + to Q1"] == unused(text)


def test_outputs_whose_common_is_not_wired_end_there() -> None:
    text = "controller PLC1 24 V DC 8 W; relay outputs Q0 Q1 from C1 2 A\n" + LAMP
    text += "  E1:+ -- PLC1:+\n  PLC1:0V -- E1:0V\n  PLC1:Q0 -- H1:X1\n"
    assert ["PLC1:C1"] == bare(text)


def test_a_supply_with_one_pole_wired_leads_nowhere() -> None:
    text = "battery B1 24 V DC, ungrounded, fused 3 A, 100 A available\n" + LAMP
    assert ["B1:-"] == bare(text + "  B1:+ -- H1\n")


def test_what_lies_across_a_load_and_the_frame_are_no_ends() -> None:
    text = "relay K1 coil 24 V DC 1 W with diode\nmotor M1 1/4 hp 120 V AC single-phase\n"
    found = ends_in(text + LAMP + "  E1:+ -- K1:A1-A2 -- E1:0V\n  E1:PE -- M1:PE\n")
    assert () == found.ends
    assert ["M1"] == [device.name for device in found.in_no_circuit]


def test_a_spare_device_in_no_circuit_is_no_question() -> None:
    text = (
        "switch S1 normally open 1-2, spare\nbreaker CB1 15 A, spare\nswitch S2 normally open 1-2\n"
    )
    assert ["S2"] == [device.name for device in ends_in(text + LAMP).in_no_circuit]
