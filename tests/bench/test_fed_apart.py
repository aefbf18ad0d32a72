"""Swapped wires that one circuit feeds another by, and the nearest that do not.

Each is told by hand from the drawing: which poles are then one place, or lie at a load."""

from __future__ import annotations

import pytest

from netcheck.bench.candidates import distinct, swapped
from netcheck.bench.fed_apart import FedApart
from netcheck.bench.standing import stand
from netcheck.bench.walks import walks_of
from tests.bench.panels import panel_of

TWO_CIRCUITS = """\
panel "Vent and pump"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
edge E2 120 V AC 60 Hz, two-wire, fused 15 A, 5 kA available, N grounded, from "greenhouse panel"
fuse FU1 2 A
fuse FU2 2 A
switch S1 normally closed 11-12
relay K1 coil 24 V DC 3 W with diode; normally open 13-14 23-24
lamp H1 120 V AC 10 W
circuit "Vent"
  E1:+ --1-- FU1 --2-- S1 --3-- K1:A1-A2 --4-- E1:0V
circuit "Pump"
  E2:L --5-- FU2 --6-- K1:13-14 --7-- H1 --8-- E2:N
"""


@pytest.mark.parametrize(
    ("swap", "mixed"),
    [
        ("wire 2 and wire 3 swapped at S1:11", False),  # a closed contact the other way round
        ("wire 5 and wire 6 swapped at FU2:1", False),
        ("wire 6 and wire 7 swapped at K1:13", False),
        ("wire 3 and wire 4 swapped at K1:A1", True),  # the diode conducts
        ("wire 4 and wire 6 swapped at K1:A2", True),  # 24 V and 120 V at one coil
    ],
)
def test_wires_are_mixed_where_poles_meet_or_a_load_lies_between_poles_of_two_circuits(
    swap: str, mixed: bool
) -> None:
    panel = panel_of(TWO_CIRCUITS)
    standing = stand(panel)
    ways = [
        way
        for load in panel.parts
        if load.load is not None
        for way in walks_of(standing.states, load).ways
    ]
    (candidate,) = (one for one in distinct(swapped(panel, ways)) if one.words == swap)
    apart = FedApart(standing.panel, standing.states.stands(standing.values))
    assert apart.is_mixed_by(candidate.edits[0]) is mixed
