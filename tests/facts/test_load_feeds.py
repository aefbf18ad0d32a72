"""Which loads can be energised, held against plain graphs of the same contacts.

Sources: that a load works only in a closed path, and that a switch is in one position at a
time, is circuit theory; networkx looks for the paths.
"""

from __future__ import annotations

from itertools import product

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.load_feeds import LoadFeeds, Verdict
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
edge E2 120 V AC 60 Hz, fused 3 A, 5 kA available, N grounded, from "lighting panel"
"""


def verdicts(text: str) -> dict[str, Verdict]:
    case = Case(panel_of(HEAD + text))
    return {load.name: load.verdict for load in case.conclude(LoadFeeds).loads}


contact = st.tuples(st.integers(0, 4), st.integers(0, 4), st.integers(0, 2), st.booleans())


def text_of(contacts: list[tuple[int, int, int, bool]]) -> str:
    """A lamp between places 1 and 0V, contacts between places; place 0 is the plus pole."""
    devices, lines = {0: [], 1: [], 2: []}, ["E1:+ -- X1:1", "X1:2 -- H1 -- E1:0V"]  # type: ignore[var-annotated]
    for number, (a, b, switch, closed) in enumerate(contacts):
        marks = f"{number}a", f"{number}b"
        devices[switch].append(f"normally {'closed' if closed else 'open'} {'-'.join(marks)}")
        lines.append(f"X1:{a + 1} -- S{switch}:{marks[0]}")
        lines.append(f"X1:{b + 1} -- S{switch}:{marks[1]}")
    switches = [f"switch S{n} {'; '.join(said)}" for n, said in devices.items() if said]
    return "\n".join(
        [*switches, "strip X1 terminals 1 to 5", "lamp H1 24 V DC 2 W", 'circuit "Bench"', *lines]
    )


@settings(max_examples=150, deadline=None)
@given(st.lists(contact.filter(lambda one: one[0] != one[1]), max_size=7))
def test_a_lamp_is_energised_if_some_positions_of_its_switches_make_a_path(
    contacts: list[tuple[int, int, int, bool]],
) -> None:
    def lit(positions: tuple[bool, ...]) -> bool:
        graph = networkx.Graph([(0, 0), (1, 1)])
        graph.add_edges_from((a, b) for a, b, n, rest in contacts if positions[n] != rest)
        return bool(networkx.has_path(graph, 0, 1))

    expected = any(lit(positions) for positions in product((False, True), repeat=3))
    found = verdicts(text_of(contacts))["H1"]
    assert (Verdict.ENERGISED if expected else Verdict.NEVER) is found


def test_a_switch_is_no_fault_whichever_way_it_stands() -> None:
    text = """switch S1 normally open 1-2
lamp H1 24 V DC 2 W
circuit "Bench"
  E1:+ -- S1 -- H1 -- E1:0V
"""
    assert {"H1": Verdict.ENERGISED} == verdicts(text)


def test_a_load_fed_at_another_voltage_is_not_called_dead() -> None:
    text = """lamp H1 24 V DC 2 W
circuit "Bench"
  E2:L -- H1 -- E2:N
"""
    assert {"H1": Verdict.WRONG_VOLTAGE} == verdicts(text)


def test_a_relay_that_cuts_itself_off_has_been_energised() -> None:
    # A latching relay's coil through its own closed contact: on for as long as it is needed.
    text = """button S1 normally open 13-14
latching relay K1 set coil A1-A2 24 V DC 1 W; reset coil A3-A4 24 V DC 1 W; normally closed 21-22
circuit "Bench"
  E1:+ -- S1 -- K1:21-22 -- K1:A1-A2 -- E1:0V
  E1:+ -- K1:A3-A4 -- E1:0V
"""
    assert {Verdict.ENERGISED} == set(verdicts(text).values())


def test_a_lamp_that_is_lit_only_while_a_relay_moves_is_told_apart() -> None:
    text = """button S1 normally open 13-14
relay K1 coil 24 V DC 1 W; normally open 13-14
relay K2 coil 24 V DC 1 W; normally closed 21-22
lamp H1 24 V DC 2 W
circuit "Bench"
  E1:+ -- S1 -- K1:A1-A2 -- E1:0V
  E1:+ -- K1:13-14 -- K2:A1-A2 -- E1:0V
  K1:14 -- K2:21-22 -- H1 -- E1:0V
"""
    found = verdicts(text)
    assert Verdict.MOMENTARY is found["H1"]
    assert Verdict.ENERGISED is found["K1"]
    assert Verdict.ENERGISED is found["K2"]


@pytest.mark.parametrize("lines", [3, 2])
def test_a_three_phase_load_needs_all_its_lines(lines: int) -> None:
    text = """source E3 208Y/120 V AC 60 Hz, four-wire, fused 15 A, neutral bonded upstream
motor M1 1 hp 208 V AC three-phase
circuit "Bench"
"""
    drawn = [f"  E3:L{n} -- M1:T{n}" for n in range(1, lines + 1)]
    found = verdicts(text + "\n".join(drawn) + "\n")["M1"]
    assert (Verdict.ENERGISED if lines == 3 else Verdict.NEVER) is found


def test_what_depends_on_a_coil_left_in_doubt_is_not_decided() -> None:
    text = """switch S1 normally open 1-2
relay K1 coil 24 V DC 1 W; normally open 13-14
lamp H1 24 V DC 2 W
lamp H2 24 V DC 2 W
circuit "Bench"
  E1:+ -- S1 -- H1 -- K1:A1-A2 -- E1:0V
  E1:+ -- K1:13-14 -- H2 -- E1:0V
"""
    assert Verdict.UNDECIDED is verdicts(text)["H2"]


def test_spares_and_unused_inputs_are_not_asked_about() -> None:
    text = """lamp H1 24 V DC 2 W, spare
controller PLC1 24 V DC 8 W; inputs I0 I1 to 0V 24 V DC 6 mA
circuit "Bench"
  E1:+ -- PLC1:+
  PLC1:0V -- E1:0V
  E1:+ -- PLC1:I0
"""
    assert {"PLC1 + to 0V", "PLC1 I0-0V"} == set(verdicts(text))
