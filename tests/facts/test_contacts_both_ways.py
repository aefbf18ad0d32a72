"""Contacts passed both ways, against the currents of every state, solved."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from hypothesis import example, given, settings
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.contacts_both_ways import ContactsBothWays
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.solve.nodal import Branch, solve
from tests.annotated import Texts

PLUS, HOME = "X:1", "X:2"
INNER = ("X:3", "X:4", "X:5", "X:6")
CLOSED_OHM, LAMP_OHM = 0.01, 115.2
LEAST_A = 1e-3
Ends = tuple[str, str]

TIE_OF_AN_H = [(PLUS, INNER[0]), (PLUS, INNER[1]), (INNER[0], INNER[1])], [INNER[0], INNER[1]]


@st.composite
def wirings(draw: st.DrawFn) -> tuple[list[Ends], list[str]]:
    """Switches between + and inner places, and the places whose lamps come home to 0 V."""
    place = st.sampled_from((PLUS, *INNER))
    switches = draw(st.lists(st.tuples(place, place), min_size=4, max_size=7))
    return switches, draw(st.lists(st.sampled_from(INNER), min_size=1, max_size=3, unique=True))


def text_of(switches: Sequence[Ends], lamps: Sequence[str]) -> str:
    lines = ['panel "Bench"', "source B 24 V DC, ungrounded", "strip X terminals 1 to 6"]
    lines += [f"switch S{n} normally open 1-2" for n in range(len(switches))]
    lines += [f"lamp H{n} 24 V DC 5 W" for n in range(len(lamps))]
    chains = [f"{a} -- S{n}:1-2 -- {b}" for n, (a, b) in enumerate(switches)]
    chains += [f"{place} -- H{n}:X1-X2 -- {HOME}" for n, place in enumerate(lamps)]
    ends = [f"B:+ -- {PLUS}", f"{HOME} -- B:0V"]
    return "\n".join([*lines, 'circuit "Bench"', *ends, *chains]) + "\n"


def both_ways(text: str) -> ContactsBothWays:
    panel, mistakes = build_panel(
        "bench.panel", gather("bench.panel", Texts({"bench.panel": text}))
    )
    assert not mistakes
    return Case(panel).conclude(ContactsBothWays)


def currents_a(
    switches: Sequence[Ends], lamps: Sequence[str], closed: Mapping[int, bool]
) -> dict[int, float]:
    """Through each closed switch, from its first end to its second."""
    numbers = [n for n, (a, b) in enumerate(switches) if closed[n] and a != b]
    branches = [Branch(*switches[n], CLOSED_OHM) for n in numbers]
    branches += [Branch(place, HOME, LAMP_OHM) for place in lamps]
    solution = solve([*branches, Branch(PLUS, HOME, CLOSED_OHM, 24)])
    found = {}
    for branch, number in enumerate(numbers):
        current = solution.current_a(branch)
        assert current is not None
        found[number] = current.real
    return found


@settings(max_examples=60, deadline=None)
@given(wirings())
@example(TIE_OF_AN_H)
def test_a_contact_is_found_that_some_state_passes_one_way_and_another_the_other(
    wiring: tuple[list[Ends], list[str]],
) -> None:
    switches, lamps = wiring
    signs: dict[int, set[bool]] = {n: set() for n in range(len(switches))}
    for state in itertools.product((False, True), repeat=len(switches)):
        for number, current in currents_a(switches, lamps, dict(enumerate(state))).items():
            if abs(current) > LEAST_A:
                signs[number].add(current > 0)
    expected = {f"S{n}" for n, found in signs.items() if len(found) == 2}
    found = both_ways(text_of(switches, lamps))
    told = {one.contact.device for one in found.found}
    assert () == found.undecided
    assert told <= expected
    assert bool(told) == bool(expected)


@settings(max_examples=60, deadline=None)
@given(wirings())
@example(TIE_OF_AN_H)
def test_in_either_state_the_current_goes_as_it_is_told(
    wiring: tuple[list[Ends], list[str]],
) -> None:
    switches, lamps = wiring
    for found in both_ways(text_of(switches, lamps)).found:
        number = int(found.contact.device[1:])
        for way in (found.one, found.other):
            on = {name for name, position in way.witness.state.items() if position == "on"}
            closed = {n: f"S{n}" in on for n in range(len(switches))}
            current = currents_a(switches, lamps, closed)[number]
            assert abs(current) > LEAST_A
            assert (current > 0) == ((way.enters, way.leaves) == ("1", "2"))


def test_the_tie_of_an_h_is_passed_both_ways() -> None:
    (found,) = both_ways(text_of(*TIE_OF_AN_H)).found
    assert "S2" == found.contact.device
