"""How many conductors that carry current lie together.

Sources: NEC 310.15(E)(1) and the usual counting examples of the trade (a two-wire circuit makes
two, a three-wire circuit of two legs and their neutral makes two, three of a wye and its
neutral three or, with loads that are not linear, four); the others as the fact says them.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.conductor_company import ConductorCompany
from tests.facts.panels import panel_of

START = """panel "Bench"
wire kind default: 14 AWG copper THHN 90 degC, 600 V insulation
"""
SPLIT = 'edge E1 120/240 V AC 60 Hz, three-wire, fused 15 A, neutral bonded upstream, from "A"\n'
WYE = 'edge E1 208Y/120 V AC 60 Hz, fused 15 A, neutral bonded upstream, from "A"\n'
R1 = "raceway R1 PVC conduit 1 in, 20 m\n"


def counted(text: str, raceway: str = R1) -> set[tuple[int, str]]:
    company = Case(panel_of(START + raceway + text)).conclude(ConductorCompany).of
    return {(one.count, one.where) for one in company.values()}


def lamps(count: int, more: str = "") -> str:
    return "".join(f"lamp H{n} 120 V AC 5 A{more}\n" for n in range(1, count + 1))


def shared(count: int) -> str:
    """Lamps on as many legs, their neutral home as one."""
    lines = [f"  E1:L{n} -- H{n}:X1\n" for n in range(1, count + 1)]
    joined = [f"  H{n}:X2 -- (through R0) H{n + 1}:X2\n" for n in range(1, count)]
    return 'circuit "C" in default, through R1\n' + "".join((*lines, "  H1:X2 -- E1:N\n", *joined))


R0 = "raceway R0 PVC conduit 1/2 in, 0.3 m\n"


def test_a_two_wire_circuit_makes_two() -> None:
    text = SPLIT + lamps(1) + 'circuit "C" in default, through R1\n  E1:L1 -- H1 -- E1:N\n'
    assert {(2, "through R1")} == counted(text)


def test_the_neutral_of_two_legs_does_not_count() -> None:
    assert {(2, "through R1")} == counted(R0 + SPLIT + lamps(2) + shared(2))


@pytest.mark.parametrize(("more", "count"), [("", 3), (", LED", 4)])
def test_the_neutral_of_a_wye_counts_if_its_loads_are_not_linear(more: str, count: int) -> None:
    assert {(count, "through R1")} == counted(R0 + WYE + lamps(3, more) + shared(3))


def test_the_neutral_of_two_phases_of_a_wye_counts() -> None:
    assert {(3, "through R1")} == counted(R0 + WYE + lamps(2) + shared(2))


def test_wires_of_control_with_next_to_no_current_do_not_count() -> None:
    control = 'edge E2 24 V DC, fused 2 A, 0V grounded, from "B"\nvalve Y1 24 V DC 8 W\n'
    text = SPLIT + lamps(1) + control + 'circuit "C" in default, through R1\n'
    text += "  E1:L1 -- H1 -- E1:N\n  E2:+ -- Y1 -- E2:0V\n"
    assert {(2, "through R1")} == counted(text)


@pytest.mark.parametrize(
    "raceway", ["PVC conduit 1 in, 0.5 m", "steel wireway 4 in, 3 m", "steel tray 12 in, 9 m"]
)
def test_nipples_wireways_and_trays_ask_for_no_correction(raceway: str) -> None:
    text = SPLIT + lamps(1) + 'circuit "C" in default, through R1\n  E1:L1 -- H1 -- E1:N\n'
    assert set() == counted(text, f"raceway R1 {raceway}\n")


def test_of_a_cable_in_a_raceway_the_larger_company_counts() -> None:
    text = "cable W1 4 cores 14 AWG copper THWN-2, through R1, spare cores 3 4\n" + SPLIT
    text += lamps(2) + 'circuit "C" in default, through R1\n  E1:L1 -- H1 -- E1:N\n'
    text += "  E1:L2 --W1.1-- H2 --W1.2-- E1:N\n"
    assert {(4, "through R1")} == counted(text)
    alone = text.replace("in default, through R1", "in default").replace(", through R1,", ",")
    assert {(2, "in W1")} == counted(alone)
