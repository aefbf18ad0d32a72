"""Traces and readings as text for a narrow screen, and as JSON held to its schema."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import netcheck.bench
from netcheck.bench import (
    cautions,
    diagnose_json,
    diagnose_text,
    meter_json,
    meter_text,
    trace_json,
    trace_text,
)
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import diagnose
from netcheck.bench.meter_document import MeterDocument
from netcheck.bench.metered import ohm_readings, volt_readings
from netcheck.bench.observations import observation
from netcheck.bench.trace_document import TraceDocument
from netcheck.bench.tracing import Tracer
from netcheck.report.closing import CAUTION
from netcheck.report.terminal import columns
from tests.bench.panels import ALL, HEATER, VALVE, load_of, panel_of
from tests.report.example import MISTAKE

FOLDER = Path(netcheck.bench.__path__[0])
SCHEMAS: dict[str, dict[str, Any]] = {
    name: json.loads((FOLDER / f"{name}.schema.json").read_text(encoding="utf-8"))
    for name in ("trace", "meter", "diagnose", "isolate", "spare", "lamps")
}


def traces(name: str, fault: str = "") -> TraceDocument:
    panel = panel_of(ALL[name])
    broken = panel_of(ALL[name], (), [fault]) if fault else panel
    tracer = Tracer(panel, broken)
    loads = [part for part in panel.parts if part.load is not None]
    return TraceDocument("a.panel", (), tuple(tracer.of(load) for load in loads))


def readings(name: str) -> Iterator[MeterDocument]:
    panel = panel_of(ALL[name])
    load = next(part for part in panel.parts if part.load is not None)
    pair = (load.a, load.b)
    yield volt_readings(panel, (), (), "", clamping=False)
    yield volt_readings(panel, (), (), "", clamping=True)
    yield volt_readings(panel, (), [pair], "", clamping=False)
    yield ohm_readings(panel, (), ())
    yield ohm_readings(panel, (), [pair])


def diagnoses() -> Iterator[DiagnoseDocument]:
    panel = panel_of(VALVE)
    for seen in (
        ["Y1 is off with S2 pressed", "K1:A1 to K1:A2 0 V with S2 pressed"],
        ["Y1 is off with S2 pressed", "K1:A1 to K1:A2 120 V with S2 pressed"],
        ["Y1 is off"],
    ):
        told = diagnose(panel, [observation(panel, line) for line in seen])
        yield DiagnoseDocument("a.panel", (), tuple(seen), told)


def check(schema: str, text: str) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(text)
    jsonschema.Draft202012Validator(SCHEMAS[schema]).validate(read)
    return read


@pytest.mark.parametrize("name", ALL)
def test_every_document_is_as_its_schema_says(name: str) -> None:
    check("trace", trace_json.render(traces(name)))
    for document in readings(name):
        check("meter", meter_json.render(document))


def test_every_diagnosis_is_as_its_schema_says_and_narrow() -> None:
    for document in diagnoses():
        check("diagnose", diagnose_json.render(document))
        text = diagnose_text.render(document, colour=False, width=60)
        assert [] == [line for line in text.splitlines() if columns(line) > 60]
        assert text.startswith("LIVE up to 24 V where this is metered\n")
        assert "not proof that it is dead" in " ".join(text.split())


def test_a_text_that_cannot_be_read_has_documents_too() -> None:
    trace = check("trace", trace_json.render(TraceDocument("a.panel", mistakes=(MISTAKE,))))
    meter = check("meter", meter_json.render(MeterDocument("a.panel", mistakes=(MISTAKE,))))
    told = DiagnoseDocument("a.panel", mistakes=(MISTAKE,))
    for read in (trace, meter, check("diagnose", diagnose_json.render(told))):
        assert [MISTAKE.message] == [mistake["message"] for mistake in read["mistakes"]]


@pytest.mark.parametrize("name", ALL)
def test_no_line_is_wider_than_a_narrow_screen(name: str) -> None:
    texts = [trace_text.render(traces(name), colour=False, width=60)]
    texts += [meter_text.render(each, colour=False, width=60) for each in readings(name)]
    for text in texts:
        assert [] == [line for line in text.splitlines() if columns(line) > 60]


@pytest.mark.parametrize("name", ALL)
def test_the_cautions_stand_under_everything(name: str) -> None:
    texts = [trace_text.render(traces(name), colour=False, width=None)]
    texts += [meter_text.render(each, colour=False, width=None) for each in readings(name)]
    for text in texts:
        assert text.endswith("\n".join(CAUTION) + "\n")
    assert "0 V is not proof that it is dead" in texts[0]
    assert "Never jump a safety contact" in texts[0]
    assert "Ohms only with power off" in texts[-1]
    assert "One conductor in the clamp at a time" in texts[2]


def test_a_screen_begins_with_what_is_live_then_the_verdict_and_one_arrow() -> None:
    panel = panel_of(HEATER)
    traced = Tracer(panel, panel_of(HEATER, (), ["FU2 blown"])).of(load_of(panel, "HTR1"))
    text = trace_text.render(
        TraceDocument("a.panel", ("fault: FU2 blown",), (traced,)), colour=False, width=60
    )
    lines = text.splitlines()
    assert "SUPPOSED fault: FU2 blown: not as drawn" == lines[0]
    assert lines[1].startswith("LIVE 24")
    assert "OPEN: HTR1 cannot get home: FU2 1-2 is open" == lines[2]
    assert 1 == sum(line.startswith("> ") for line in lines)
    assert "Keep the black lead on MAINS:L2" in text
    next_, sheet = lines.index("METER NEXT: FU1:1 to MAINS:L2"), text.index("PROBE SHEET")
    assert lines[next_ + 1 : next_ + 3] == ["  239 V AC    go on towards the load",
                                            "  low         go back towards MAINS:L1"]  # fmt: skip
    assert text.index("METER NEXT") < sheet
    assert "itself LIVE: 120 V AC to MAINS:N" in " ".join(text.split())


def test_extra_low_voltage_is_no_shock_and_yet_burns() -> None:
    panel = panel_of(VALVE)
    text = meter_text.render(
        volt_readings(panel, (), (), "", clamping=False), colour=False, width=None
    )
    assert "24 V across a spanner burns" in text


@pytest.mark.parametrize("name", ["heater", "valve"])
def test_from_50_v_on_a_shock_and_arc_flash_assessment_comes_first(name: str) -> None:
    """50 V: OSHA 1910.333(a)(1), NFPA 70E 110.4, from memory."""
    panel = panel_of(ALL[name])
    load = "HTR1" if name == "heater" else "Y1"
    told = [
        trace_text.render(traces(name), colour=False, width=None),
        meter_text.render(
            volt_readings(panel, (), (), "", clamping=False), colour=False, width=None
        ),
        diagnose_text.render(
            DiagnoseDocument(
                "a.panel", diagnosis=diagnose(panel, [observation(panel, f"{load} is off")])
            ),
            colour=False,
            width=None,
        ),
    ]
    for text in told:
        assert ("50 V or more: shock and arc-flash assessment first" in text) == (name == "heater")
        assert "No arc-flash study is made here" in text


def test_what_a_suspect_s_terminals_leave_to_be_guessed_is_told() -> None:
    panel = panel_of(VALVE)
    told = diagnose(panel, [observation(panel, "Y1 does not open with S2 pressed")])
    text = diagnose_text.render(
        DiagnoseDocument("a.panel", diagnosis=told), colour=False, width=None
    )
    for line in (
        "  S2:13-14 open  (switch or sensor, door)",
        "  K1 held out  (is fed and does not pull in)",
        "  K1:23-24 open  (contact that fails to close)",
        "  Y1:1-2 open  (coil, lamp or other load, benches)",
        "  FU1 blown",
    ):
        assert f"{line}\n" in text


def test_nothing_printed_at_the_bench_tells_to_get_round_a_safety_device() -> None:
    """Whatever jumps, bypasses or defeats stands in the caution that says never."""
    told: list[str] = []
    files = [*FOLDER.glob("*.py"), *(FOLDER.parent / "cli").glob("*.py")]
    for tree in (ast.parse(path.read_text(encoding="utf-8")) for path in files):
        meant = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        told += [
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in meant  # else it is for who reads the program
        ]
    words = re.compile(r"\b(jump|bypass|defeat|override|link out|short out|larger fuse)", re.I)
    assert cautions.NEVER in told
    assert [cautions.NEVER] == [words_of for words_of in told if words.search(words_of)]


def test_of_points_without_volts_in_this_state_nothing_is_said_of_24_v() -> None:
    """They may be those of a heater behind an open contactor."""
    assert not [line for line in cautions.of_live_test(0.0) if "24 V" in line]
