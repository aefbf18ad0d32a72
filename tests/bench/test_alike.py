"""Faults that are taken for one, and breakers that are told to clear nothing, against each of them
put into the panel by itself."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest

from netcheck.bench.alike import Alike
from netcheck.bench.broken_panel import Unsolvable
from netcheck.bench.candidates import Candidate, distinct, shorts, swapped, welds
from netcheck.bench.circles import may_be_in_a_circle
from netcheck.bench.fitting import tried
from netcheck.bench.sound import Sound
from netcheck.bench.trial import Trial
from netcheck.bench.walks import Walk, walks_of
from netcheck.model.panel import Panel
from tests.bench.panels import BRANCHES, HEATER, SAMPLES, VALVE, panel_of, sample

REVERSING = """\
panel "Vent"
edge E1 24 V DC, fused 10 A, 100 A available, 0V grounded, from "greenhouse panel"
breaker CB1 1-pole, 5 A, 24 V DC
breaker CB2 1-pole, 1 A, 24 V DC
button S1 "Open" normally open 13-14
button S2 "Close" normally open 13-14
contactor K1 coil 24 V DC 3 W; 2 main poles
contactor K2 coil 24 V DC 3 W; 2 main poles
mechanical interlock K1 and K2
motor M1 24 V DC 48 W
circuit "Vent"
  E1:+ --1-- CB1:1-2 --3-- K1:1-2 --4-- M1:T1-T2 --5-- K1:4-3 --2-- E1:0V
  CB1:2 --3-- K2:1-2 --5-- M1:T2
  M1:T1 --4-- K2:4-3 --2-- E1:0V
  E1:+ --1-- CB2:1-2 --6-- S1:13-14 --7-- K1:A1-A2 --2-- E1:0V
  CB2:2 --6-- S2:13-14 --8-- K2:A1-A2 --2-- E1:0V
"""


def ways_of(panel: Panel) -> list[Walk]:
    states = Sound(panel).standing().states
    loads = [p for p in panel.parts if p.load is not None and p.a != p.b and not p.spare]
    return [way for load in loads for way in walks_of(states, load).ways]


def joining(panel: Panel) -> list[Candidate]:
    ways = ways_of(panel)
    return distinct([*shorts(panel, ways), *swapped(panel, ways)])


def classes(panel: Panel) -> Iterator[list[Candidate]]:
    alike, found = Alike(panel), dict[object, list[Candidate]]()
    for one in joining(panel):
        found.setdefault(alike.of(one), []).append(one)
    assert None not in found
    yield from found.values()


def read_everywhere(sound: Sound, candidate: Candidate) -> list[object]:
    """Every node against every pole, and each load; what cannot be solved says so."""
    (bench,) = tried(sound, candidate).benches
    poles = [f"{one.device}:{pole}" for one in sound.panel.sources for pole in one.poles]
    found: list[object] = []
    for red in sound.panel.terminals:
        for black in poles:
            try:
                found.append(str(bench.reading(red, black, ())))
            except Unsolvable:
                return ["unsolvable"]
    return found


@pytest.mark.parametrize("text", [VALVE, BRANCHES, REVERSING])
@pytest.mark.parametrize("withs", [(), ("S2 pressed",)])
def test_what_is_taken_for_alike_reads_the_same_at_every_terminal(
    text: str, withs: tuple[str, ...]
) -> None:
    if withs and "S2" not in panel_of(text).devices:
        return
    sound = Sound(panel_of(text, withs))
    found = list(classes(sound.panel))
    assert any(len(one) > 1 for one in found)
    for members in found:
        for one, other in pairwise(members):
            assert read_everywhere(sound, one) == read_everywhere(sound, other), one.words


def test_wires_of_one_node_ground_alike_and_those_of_two_do_not() -> None:
    panel = panel_of(VALVE)
    of = {one.words: Alike(panel).of(one) for one in joining(panel)}
    assert of["wire 208 grounded"] == of["wire 210 grounded"]
    assert of["wire 208 grounded"] != of["wire 202 grounded"]


def opens_in(panel: Panel) -> set[str]:
    """Whatever opens on a short while power comes on and then each switch is moved by itself."""
    trial = Trial(panel)
    trial.powered()
    said = []
    for name in trial.states.machine.switches:
        moved = trial.copy()
        for position in (1, 0):
            said += moved.put_if_it_moves(name, position)
    return {words.partition(" opens")[0] for words in said if " opens" in words}


@pytest.mark.parametrize("text", [VALVE, BRANCHES, HEATER, REVERSING])
def test_what_is_in_no_circle_never_opens(text: str) -> None:
    panel = panel_of(text)
    protection = [d.name for d in panel.devices.values() if d.kind in ("fuse", "breaker")]
    told = 0
    for one in (*joining(panel), *distinct(welds(panel, ways_of(panel)))):
        broken = one.put_in(panel, 0)
        never = {name for name in protection if not may_be_in_a_circle(broken, name)}
        assert never.isdisjoint(opens_in(broken)), one.words
        told += len(never)
    assert told


def test_interlocked_contactors_are_in_no_circle_and_without_their_interlock_they_are() -> None:
    assert not may_be_in_a_circle(panel_of(REVERSING), "CB1")
    free = REVERSING.replace("mechanical interlock K1 and K2\n", "")
    assert may_be_in_a_circle(panel_of(free), "CB1")


@pytest.mark.parametrize("name", ["two_houses", "mist_bench"])
def test_a_grounded_feeder_of_a_sample_panel_is_in_a_circle(name: str) -> None:
    panel = sample(SAMPLES / f"{name}.panel")
    opened = 0
    for one in joining(panel)[:12]:
        broken = one.put_in(panel, 0)
        for device in opens_in(broken):
            opened += 1
            assert may_be_in_a_circle(broken, device), one.words
    assert opened
