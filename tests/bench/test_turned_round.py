"""What is turned round reads as the sound panel does, but at its own two ends: each such swap is
put in and operated, and held against the sound panel at every pair of points of every way."""

from __future__ import annotations

import pytest

from netcheck.bench.candidates import distinct, swapped
from netcheck.bench.fitting import tried, unbroken
from netcheck.bench.sound import Sound
from netcheck.bench.standing import stand
from netcheck.bench.turned_round import turned_round
from netcheck.bench.walks import walks_of
from tests.bench.panels import SAMPLES, panel_of, sample
from tests.benchmarks.every_fault import pairs_of

STATES = {
    "potting_shed": ((), ("S0 pressed", "S2 pressed", "S3 on")),
    "frost_guard": ((),),
    "mist_bench": ((),),
}


@pytest.mark.parametrize("name", STATES)
def test_what_is_turned_round_changes_nothing_but_at_its_own_ends(name: str) -> None:
    panel = sample(SAMPLES / f"{name}.panel")
    states = stand(panel).states
    loads = [part for part in panel.parts if part.load is not None and part.a != part.b]
    ways = [way for load in loads for way in walks_of(states, load).ways]
    sound = Sound(panel)
    turned = [one for one in distinct(swapped(panel, ways)) if turned_round(panel, one.edits[0])]
    assert len(turned) > 4
    for one in turned:
        ends = turned_round(panel, one.edits[0])
        broken, whole = tried(sound, one), unbroken(sound)
        for withs in STATES[name]:
            for red, black in pairs_of(ways):
                if not ends & {red, black}:
                    read, wanted = (each.reading(red, black, withs) for each in (broken, whole))
                    assert read.like(wanted, within=1e-3), (one.words, red, black, read, wanted)


TWO_LAMPS = """\
panel "Two lamps"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
switch S1 normally closed 11-12
switch S2 normally closed 11-12
lamp H1 24 V DC 1 W
lamp H2 24 V DC 20 mA LED
circuit "Lamps"
  E1:+ --1-- FU1 --2-- S1 --3-- H1 --4-- E1:0V
  FU1:2 --5-- S2 --6-- H2 --7-- E1:0V
"""


@pytest.mark.parametrize(
    ("swap", "turned"),
    [
        ("wire 2 and wire 3 swapped at S1:11", True),
        ("wire 3 and wire 4 swapped at H1:X1", True),
        ("wire 6 and wire 7 swapped at H2:X1", False),  # an LED is dark the other way round
    ],
)
def test_a_part_that_works_either_way_round_is_turned_by_the_wires_at_both_its_ends(
    swap: str, turned: bool
) -> None:
    panel = panel_of(TWO_LAMPS)
    states = stand(panel).states
    loads = [part for part in panel.parts if part.load is not None]
    ways = [way for load in loads for way in walks_of(states, load).ways]
    (one,) = (each for each in distinct(swapped(panel, ways)) if each.words == swap)
    assert bool(turned_round(panel, one.edits[0])) is turned
