"""Faults played all at once, and readings with wires taken as places, against one at a time."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.bench.at_places import AtPlaces, Solved
from netcheck.bench.candidates import Candidate, distinct, plain
from netcheck.bench.faults_at_once import FaultsAtOnce
from netcheck.bench.readings import read
from netcheck.bench.standing import Standing, stand
from netcheck.bench.walks import walks_of
from netcheck.model.panel import Panel
from netcheck.states.answers import Undecided
from netcheck.states.breakable import Breakable
from tests.bench.panels import ALL, BRANCHES, SAMPLES, greenhouse, panel_of, sample

SMALL = [path for path in sorted(SAMPLES.glob("*.panel")) if path.stem != "greenhouse"]
RUNNING = ("S0 pressed", "SS1 in HAND", "FL1 operated", "S2 pressed")
EVERY = 11
"""Of the greenhouse panel's 650 faults one in so many is worked out by itself."""


def faults_of(panel: Panel) -> list[Candidate]:
    """Every open and every weld on the way of any load."""
    states = stand(panel).states
    loads = [p for p in panel.parts if p.load is not None and p.a != p.b and not p.spare]
    ways = [way for load in loads for way in walks_of(states, load).ways]
    return distinct(plain(panel, ways, stays_on=True))


def stands(standing: Standing, panel: Panel) -> tuple[object, ...]:
    """Where everything stands, and which loads are on."""
    if standing.restless:
        return ("restless",)
    loads = [p for p in panel.parts if p.load is not None and p.a != p.b]
    on = [part.index for part in loads if standing.is_energised(part)]
    return ({name: standing.position(name) for name in panel.mechanisms}, on)


def apart(panel: Panel, every: int = 1) -> tuple[list[str], int]:
    """Faults with which the panel stands otherwise than by itself; how many are left to it."""
    candidates = faults_of(panel)
    at_once = FaultsAtOnce(stand(panel), [candidate.faults for candidate in candidates])
    values, other, left = stand(panel).numbers, [], 0
    for bit, candidate in enumerate(candidates):
        if bit % every:
            continue
        (broken,) = candidate.put_into(panel)
        together = at_once.standing(bit, broken, values)
        if together is None:
            left += 1
        elif stands(together, broken) != stands(stand(broken), broken):
            other.append(candidate.words)
    return other, left


@pytest.mark.parametrize("text", [*ALL.values(), BRANCHES])
def test_every_fault_of_a_small_panel_leaves_it_as_it_does_alone(text: str) -> None:
    panel = panel_of(text)
    withs = ("S2 pressed",) if "S2" in panel.devices else ()
    assert [] == apart(panel_of(text, withs))[0]


@pytest.mark.parametrize("path", SMALL, ids=lambda path: path.stem)
def test_every_fault_of_a_sample_panel_leaves_it_as_it_does_alone(path: Path) -> None:
    other, left = apart(sample(path))
    assert [] == other
    assert 2 >= left  # nearly none has to be worked out by itself


@pytest.mark.parametrize(
    "withs", [(), ("SS1 in OFF", "SS2 in BYPASS"), ("SS1 in BYPASS", "SS2 in BYPASS")]
)
def test_drives_that_could_feed_one_another_through_their_bypass_are_not_waited_for(
    withs: tuple[str, ...],
) -> None:
    """Each drive is live only if its input is, and a bypass joins the output of the first to the
    input of both: what a source waits for must not lead back to it, or no end is found."""
    from netcheck.model.supposed import suppose

    panel = suppose(
        sample(SAMPLES.parent / "faults" / "back-feed" / "bypass-around-a-drive.panel"), withs, ()
    ).panel
    faults = dict.fromkeys(fault for one in faults_of(panel) for fault in one.faults)
    states = Breakable(panel, list(faults))
    for index in range(len(panel.sources)):
        states.live(index)
    for name in states.meaning:
        assert not leads_to(states, name, name)
    assert [] == apart(panel, 3)[0]


def leads_to(states: Breakable, name: int, wanted: int) -> bool:
    """Whether what a source's name means is said by `wanted`."""
    seen: set[int] = set()
    todo = [name]
    while todo:
        for one in states.logic.support(states.meaning[todo.pop()]):
            if one in states.meaning and one not in seen:
                seen.add(one)
                todo.append(one)
    return wanted in seen


@pytest.mark.parametrize("withs", [(), RUNNING])
def test_faults_of_the_greenhouse_panel_leave_it_as_they_do_alone(withs: tuple[str, ...]) -> None:
    from netcheck.model.supposed import suppose

    assert [] == apart(suppose(greenhouse(), withs, ()).panel, EVERY)[0]


def test_two_faults_at_once_are_played_as_one_case() -> None:
    panel = panel_of(BRANCHES, ("S2 pressed",))
    one, other = [c for c in faults_of(panel) if c.words in ("wire 207 open", "K2 held in")]
    at_once = FaultsAtOnce(stand(panel), [(*one.faults, *other.faults)])
    (broken,) = one.and_(other).put_into(panel)
    together = at_once.standing(0, broken, stand(panel).numbers)
    assert together is not None
    assert stands(stand(broken), broken) == stands(together, broken)


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_readings_are_the_same_where_wires_are_places(data: st.DataObject) -> None:
    panel = sample(data.draw(st.sampled_from(SMALL)))
    fault = data.draw(st.sampled_from(faults_of(panel)))
    standing = stand(fault.put_into(panel)[0])
    solved = standing.solve(ideal_wires=True)
    places = AtPlaces(standing, Solved(standing.numbers))
    if isinstance(solved, Undecided):
        assert isinstance(places.steady, Undecided)
        return
    for _ in range(30):
        red, black = (data.draw(st.sampled_from(panel.terminals)) for _ in range(2))
        here, there = places.reading(red, black), read(solved, red, black)
        assert here is not None
        assert here.floats == there.floats
        assert here.dc_v == pytest.approx(there.dc_v, abs=1e-3, rel=1e-4)
        assert here.ac_v == pytest.approx(there.ac_v, abs=1e-3, rel=1e-4)
