"""What is inside a device is no place for a lead of a meter: a safety relay has marks in brackets
for what it joins within, and nobody gets there."""

from __future__ import annotations

import pytest

from netcheck.bench import trace_text
from netcheck.bench.diagnosing import diagnose
from netcheck.bench.isolating import Isolator
from netcheck.bench.metered import volt_readings
from netcheck.bench.observations import observation
from netcheck.bench.reaching import Reaching
from netcheck.bench.trace_document import TraceDocument
from netcheck.bench.tracing import Traced, Tracer
from netcheck.model.panel import Panel
from tests.bench.panels import SAMPLES, sample

DRIVE_PUMP = SAMPLES / "drive_pump.panel"


@pytest.fixture(name="panel", scope="module")
def _panel() -> Panel:
    return sample(DRIVE_PUMP)


def reset_of(panel: Panel) -> Traced:
    part = next(p for p in panel.parts if p.load is not None and p.a == "SR1:S34")
    return Tracer(panel).of(part)


def test_the_marks_inside_are_there() -> None:
    """Or nothing here tests anything."""
    assert {"SR1:(A)", "SR1:(all)"} < set(sample(DRIVE_PUMP).terminals)


def test_a_way_through_a_safety_relay_is_one_step_from_mark_to_mark(panel: Panel) -> None:
    found = reset_of(panel)
    assert "OPEN: SR1 S34-A2 is off, as meant now: S3 13-14 (S3 is released)" == found.verdict
    assert [("SR1:A1", "SR1 A1-Y1", False), ("SR1:Y1", "wire 241", False)] == [
        (place.at, place.by, place.open) for place in found.places[5:7]
    ]
    # Its own contact holds it in past both; it is no way to get it in.
    assert [["SR1 A1-S34"]] == [[c.by for c in way.contacts] for way in found.others]
    sheet = found.sheet
    assert sheet is not None
    assert ("SR1 A1-Y1", "wire 241") == next(
        point for point in sheet.points if point.terminal == "SR1:Y2"
    ).suspects
    text = trace_text.render(TraceDocument("a.panel", (), (found,)), colour=False, width=None)
    assert "(A" not in text
    assert "(all" not in text
    assert "now SR1 channel A and SR1 channel B in" in text


def test_every_terminal_metered_is_one_that_a_lead_gets_to(panel: Panel) -> None:
    told = volt_readings(panel, (), (), "", clamping=False)
    nodes = [terminal for node in told.nodes for terminal in node.terminals]
    assert "SR1:S11" in nodes
    assert [] == [terminal for terminal in nodes if "(" in terminal]


def test_no_point_to_prove_dead_is_inside(panel: Panel) -> None:
    isolator = Isolator(panel)
    told = isolator.of("SR1")
    assert ("CB1",) == told.handles
    assert "SR1:S11" in told.points
    assert [] == [words for words in (*told.points, *told.prove_dead) if ":(" in words]
    points = [end for point in Reaching(isolator).points() for end in point.terminals]
    assert "SR1:S11" in points
    assert [] == [end for end in points if "(" in end]


@pytest.mark.parametrize(
    "line",
    [
        "K1 is out with S3 pressed and S2 pressed",
        "SR1 is out with S3 pressed",
    ],
)
def test_no_reading_is_asked_for_inside(panel: Panel, line: str) -> None:
    """Not at first, nor whatever was answered before."""
    said = [observation(panel, line)]
    skipped: list[tuple[str, str]] = []
    for _ in range(6):
        step = diagnose(panel, said, skipped=tuple(skipped)).next
        if step is None:
            break
        assert "(" not in step.red + step.black
        skipped.append((step.red, step.black))
    assert 3 < len(skipped)
