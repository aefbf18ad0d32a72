"""Monitors at the bench: energised while nothing is wrong, or at rest until they see a fault.

That either is made, and that contacts are drawn as they are without supply: IEC 61557-8 and the
manuals of such relays, from memory.
"""

from __future__ import annotations

import pytest

from netcheck.bench.as_found import as_found
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.monitors import watching
from netcheck.bench.observations import observation
from netcheck.bench.standing import Standing, stand
from netcheck.bench.tracing import resting_on
from netcheck.model.panel import Panel
from netcheck.model.supposed import suppose
from tests.bench.panels import SAMPLES, THREE_LINES, panel_of, sample
from tests.model.build import messages

WATCHED = """\
panel "Bench"
edge E1 24 V DC, fused 4 A, 100 A available, 0V watched, from "greenhouse panel"
fuse FU1 2 A
{monitor}; supply A1-A2 24 V DC 2 W; normally open 13-14; normally closed 21-22
lamp H1 "No fault" 24 V DC 20 mA
lamp H2 "Fault" 24 V DC 20 mA
circuit "Watch"
  E1:+ --1-- FU1 --2-- IM1:A1-A2 --3-- E1:0V
  E1:+ --1-- IM1:13-14 --4-- H1 --3-- E1:0V
  E1:+ --1-- IM1:21-22 --5-- H2 --3-- E1:0V
"""
INSULATION = "insulation monitor IM1 watches L M"
GROUND_FAULT = "ground-fault relay IM1 trips at 30 mA to ground, current inputs S1-S2"
PHASE = (
    'panel "Bench"\nsource MAINS 120 V AC 60 Hz, neutral bonded here\n'
    "phase monitor PM1 120 V AC 3 VA; normally open 11-12\nlamp H1 120 V AC 5 W\n"
    'circuit "Watch"\n  MAINS:L --1-- PM1:L\n  PM1:N --N-- MAINS:N\n'
    "  MAINS:L --1-- PM1:11-12 --2-- H1 --N-- MAINS:N\n"
)


def found(monitor: str) -> Panel:
    return as_found(panel_of(WATCHED.format(monitor=monitor)))


def told(panel: Panel, *lines: str) -> Diagnosis:
    return diagnose(panel, [observation(panel, line) for line in lines])


def lit(panel: Panel) -> list[str]:
    standing: Standing = stand(panel)
    lamps = [part for part in standing.panel.parts if part.role == "lamp"]
    return [part.device for part in lamps if standing.is_energised(part)]


@pytest.mark.parametrize(
    ("monitor", "lamp"),
    [
        (INSULATION, "H1"),
        (f"{INSULATION}, energised while healthy", "H1"),
        (f"{INSULATION}, operates on a fault", "H2"),
        (GROUND_FAULT, "H2"),
        (f"{GROUND_FAULT}, energised while healthy", "H1"),
    ],
)
def test_a_monitor_stands_as_it_does_while_nothing_is_wrong(monitor: str, lamp: str) -> None:
    panel = found(monitor)
    assert [lamp] == lit(panel)
    assert told(panel, f"{lamp} is on").sound_fits


def test_one_that_is_energised_while_healthy_falls_back_with_its_supply() -> None:
    panel = found(INSULATION)
    assert ["H2"] == lit(suppose(panel, (), ("FU1 blown",)).panel)
    named = [one.fault for one in told(panel, "H1 is off", "H2 is on").suspects]
    assert {"FU1 blown", "IM1 held out", "wire 2 open"} <= set(named)
    assert "IM1:13-14 welded" not in named


def test_the_power_off_its_contacts_are_as_they_are_drawn() -> None:
    cold = stand(found(INSULATION), powered=False)
    contacts = [part for part in cold.panel.parts if part.mechanism == "IM1"]
    assert {"IM1 13-14": False, "IM1 21-22": True} == {p.label: cold.closed(p) for p in contacts}


def test_it_can_be_put_where_it_sees_a_fault() -> None:
    assert ["H2"] == lit(suppose(found(INSULATION), ("IM1 at rest",), ()).panel)


def test_which_way_it_is_made_is_taken_for_granted_aloud_where_the_text_does_not_say_it() -> None:
    said = " ".join(resting_on(stand(found(INSULATION))))
    assert "IM1 is energised while nothing is wrong" in said
    for way in ("energised while healthy", "operates on a fault"):
        assert "IM1" not in " ".join(resting_on(stand(found(f"{INSULATION}, {way}"))))
    both = f'panel "A"\n{INSULATION}, energised while healthy, operates on a fault\n'
    assert ["IM1 is said to be energised while healthy as well"] == messages(both)


def test_a_monitor_of_one_line_is_operated_while_there_is_power() -> None:
    panel = as_found(panel_of(PHASE))
    assert ["H1"] == lit(panel)
    assert [] == lit(suppose(panel, (), ("wire N MAINS:N to PM1:N open",)).panel)


def test_a_monitor_of_three_lines_falls_back_as_any_one_of_them_is_lost() -> None:
    """What it is there for: a motor on two lines burns (fact of the trade)."""
    panel = as_found(panel_of(THREE_LINES))
    assert ["H1"] == lit(panel)
    for fuse in ("FU1", "FU2", "FU3"):
        assert [] == lit(suppose(panel, (), (f"{fuse} blown",)).panel)
    named = {one.fault for one in told(panel, "H1 is off").suspects}
    assert {"FU1 blown", "FU2 blown", "FU3 blown", "PM1 held out", "wire 7 open"} <= named
    dark = told(panel, "H1 is off", "E1:+ to E1:0V 24 V")
    assert {"FU1 blown", "FU3 blown"} <= {one.fault for one in dark.suspects}


def test_the_lamp_of_a_healthy_battery_needs_no_fault() -> None:
    panel = as_found(sample(SAMPLES / "frost_guard.panel"))
    assert told(panel, "H2 is on").sound_fits
    assert {"FU3 blown", "IM1 held out"} <= {one.fault for one in told(panel, "H2 is off").suspects}


def test_a_panel_without_one_is_left_as_it_is() -> None:
    panel = sample(SAMPLES / "fertigation.panel")
    assert watching(panel) is panel
