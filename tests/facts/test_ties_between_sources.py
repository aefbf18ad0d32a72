"""A wire from one source to another that meets neither load nor device on its way.

Source: a conductor is protected where it receives its supply (NEC 240.21); a battery feeds
whatever its pole is joined to, the lead of its charger too.  Cells in series are one source.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.wire_protection import Fault, WireProtection
from tests.facts.panels import panel_of

HEAD = """panel "Standby"
wire kind default: 14 AWG copper MTW 90 degC blue, 600 V insulation, 1 m
battery B1 24 V DC, 500 A available, - grounded
battery B2 24 V DC, 500 A available{more}
edge E1 24 V DC, fused 5 A, 100 A available, 0V grounded, from "charger"
fuse FU1 5 A, 300 V DC, 20 kA interrupting
horn BZ1 24 V DC 1 A
circuit "Standby"
"""
FUSED = "  B1:+ --1-- FU1 --2-- BZ1 -- B1:-\n"


def unprotected(circuit: str, *, more: str = ", - grounded") -> list[str]:
    panel = panel_of(HEAD.format(more=more) + circuit)
    faults = Case(panel).conclude(WireProtection).faults
    return [one.wire.number for one in faults if one.fault is Fault.UNPROTECTED]


def test_the_lead_of_a_fused_source_is_fed_back_by_an_unfused_one() -> None:
    assert ["9"] == unprotected(FUSED + "  E1:+ --9-- B1:+\n  E1:0V -- B1:-\n")


def test_a_source_joined_behind_the_fuse_is_held_by_it() -> None:
    assert [] == unprotected(FUSED + "  E1:+ --9-- FU1:2\n  E1:0V -- B1:-\n")


def test_two_unfused_sources_joined_with_nothing_else_are_told() -> None:
    assert ["9"] == unprotected("  B2:+ --9-- B1:+\n  B2:- -- B1:-\n")


@pytest.mark.parametrize("chain", ["  B2:+ --1-- FU1 --2-- BZ1 -- B1:-\n", ""])
def test_a_link_between_cells_in_series_is_no_tie(chain: str) -> None:
    assert [] == unprotected(chain + "  B1:+ --9-- B2:-\n", more="")
