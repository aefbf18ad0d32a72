"""What springs back stands where it springs to while nobody holds it, power on or off."""

from __future__ import annotations

import pytest

from netcheck.bench.candidates import distinct, joints, shorts
from netcheck.bench.diagnosing import diagnose
from netcheck.bench.fitting import tried
from netcheck.bench.live_model import live_model
from netcheck.bench.observations import observation
from netcheck.bench.sound import Sound
from netcheck.bench.standing import stand
from netcheck.bench.trial import Trial
from netcheck.bench.walks import walks_of
from tests.bench.panels import load_of, panel_of

GATE = """\
panel "Gate of the greenhouse"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
selector SG "Gate" positions OPEN STOP CLOSE; 1-2 in OPEN, 60 V DC 5 A; springs back to {rests}
lamp H1 "Gate opens" 24 V DC 1 W
circuit "Gate"
  E1:+ --1-- FU1 --2-- SG:1-2 --3-- H1 --4-- E1:0V
"""


@pytest.mark.parametrize(("rests", "lit"), [("STOP", False), ("OPEN", True), ("CLOSE", False)])
def test_a_lamp_behind_a_selector_that_springs_back_is_as_where_it_springs_to(
    rests: str, lit: bool
) -> None:
    panel = panel_of(GATE.format(rests=rests))
    lamp = load_of(panel, "H1")
    standing = stand(panel)
    assert standing.is_energised(standing.panel.parts[lamp.index]) is lit
    trial = Trial(panel)
    trial.powered()
    assert trial.is_on(lamp) is lit
    found = diagnose(panel, [observation(panel, f"H1 is {'on' if lit else 'off'}")])
    assert found.sound_fits
    otherwise = diagnose(panel, [observation(panel, f"H1 is {'off' if lit else 'on'}")])
    assert not otherwise.sound_fits
    held = diagnose(panel, [observation(panel, "H1 is on with SG OPEN")])
    assert held.sound_fits


def test_in_numbers_and_where_something_opens_it_rests_there_too() -> None:
    panel = panel_of(GATE.format(rests="STOP"))
    ways = walks_of(stand(panel).states, load_of(panel, "H1")).ways
    sound = Sound(panel)
    every = distinct([*joints(panel, ways), *shorts(panel, ways)])
    assert len(every) > 4
    for one in every:
        reading = tried(sound, one).reading("H1:X1", "E1:0V", ())
        assert reading.size_v < 1 or reading.floats, one.words


def test_the_live_page_begins_there() -> None:
    panel = panel_of(GATE.format(rests="STOP"))
    mechanisms = live_model(panel, stand(panel).numbers)["mechanisms"]
    gate = next(one for one in mechanisms if one["name"] == "SG")
    assert gate["positions"][gate["first"]] == "STOP"
