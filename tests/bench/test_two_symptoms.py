"""A bad joint, or swapped wires, of which two loads tell: it stays in the list, though only what
lies ahead of both is put in.  Each is put in and solved by itself, as no answer does it."""

from __future__ import annotations

from itertools import combinations

import pytest

from netcheck.bench.candidates import distinct, joints, swapped
from netcheck.bench.fitting import Tried
from tests.bench.panels import SAMPLES, sample
from tests.benchmarks.every_fault import Bench

FAULTS = 40


def told_by_two(bench: Bench) -> list[tuple[Tried, tuple[str, str]]]:
    """Faults in the first of the ways they may be that two loads tell, and what these do."""
    loads = [*bench.loads()]
    lines = {
        line: None
        for load, withs, ways in loads
        for kind, line in bench._lines(load, withs, ways)
        if kind in ("off", "on") and not bench.shows(None, line)
    }
    ways = [way for *_, some in loads for way in some]
    found = []
    for fault in distinct([*joints(bench.panel, ways), *swapped(bench.panel, ways)]):
        for one in bench.put_in(fault).benches:
            true = Tried(fault, (one,))
            shown = [line for line in lines if bench._fits(true, line)]
            devices = {line.partition(" ")[0]: line for line in shown}
            if len(devices) > 1:
                found.append((true, next(combinations(devices.values(), 2))))
                break
    return found[:: len(found) // FAULTS + 1]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["drive_pump", "potting_shed", "two_houses"])
def test_what_two_loads_tell_of_stays_in_the_list(name: str) -> None:
    bench = Bench(sample(SAMPLES / f"{name}.panel"))
    every = told_by_two(bench)
    assert len(every) > 9
    for true, lines in every:
        _, is_told, said = bench.walked(true, 1.0, *lines)
        assert is_told is not False, said
