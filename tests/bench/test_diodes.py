"""What diodes do on a bench where AC comes to them: what opens on it, and what is read.

A diode conducts one way: across a coil it is a short for whatever comes the other way, so that a
coil with a diode is for DC, the right way round (common practice, no source).  Rectifiers are no
shorts: each of their diodes leads to the load.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.bench.candidates import Candidate
from netcheck.bench.circles import may_be_in_a_circle
from netcheck.bench.forwards import passed_forwards
from netcheck.bench.standing import stand
from netcheck.bench.trial import Trial
from netcheck.solve.levels import Levels
from netcheck.solve.steady import Steady
from tests.bench.diode_circuits import HOLDS, OPENS, bed
from tests.bench.panels import SAMPLES, sample
from tests.benchmarks.every_fault import Bench


@pytest.mark.parametrize("name", OPENS)
def test_a_current_that_only_diodes_pass_opens_what_is_ahead_of_it(name: str) -> None:
    text, opens = OPENS[name]
    trial = Trial(bed(text))
    assert [f"{opens} opens: a short"] == trial.powered()
    assert trial.stands
    assert may_be_in_a_circle(trial.drawn, opens)


@pytest.mark.parametrize("name", HOLDS)
def test_what_diodes_block_or_a_load_takes_opens_nothing(name: str) -> None:
    trial = Trial(bed(HOLDS[name]))
    assert not [words for words in trial.powered() if "short" in words]
    assert trial.stands
    assert trial.reading("PS1:+", "PS1:0V") is not None


def test_no_fuse_of_a_sound_coil_is_in_a_circle() -> None:
    """What its diode would let through, the volts of its own supply hold back."""
    assert not may_be_in_a_circle(bed(HOLDS["a coil as it should be"]), "FU1")


@pytest.mark.parametrize(("battery", "opens"), [(24, False), (30, False), (48, True)])
def test_a_battery_that_charges_another_source_by_a_diode_is_a_short_if_far_above_it(
    battery: int, opens: bool
) -> None:
    """Two sources side by side; where the line is drawn is ours, no source."""
    said = Trial(bed("B1:- -- PS1:0V\n  B1:+ -- D1:A-K -- FU1:2", battery)).powered()
    assert opens is ("FU1 opens: a short" in said)


# ---- faults of the sample panels -----------------------------------------------------------------


def faults(panel: str, *words: str) -> Iterator[tuple[Bench, Candidate]]:
    bench = Bench(sample(SAMPLES / f"{panel}.panel"))
    for _, _, ways in bench.loads():
        for one in bench.faults(ways):
            if all(word in one.words for word in words):
                yield bench, one


def test_a_line_on_a_coil_of_the_greenhouse_dims_nothing_and_opens_the_coil_s_fuse() -> None:
    """Wires 200 and 151 swapped: with the coil of K3 beside it the two diodes face each other, and
    nothing is short; once the heating is on both, the line drives its current into the 24 V."""
    bench, fault = next(faults("greenhouse", "200 K4:A2", "151 swapped at K4:A2"))
    started = " with S0 pressed and S2 pressed and FL1 operated"
    heated = " with S0 pressed and SS3 on and FL3 operated"
    assert not bench.shows(fault, f"M1 is dim{started}")
    assert bench.shows(fault, f"M1 is on{started}")
    assert bench.shows(fault, f"FU4 trips{heated}")
    assert bench.shows(fault, f"K4 is off{heated}")
    assert bench.shows(fault, f"K3 is off{heated}")


def test_a_line_on_the_coil_of_one_of_two_houses_has_numbers_and_opens_its_fuse() -> None:
    bench, fault = next(faults("two_houses", "200 A.K1:A2", "wire 3 swapped"))
    withs = ("A.S1 on", "B.FL1 operated")
    assert bench.shows(fault, f"A.FU1 trips with {' and '.join(withs)}")
    reading = bench.put_in(fault).reading("A.K1:A2", "A.PS1:0V", withs)
    assert reading.ac_v == pytest.approx(120, rel=1e-2)
    told = bench.told((f"A.FU1 trips with {' and '.join(withs)}",))
    assert fault.words in {one.fault for one in told.suspects}


def test_a_diode_that_dc_holds_back_carries_no_ac_of_a_line_that_touches_its_feed() -> None:
    """10 A of a line come to the plus of a coil that is in, and home through its supply."""
    panel = bed("PS1:+ -- K1:A1-A2 -- PS1:0V\n  CB2:2 -- R2 -- PS1:+")
    solved = stand(panel).solve()
    assert isinstance(solved, Steady)
    diode = next(part for part in panel.parts if part.role == "diode" and part.device == "K1")
    assert max(abs(a or 0) for a in solved.part_a(diode.index).values()) < 1e-6


# ---- another way to the same ---------------------------------------------------------------------

VOLTS = st.sampled_from([0, 12, 24, -24])


@given(
    st.lists(st.tuples(VOLTS, VOLTS), min_size=2, max_size=4),
    st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=8),
)
def test_current_passes_where_at_some_moment_no_potentials_let_all_diodes_block(
    held: list[tuple[int, int]], ways: list[tuple[int, int]]
) -> None:
    """Places 0, 1, ... are held at so many volts DC, and AC at its peak.  At both peaks and between
    them potentials of the others are sought with which no diode is forwards: there are none where a
    cycle of differences is negative (difference constraints; Bellman and Ford)."""
    levels = {"DC": Levels(), "AC": Levels()}
    for place, (dc_v, peak_v) in enumerate(held):
        for basis, volts in (("DC", dc_v - held[0][0]), ("AC", peak_v - held[0][1])):
            levels[basis].add(place)
            levels[basis].join(place, 0, volts / (1 if basis == "DC" else math.sqrt(2)))
    moments = [[dc_v + way * peak_v for dc_v, peak_v in held] for way in (1, 0, -1)]
    blocked = all(can_block(volts, ways) for volts in moments)
    assert blocked is not any(passed_forwards(ways, levels))


def can_block(held_v: list[int], ways: list[tuple[int, int]]) -> bool:
    """Whether there are potentials at which no way leads from one above to one below."""
    below = dict.fromkeys(ways, 0)
    """How far above the second the first may be, at most."""
    for pair in itertools.permutations(range(len(held_v)), 2):
        apart = held_v[pair[0]] - held_v[pair[1]]
        below[pair] = min(apart, below.get(pair, apart))
    graph = networkx.DiGraph()
    for (a, b), most in below.items():
        graph.add_edge(b, a, weight=most)
    return not networkx.negative_edge_cycle(graph)
