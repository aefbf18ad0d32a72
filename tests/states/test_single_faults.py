"""A fault far from what it lets happen, against each fault put into the drawing by itself."""

from __future__ import annotations

import pytest

from netcheck.facts.single_faults import wires_that_open
from netcheck.model.build import build_panel
from netcheck.model.faults import Fault, broken
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.answers import Never, Reached
from netcheck.states.behaviour import Behaviour
from netcheck.states.single_faults import Broken, SingleFaults
from tests.annotated import Texts


def passed_on(relays: int, switches: int) -> Panel:
    """K1 is in as long as there is voltage; when it drops out, the others follow one another.

    So many switches, closed at rest, lie between K1 and K2.
    """
    lines = ['panel "Drain of the nutrient tank"', "source E1 24 V DC, 0V grounded"]
    lines += [
        f"relay K{n} coil 24 V DC; normally open 13-14; normally closed 21-22"
        for n in range(1, relays + 1)
    ]
    lines += [f"limit switch LS{n} normally closed 11-12" for n in range(1, switches + 1)]
    between = " -- ".join(f"LS{n}" for n in range(1, switches + 1))
    lines += ['circuit "Drain"', "E1:+ -- K1:A1-A2 -- E1:0V"]
    lines.append(f"E1:+ -- K1:21-22 -- {between + ' -- ' if between else ''}K2:A1-A2 -- E1:0V")
    lines += [f"E1:+ -- K{n - 1}:13-14 -- K{n}:A1-A2 -- E1:0V" for n in range(3, relays + 1)]
    text = "\n".join([*lines, ""])
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    return panel


def comes_in(panel: Panel, name: str) -> bool:
    behaviour = Behaviour(panel, find_nodes(panel))
    is_in = behaviour.in_positions(name, frozenset((1,)))
    answer = behaviour.prover.can_happen(is_in, at="settled")
    return isinstance(answer, Reached) and answer.kind == "settled operation"


@pytest.mark.parametrize("switches", range(4))
@pytest.mark.parametrize("relays", [2, 3, 4, 5])
def test_a_wire_however_far_off_is_found_that_lets_a_relay_in(relays: int, switches: int) -> None:
    panel, last = passed_on(relays, switches), f"K{relays}"
    faults = list(wires_that_open(panel))
    expected = {fault for fault in faults if comes_in(broken(panel, fault), last)}
    assert len(expected) == 2, "either wire of K1's coil"
    assert not comes_in(panel, last)

    answers = SingleFaults(panel, faults).all_ways(lambda b: b.in_positions(last, frozenset((1,))))

    told: set[Fault] = set()
    for answer in answers[:-1]:
        assert isinstance(answer, Broken)
        told |= {answer.fault, *answer.alike}
    assert told == expected
    assert isinstance(answers[-1], Never)
