"""Relays that are in for a moment only, and start what remembers it."""

from __future__ import annotations

from netcheck.model.build import build_panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.behaviour import Behaviour
from netcheck.states.conditions import Conditions, Sum
from netcheck.states.terms import Term
from tests.annotated import Texts

IN = frozenset((1,))

# K3 is in until K1 puts it out, long enough for K2 to pull in, which starts K1.
PULSE = """
panel "A pulse that starts a relay"
battery B1 24 V DC, ungrounded
relay K1 coil 24 V DC; normally open 1-2; normally closed 3-4
relay K2 coil 24 V DC; normally open 1-2
relay K3 coil 24 V DC; normally open 1-2
switch S1 normally open 1-2
circuit "Pulse"
  B1:+ -- K2:1-2 -- K1:A1-A2 -- B1:-
  K1:1 -- B1:+
  K1:2 -- K1:A1
  B1:+ -- K3:1-2 -- K2:A1-A2 -- B1:-
  B1:+ -- K1:3-4 -- S1 -- K3:A1-A2 -- B1:-
"""


def test_what_a_pulse_starts_is_not_said_to_be_never_in() -> None:
    panel, mistakes = build_panel("p", gather("p", Texts({"p": PULSE})))
    assert not mistakes
    relay = Conditions(Behaviour(panel, find_nodes(panel))).relay("K1")
    assert relay.held is not None
    assert Sum(((Term("K3", IN),),)) == relay.held.started


# K3 has its way in through K1 until K1 has pulled in, and holds itself from then on.
BEFORE_IT_MOVES = """
panel "A relay that is late"
battery B1 24 V DC, ungrounded
relay K1 coil 24 V DC; normally closed 3-4
relay K3 coil 24 V DC; normally open 1-2
circuit "Late"
  B1:+ -- K1:A1-A2 -- B1:-
  B1:+ -- K1:3-4 -- K3:A1-A2 -- B1:-
  B1:+ -- K3:1-2 -- K3:A1
"""


def test_what_another_lets_in_before_it_has_moved_is_not_said_to_be_never_in() -> None:
    panel, mistakes = build_panel("p", gather("p", Texts({"p": BEFORE_IT_MOVES})))
    assert not mistakes
    relay = Conditions(Behaviour(panel, find_nodes(panel))).relay("K3")
    assert relay.held is not None
    assert isinstance(relay.held.started, Sum)
    assert Term("K1", frozenset((0,))) in relay.held.started.products[0]
