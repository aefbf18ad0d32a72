"""Which wires are grounding conductors, and which of them a device's size can be asked of.

Source: NEC 250.122 sizes equipment grounding conductors; a bond to a grounded conductor is a
bonding jumper and follows 250.28 and 250.102 (articles from memory).
"""

from __future__ import annotations

from netcheck.case import Case
from netcheck.facts.grounding_conductors import GroundingConductors
from tests.facts.panels import panel_of

PUMP = """panel "Bench"
wire kind line: 12 AWG copper MTW 90 degC black, 600 V insulation, 1 m
edge E1 120 V AC 60 Hz, fused 20 A, 100 A available, N grounded, from "greenhouse panel"
motor M1 1/2 hp 120 V AC single-phase
circuit "Pump" in line
  E1:L -- M1:T1-T2 -- E1:N
"""


def test_a_ground_that_is_also_bonded_to_its_circuit_is_still_judged() -> None:
    text = PUMP + "  E1:PE -- E1:N\n  E1:PE -- (18 AWG) M1:PE\n"
    found = Case(panel_of(text)).conclude(GroundingConductors)
    assert [("E1:PE", "M1:PE", "12 AWG")] == [
        (fault.wire.a, fault.wire.b, str(fault.needed.size)) for fault in found.faults
    ]


def test_a_bond_from_ground_to_a_grounded_conductor_is_no_equipment_grounding_conductor() -> None:
    text = PUMP + "  E1:PE -- (18 AWG) E1:N\n  E1:PE -- M1:PE\n"
    found = Case(panel_of(text)).conclude(GroundingConductors)
    assert ((), (), ()) == (found.faults, found.missing, found.unknown)
