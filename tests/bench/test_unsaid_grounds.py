"""Where a text does not say how a source is grounded, whoever reads the volts is told so."""

from __future__ import annotations

import re

import pytest

from netcheck.bench import diagnose_text, isolate_text, meter_text, opened_text
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import diagnose
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.metered import volt_readings
from netcheck.bench.observations import observation
from netcheck.bench.unsaid_grounds import unsaid_grounds
from netcheck.cli.isolate import isolated, left_live
from netcheck.cli.one_panel import Read
from tests.bench.panels import SAMPLES, panel_of, sample

LIGHT = """\
panel "Grow light"
source MAINS 120/240 V AC 60 Hz, 5 kA available{grounded}
breaker CB1 1-pole 15 A
breaker CB2 1-pole 5 A
switch S1 normally open 1-2
lamp H1 120 V AC 40 W
lamp H2 120 V AC 40 W
circuit "Light"
  MAINS:L1 --1-- CB1 --3-- S1 --4-- H1 --N-- MAINS:N
  MAINS:L2 --2-- CB2 --5-- H2 --N-- MAINS:N
"""
WHY = (
    "MAINS does not say that N is grounded, so N counts as live and volts are taken between any "
    "two poles: write `N grounded` in its line if it is"
)
UNSAID, SAID = LIGHT.format(grounded=""), LIGHT.format(grounded=", N grounded")


def shown(text: str) -> list[str]:
    """All that tells somebody at the panel what is live."""
    panel = panel_of(text)
    read = Read("a.panel", panel, panel, panel)
    seen = [observation(panel, "H1 is off with S1 on")]
    found = DiagnoseDocument("a.panel", (), (), diagnose(panel, seen))
    metered = (
        volt_readings(panel, ["H1:X2"], (), "", clamping=False),
        volt_readings(panel, (), [("H1:X1", "H1:X2")], "", clamping=False),
    )
    asked = (("H1", False), ("H1", True), (None, False))
    return [
        opened_text.render(left_live(read, ("CB1",)), colour=False, width=None),
        *(isolate_text.render(isolated(read, *one), colour=False, width=None) for one in asked),
        *(meter_text.render(one, colour=False, width=None) for one in metered),
        diagnose_text.render(found, colour=False, width=None),
    ]


def test_a_neutral_of_which_no_ground_is_said_counts_as_live_and_it_is_said_why() -> None:
    for text in shown(UNSAID):
        assert WHY in text
    for text in shown(SAID):
        assert "counts as live and" not in text


def test_what_is_dead_once_its_breaker_is_open_hangs_on_what_is_said_of_the_neutral() -> None:
    opened = [
        left_live(Read("a", panel_of(t), panel_of(t), panel_of(t)), ("CB1",))
        for t in (UNSAID, SAID)
    ]
    alive = [{live.device for live in one.opened.live} if one.opened else set() for one in opened]
    assert "H1" in alive[0] - alive[1]


@pytest.mark.parametrize(
    "source",
    [
        "source MAINS 480 V AC three-phase 60 Hz",
        "source MAINS 208Y/120 V AC 60 Hz",
        "source MAINS 240 V AC 60 Hz",
        "edge E1 120/240 V AC 60 Hz, three-wire, fused 15 A",
        "edge E1 24 V DC, fused 4 A",
        "battery BT1 12 V DC",
        "supply PS1 120 V AC to 24 V DC, 5 A",
        "transformer T1 240 V AC to 120 V AC, 500 VA",
        "transformer T2 480 V AC three-phase to 208 V AC three-phase, 15 kVA",
    ],
)
def test_each_phrase_that_is_proposed_is_understood_and_says_it(source: str) -> None:
    (sentence,) = unsaid_grounds(panel_of(f'panel "Bench"\n{source}\n'))
    phrases = re.findall(r"`(.+?)`", sentence)
    assert phrases
    for phrase in phrases:
        assert () == unsaid_grounds(panel_of(f'panel "Bench"\n{source}, {phrase}\n'))


def test_what_is_wired_to_ground_or_to_a_source_that_says_it_need_not_say_it() -> None:
    assert () == unsaid_grounds(sample(SAMPLES.parent / "sound" / "batteries-in-series.panel"))
    drawn = (
        'panel "Bench"\ngrounding bar GB1 terminals 1 to 3\nedge E1 24 V DC, fused 4 A, '
        '0V grounded\ntransformer T1 240 V AC to 120 V AC, 500 VA\ncircuit "Bond"\n'
        "  E1:PE -- GB1:1\n  GB1:2 -- T1:X2\n"
    )
    assert () == unsaid_grounds(panel_of(drawn))


def test_more_volts_than_the_meter_shows_are_told_with_what_they_are_between() -> None:
    """Line to line, of a source that a 120 V circuit hangs on by one line."""
    *_, pair, found = shown(SAID)
    assert "at these points, MAINS:L1 to MAINS:L2, whatever the meter shows" in found
    assert "LIVE up to 240 V here, H1:X1 to MAINS:L2" not in pair
    lit = volt_readings(panel_of(SAID, ("S1 on",)), ["H1:X1"], (), "", clamping=False)
    assert ("H1:X1 to MAINS:L2", 240) == (lit.highest_between, lit.highest_v)
    assert "" == volt_readings(panel_of(SAID), ["H1:X2"], (), "", clamping=False).highest_between


def test_a_document_of_nothing_says_nothing_of_grounds() -> None:
    assert () == IsolateDocument("a.panel").unsaid
