"""After a fuse or breaker has opened, ohms with the power off come next, never a live reading."""

from __future__ import annotations

import pytest

from netcheck.bench import diagnose_text
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.likelihoods import Sort
from netcheck.bench.observations import observation
from netcheck.report.terminal import columns
from tests.bench.panels import BRANCHES, HEATER, VALVE, panel_of


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


@pytest.mark.parametrize(
    "lines",
    [("CB3 trips when K2 pulls in",), ("CB3 trips",), ("FU1 blows with S2 pressed",)],
)
def test_what_trips_is_not_closed_again_for_a_reading(lines: tuple[str, ...]) -> None:
    """Re-close on a short only when its cause is found: common practice, no source."""
    found = told(BRANCHES, *lines)
    assert found.suspects
    assert found.opened
    assert found.next is None
    assert found.power_off
    text = diagnose_text.render(DiagnoseDocument("a", (), lines, found), colour=False, width=40)
    assert "METER NEXT" not in text
    assert "POWER OFF NEXT" in text
    assert [] == [line for line in text.splitlines() if columns(line) > 40]


def test_each_ohm_step_says_what_is_sound_there() -> None:
    """24 V and 8 W are 72 ohm, two valves side by side 36: V^2 / P."""
    steps = {step.fault: step for step in told(BRANCHES, "CB3 trips when K2 pulls in").power_off}
    step = steps["Y1:1-2 shorted"]
    assert ("Y1:1", "Y1:2") == (step.red, step.black)
    assert step.sound.high == pytest.approx(36, rel=0.01)
    assert ("Y2 1-2",) == step.sound.beside
    assert "lift" in step.sound.lift


def test_a_fuse_found_blown_by_volts_is_followed_by_ohms_behind_it() -> None:
    reads = ("FU1:1 to E1:0V 24 V DC", "FU1:2 to E1:0V 0 V")
    found = told(VALVE, "K1 is out with S2 pressed", *(f"{r} with S2 pressed" for r in reads))
    assert ["FU1 blown"] == [one.fault for one in found.suspects]
    assert found.opened
    assert Sort.GROUND in {one.sort for one in found.also}
    assert "wire 202 grounded" in {step.fault for step in found.power_off}


def test_an_open_wire_asks_for_no_ohms_of_shorts() -> None:
    found = told(VALVE, "K1 is out with S2 pressed", "S2:13 to E1:0V 24 V DC with S2 pressed")
    assert not found.opened
    assert () == found.power_off


def test_what_looks_just_the_same_is_told_once_no_reading_parts_the_suspects() -> None:
    found = told(HEATER, "HTR1 does not heat", "MAINS:L1 to MAINS:N 0 V")
    assert "MAINS gives nothing" in {one.fault for one in (*found.suspects, *found.also)}
