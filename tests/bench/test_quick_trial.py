"""What is told by joining terminals in one state, against the machine of the panel with the fault.

The machine works its conditions out for all states at once and is held to every state tried by
hand elsewhere (`tests/states`); a quick trial looks at one state at a time and shares no code with
it but how a trial is operated.  No source but that both say the same.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from random import Random

import pytest

from netcheck.bench.candidates import Candidate, distinct, shorts, swapped, unprotected, welds
from netcheck.bench.joined_now import InDoubt
from netcheck.bench.quick_trial import QuickTrial
from netcheck.bench.sound import Sound
from netcheck.bench.trial import Trial
from netcheck.bench.walks import walks_of
from netcheck.model.panel import Panel
from netcheck.network.nodes import Nodes, find_nodes
from tests.bench.panels import SAMPLES, sample
from tests.benchmarks.diagnosing import how_on

PANELS = sorted(path.name for path in SAMPLES.glob("*.panel"))
MOST_WITHS = 3


def compare(panel: Panel, most: int | None = None) -> Counter[str]:
    """How many faults were told quickly, and how many left to the machine."""
    sound, counted = Sound(panel), Counter[str]()
    every = faults(panel, sound)
    for withs in puts(panel):
        whole = sound.put(withs)
        like = Trial(whole, rated=sound.rated, moved=())
        Random(1).shuffle(every)
        for fault in every[:most]:
            broken = fault.put_in(whole, 0)
            try:
                quick = QuickTrial(like, broken)
                told = (quick.powered(), looks(quick))
            except InDoubt:
                counted["left to the machine"] += 1
                continue
            assert groups(quick.nodes) == groups(find_nodes(broken)), fault.words
            made = Trial(broken, rated=sound.rated, moved=())
            assert told == (made.powered(), looks(made)), (withs, fault.words)
            counted["told quickly"] += 1
    return counted


def groups(nodes: Nodes) -> set[tuple[str, ...]]:
    return {tuple(sorted(one)) for one in nodes.members if one}


def faults(panel: Panel, sound: Sound) -> list[Candidate]:
    states = sound.standing().states
    loads = [part for part in panel.parts if part.load is not None and part.a != part.b]
    ways = [way for load in loads for way in walks_of(states, load).ways]
    shorted = (*shorts(panel, ways), *unprotected(panel, ways))
    return distinct([*shorted, *swapped(panel, ways), *welds(panel, ways)])


def puts(panel: Panel) -> list[tuple[str, ...]]:
    """What some loads need to be put somewhere, and nothing."""
    found = {(): None} | dict.fromkeys(tuple(one) for one in _for_loads(panel))
    return list(found)[:MOST_WITHS]


def _for_loads(panel: Panel) -> Iterator[tuple[str, ...]]:
    for load in panel.parts:
        if load.load is not None and load.a != load.b:
            yield tuple(how_on(panel, load) or ())


def looks(trial: Trial) -> object:
    """Where everything stands, and which loads are on; of what is cleared by nothing only that."""
    if not trial.stands:
        return None
    machine = trial.states.machine
    stands = {name: trial.position(name) for name in (*machine.switches, *machine.movers)}
    loads = [part for part in trial.drawn.parts if part.load is not None and part.a != part.b]
    return stands, [trial.is_on(part) for part in loads]


def test_on_the_greenhouse_panel_a_quick_trial_ends_as_the_machine_does() -> None:
    counted = compare(sample(SAMPLES / "greenhouse.panel"), 40)
    assert counted["told quickly"] > 9 * counted["left to the machine"]


@pytest.mark.slow
@pytest.mark.parametrize("name", PANELS)
def test_on_each_sample_panel_a_quick_trial_ends_as_the_machine_does(name: str) -> None:
    assert compare(sample(SAMPLES / name), 150)["told quickly"]
