"""What does not stop was started: a stop that sticks keeps in what holds itself.

Which faults keep a sealed-in starter in is a fact of the trade: the stop contact that does not
open, a way round it, the contactor's armature held in.
"""

from __future__ import annotations

import pytest

from netcheck.bench import diagnose_text
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.observations import observation
from netcheck.model.panel import Panel
from tests.bench.panels import SAMPLES, VALVE, panel_of, sample


def told(panel: Panel, *lines: str) -> Diagnosis:
    return diagnose(panel, [observation(panel, line) for line in lines])


def of(name: str, *lines: str) -> Diagnosis:
    return told(sample(SAMPLES / f"{name}.panel"), *lines)


def faults(found: Diagnosis) -> set[str]:
    return {suspect.fault for suspect in found.suspects}


@pytest.mark.parametrize(
    ("name", "line", "suspects", "started"),
    [
        ("fertigation", "M1 does not stop with S1 pressed",
         {"S1:11-12 welded", "K1 held in"}, ("S2 pressed",)),
        ("fertigation", "K1 stays in with S1 pressed",
         {"S1:11-12 welded", "K1 held in"}, ("S2 pressed",)),
        ("potting_shed", "M1 won't stop with ES1 pushed",
         {"ES1:11-12 welded", "K0:23-24 welded", "K0 held in", "K1 held in"},
         ("S0 pressed", "S2 pressed")),
        ("greenhouse", "M2 will not stop with S3 pressed", {"S3:11-12 welded", "K2 held in"},
         ("S0 pressed", "S4 pressed", "FL2 operated")),
    ],
)  # fmt: skip
def test_a_stop_that_sticks_is_suspected_of_what_holds_itself(
    name: str, line: str, suspects: set[str], started: tuple[str, ...]
) -> None:
    found = of(name, line)
    assert suspects == faults(found)
    assert started == found.started


@pytest.mark.parametrize("does", ["does not close", "won\u2019t shut", "stays open", "stays on"])
def test_a_valve_that_does_not_close_was_opened(does: str) -> None:
    found = told(panel_of(VALVE), f"Y1 {does} with S1 pressed")
    assert {"S1:11-12 welded", "K1:23-24 welded", "K1 held in"} == faults(found)


def test_the_held_button_is_said_to_stand_for_a_load_that_runs() -> None:
    found = of("fertigation", "M1 does not stop with S1 pressed")
    words = "started    S2 pressed stands for that it runs: then it holds itself\n"
    document = DiagnoseDocument("a.panel", (), (), found)
    assert words in diagnose_text.render(document, colour=False, width=None)
    assert words in diagnose_text.render_round(document, colour=False, width=None)
    said = "K1:13 to T1:X2 {} with S1 pressed and S2 pressed"
    sealed = "M1 does not stop with S1 pressed"
    assert {"S1:11-12 welded"} == faults(of("fertigation", sealed, said.format("120 V AC")))
    assert {"K1 held in"} == faults(of("fertigation", sealed, said.format("0 V")))


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("fertigation", "M1 starts by itself"),  # nobody has pressed anything
        ("fertigation", "M1 is on with S1 pressed"),
        ("frost_guard", "EV1 does not stop with S1 in OFF"),  # nothing holds itself there
        ("two_houses", "A.M1 does not stop with A.S1 off"),
    ],
)
def test_what_was_not_started_or_holds_nothing_is_looked_at_as_it_is_said(
    name: str, line: str
) -> None:
    assert () == of(name, line).started


def test_a_relay_that_only_its_button_holds_is_not_taken_for_held() -> None:
    panel = panel_of(VALVE.replace("  S1:12 --205-- K1:13-14 --206-- K1:A1\n", ""))
    assert () == told(panel, "K1 stays in with S1 pressed").started
    assert ("S2 pressed",) == told(panel_of(VALVE), "K1 stays in with S1 pressed").started


@pytest.mark.parametrize(
    ("says", "started"),
    [
        ('foot switch S2 "Start" normally open 13-14', "S2 pressed"),
        ("selector S2 positions OFF ON, springs back to OFF; 13-14 in ON", "S2 ON"),
    ],
)
def test_whatever_springs_back_may_have_started_it(says: str, started: str) -> None:
    text = VALVE.replace('button S2 "Start" normally open 13-14', says)
    found = told(panel_of(text), "K1 does not drop out with S1 pressed")
    assert (started,) == found.started
    assert {"S1:11-12 welded", "K1 held in"} <= faults(found)
