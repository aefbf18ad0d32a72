"""Relays that never settle are told even where no one contact of theirs is to blame.

Source: circuit theory; how it is said is our own.
"""

from __future__ import annotations

from netcheck.review import judge
from tests.facts.panels import panel_of

A_DIODE_THAT_LEADS_PAST_THE_COIL = """panel "Alarms"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
float switch FL1 normally open 13-14
float switch FL2 normally open 13-14
switch S1 normally open 1-2
relay KS coil 24 V DC 1 W with diode; normally closed 21-22
relay K1 coil 24 V DC 1 W with diode
relay K2 coil 24 V DC 1 W with diode; normally closed 21-22
circuit "Alarms"
  E1:0V -- KS:A1-A2 -- S1 -- E1:+
  KS:A2 -- K1:A1-A2 -- KS:21-22 -- FL1 -- S1:1
  FL1:13 -- FL2 -- K2:21-22 -- K2:A1-A2 -- K1:A2
"""


def test_a_relay_that_chatters_by_way_of_other_coils_is_told_without_a_contact() -> None:
    review = judge(panel_of(A_DIODE_THAT_LEADS_PAST_THE_COIL))
    assert () == review.failures
    told = [one.devices for one in review.findings if one.rule == "chattering"]
    told += [one.devices for one in review.not_decided if one.rule == "chattering"]
    assert [("K2",)] == told
