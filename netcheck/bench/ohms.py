"""What an ohmmeter reads in a circuit with its power off: the part between its leads, and
every other way around it."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.bench.cold_ohms import ColdOhms, Sort, cold_ohms
from netcheck.bench.standing import Standing
from netcheck.bench.walks import walks_of
from netcheck.model.devices import Conducts, Part, device_of
from netcheck.record import record
from netcheck.solve.nodal import Branch, Solution, solve

OPENS = ("breaker", "disconnect")
OPEN_OHM = 1e8
"""More than this is no reading: the meter shows an open circuit."""
LEADS_OHM = 1.0
SHARE = 0.01
"""A way that takes less than this share of the meter's current is not worth its name."""


@record
class Ohms:
    """Between two terminals, sources out and relays at rest: from `low` to `high`, by what
    windings of unknown ohms do; None is an open circuit.  `alone` is the load between them by
    itself, `beside` what else the meter's current passes, `lift` where to lift a wire."""

    a: str
    b: str
    low: float | None
    high: float | None
    alone: ColdOhms | None
    beside: tuple[str, ...]
    lift: str
    sources: tuple[str, ...]
    open_at: tuple[str, ...]
    """Breakers and disconnects on the ways of the load and of what feeds it, nearest first."""


def ohms_between(standing: Standing, a: str, b: str) -> Ohms:
    """`standing` has its sources absent."""
    panel = standing.panel
    load = next(
        (p for p in panel.parts_at.get(a, ()) if p.load is not None and {p.a, p.b} == {a, b}), None
    )
    high, by_high, parts = _solved(standing, a, b, unknown_ohm=None)
    low, by_low, low_parts = _solved(standing, a, b, unknown_ohm=1e-3)
    beside = {} if high is None else dict.fromkeys(_carrying(by_high, parts, load))
    if low is not None:
        beside |= dict.fromkeys(_carrying(by_low, low_parts, load))
    wires = panel.wires_at.get(a, ())
    lift = f"lift {' and '.join(w.label for w in wires)} at {a}" if wires else ""
    return Ohms(
        a,
        b,
        low,
        high,
        cold_ohms(panel, load) if load is not None else None,
        tuple(beside),
        lift,
        tuple(s.device for s in panel.sources if s.mechanism),
        tuple(_openers(standing, load)) if load is not None else (),
    )


def _openers(standing: Standing, load: Part) -> Iterator[str]:
    panel = standing.panel
    todo, seen, told = [load], set[int](), set[str]()
    while todo:
        part = todo.pop(0)
        if part.index in seen:
            continue
        seen.add(part.index)
        for way in walks_of(standing.states, part).ways:
            for passed in (*reversed(way.out), *way.home):
                by = passed.by
                if not isinstance(by, Part) or not by.mechanism or by.device in told:
                    continue
                if panel.devices[by.device].kind in OPENS:
                    told.add(by.device)
                    yield by.device
            for source in panel.sources:
                if source.device in (device_of(way.start), device_of(way.end)):
                    todo += [panel.parts[index] for index in source.inputs]


def _solved(
    standing: Standing, a: str, b: str, unknown_ohm: float | None
) -> tuple[float | None, Solution, list[tuple[int, Part]]]:
    """Ohms between the leads; the solution; which branch of it is which load."""
    branches = [Branch(a, b, LEADS_OHM, 1.0)]
    loads: list[tuple[int, Part]] = []
    wire_ohm = standing.numbers.ratings.wire_ohm
    for wire in standing.panel.wires:
        branches.append(Branch(wire.a, wire.b, wire_ohm.get(wire.index, 0j).real))
    for part in standing.panel.parts:
        ohm = _ohm_of(standing, part, unknown_ohm)
        if ohm is not None:
            if part.load is not None:
                loads.append((len(branches), part))
            branches.append(Branch(part.a, part.b, ohm))
    for x, y in _windings(standing):
        if unknown_ohm is not None:
            branches.append(Branch(x, y, unknown_ohm))
    solution = solve(branches)
    through = abs(solution.current_a(0) or 0)
    across = abs(solution.volts(a, b) or 0)
    if through * OPEN_OHM < 1.0:
        return None, solution, loads
    return max(0.0, across / through), solution, loads


def _ohm_of(standing: Standing, part: Part, unknown_ohm: float | None) -> float | None:
    if part.a == part.b or part.conducts is Conducts.ONE_WAY:
        return None
    if part.load is None:
        return 0.0 if standing.closed(part) else None
    told = cold_ohms(standing.panel, part)
    if told.sort is Sort.KNOWN:
        return told.ohm
    return None if told.sort is Sort.ELECTRONIC else unknown_ohm


def _windings(standing: Standing) -> Iterator[tuple[str, str]]:
    for coupling in standing.numbers.ratings.couplings:
        yield coupling.second_a, coupling.second_b


def _carrying(solution: Solution, loads: list[tuple[int, Part]], own: Part | None) -> Iterator[str]:
    total = abs(solution.current_a(0) or 0)
    for branch, part in loads:
        if own is not None and part.index == own.index:
            continue
        amperes = abs(solution.current_a(branch) or 0)
        if total and amperes > SHARE * total:
            yield part.label
