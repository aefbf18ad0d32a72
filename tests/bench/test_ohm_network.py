"""Readings of an ohmmeter in a part of the circuit, against the whole of it solved."""

from __future__ import annotations

from itertools import combinations

import pytest

from netcheck.bench.cold_ohms import Sort, cold_ohms
from netcheck.bench.ohms import LEADS_OHM, OPEN_OHM, WINDING_OHM, OhmNetwork, ohms_between
from netcheck.bench.standing import Standing, stand
from netcheck.model.devices import Conducts, Part
from netcheck.model.faults import holding
from netcheck.record import replace
from netcheck.solve.nodal import Branch, solve
from tests.benchmarks.ladders import ladder
from tests.report.sheets.panels import greenhouse


@pytest.fixture(params=["greenhouse", "ladder"], scope="module")
def rest(request: pytest.FixtureRequest) -> Standing:
    panel = greenhouse().panel if request.param == "greenhouse" else ladder(16).panel()
    return stand(panel, powered=False)


def contactors(standing: Standing) -> list[str]:
    poles = [part for part in standing.panel.parts if part.role == "main pole"]
    return list(dict.fromkeys(part.mechanism for part in poles if part.mechanism))


def poles(standing: Standing) -> list[str]:
    return [f"{one.device}:{pole}" for one in standing.panel.sources for pole in one.poles]


def whole_ohms(standing: Standing, a: str, b: str, unknown: float | None) -> float | None:
    wire_ohm = standing.numbers.ratings.wire_ohm
    branches = [Branch(a, b, LEADS_OHM, 1.0)]
    for wire in standing.panel.wires:
        branches.append(Branch(wire.a, wire.b, wire_ohm.get(wire.index, 0j).real))
    for part in standing.panel.parts:
        ohm = _ohm(standing, part, unknown)
        if ohm is not None:
            branches.append(Branch(part.a, part.b, ohm))
    for one in standing.numbers.ratings.couplings if unknown else ():
        branches.append(Branch(one.second_a, one.second_b, WINDING_OHM))
    solution = solve(branches)
    through = abs(solution.current_a(0) or 0)
    return None if through * OPEN_OHM < 1 else abs(solution.volts(a, b) or 0) / through


def alike(one: tuple[float | None, ...], other: tuple[float | None, ...]) -> bool:
    """Whether both are open in the same places, and equal but for rounding elsewhere."""
    return all(
        (a is None) is (b is None) and (a or 0) == pytest.approx(b or 0, rel=1e-6, abs=1e-6)
        for a, b in zip(one, other, strict=True)
    )


def _ohm(standing: Standing, part: Part, unknown: float | None) -> float | None:
    if part.a == part.b or part.conducts is Conducts.ONE_WAY:
        return None
    if part.load is None:
        return 0.0 if standing.closed(part) else None
    told = cold_ohms(standing.panel, part)
    if told.sort is Sort.KNOWN:
        return told.ohm
    return None if told.sort is Sort.ELECTRONIC else unknown


def test_what_lies_on_no_way_between_the_leads_does_not_change_a_reading(rest: Standing) -> None:
    network = OhmNetwork(rest)
    for a, b in combinations(poles(rest), 2):
        found = ohms_between(rest, a, b, network)
        expected = tuple(whole_ohms(rest, a, b, unknown) for unknown in (None, WINDING_OHM))
        assert alike(expected, (found.high, found.low))


def test_a_contactor_pushed_in_reads_as_a_panel_in_which_it_is_in(rest: Standing) -> None:
    network = OhmNetwork(rest)
    pairs = list(combinations(poles(rest), 2))
    names = contactors(rest)
    assert names
    for name in names:
        state = rest.states.machine.movers[name].state
        pushed = replace(rest, values={**rest.values, state: True})
        moved = [part for part in rest.panel.parts if part.mechanism == name]
        after = network.after(pushed, moved)
        anew = stand(holding(rest.panel, name, 1), powered=False)
        for a, b in pairs:
            found = ohms_between(pushed, a, b, after)
            expected = tuple(whole_ohms(anew, a, b, unknown) for unknown in (None, WINDING_OHM))
            assert alike(expected, (found.high, found.low))
            if not after.is_moved_between(a, b):
                same = ohms_between(rest, a, b, network)
                assert alike((same.high, same.low), (found.high, found.low))
