"""A figure that is missing or cannot be right is told at its place, and never passes.

Source: common practice; what is not known is not checked, what cannot be is not believed.
"""

from __future__ import annotations

import pytest

from netcheck.finding import Review
from netcheck.review import review
from tests.annotated import Texts

HEATER = """panel "Nutrient tank"
{setting}
wire kind heat: {size} copper {insulation}, {length}
edge E1 {volts} AC 60 Hz, two-wire, fused {fused}, {available} available, L2 grounded, from "panel"
switch S1 normally open 1-2 240 V AC 20 A
heater HTR1 {heat} 240 V AC, restart allowed
circuit "Heat" in heat
  E1:L1 --1-- S1 --2-- HTR1 --N-- E1:L2
  E1:PE --PE-- HTR1:PE
"""
SOUND = {
    "setting": "numbers one for each node",
    "size": "12 AWG",
    "insulation": "MTW 90 degC",
    "length": "3 m",
    "volts": "240 V",
    "fused": "20 A",
    "available": "5 kA",
    "heat": "1 kW",
}


def reviewed(**figures: str) -> Review:
    text = HEATER.format(**(SOUND | figures))
    found, _ = review(["tank.panel"], Texts({"tank.panel": text}))
    assert () == found.failures
    return found


def test_the_panel_as_it_should_be_passes() -> None:
    assert ("tank.panel",) == reviewed().clean


@pytest.mark.parametrize(
    ("figure", "written", "line"),
    [
        *(("length", length, 3) for length in ("0 m", "0.0001 m", "10 km", "-3 m")),
        *(("size", size, 3) for size in ("0 mm2", "10000 AWG", "-2 AWG", "1000000 mm2")),
        *(("insulation", words, 3) for words in ("MTW 900 degC", "MTX 90 degC")),
        *(("volts", volts, 4) for volts in ("0 V", "-240 V", "1000000000 V")),
        *(("fused", amperes, 4) for amperes in ("0 A", "-20 A", "1000000000 A")),
        *(("available", amperes, 4) for amperes in ("0 A", "1000000000 kA")),
        *(("heat", load, 6) for load in ("0 W", "-1 kW", "1000000000 A", "0 ohm", "999999 MW")),
        *(("setting", f"ambient {c} degC", 2) for c in ("9000", "-300")),
        *(("setting", f"drop limit {share} %", 2) for share in ("0", "-5", "500")),
    ],
)
def test_what_cannot_be_is_told_at_its_place_and_nothing_passes(
    figure: str, written: str, line: int
) -> None:
    found = reviewed(**{figure: written})
    assert [line] == [mistake.place.span.line for mistake in found.mistakes]
    assert () == found.clean


@pytest.mark.parametrize(
    ("figure", "written", "reason"),
    [
        ("size", "7 AWG", "no NEC ampacity table has 7 AWG copper"),
        ("size", "0.000001 mm2", "smaller than any size in the NEC tables"),
        ("insulation", "MTW 30 degC", "has no column for 30 degC insulation"),
        ("setting", "ambient 200 degC", "ends below an ambient of 200 degC"),
        ("setting", "terminals 30 degC", "no column for 30 degC"),
    ],
)
def test_what_no_table_holds_is_not_checked_once_for_all_wires(
    figure: str, written: str, reason: str
) -> None:
    (one,) = reviewed(**{figure: written}).not_checked
    assert reason in one.reason
    assert (3, ("undersized conductor", "unprotected branch")) == (len(one.wires), one.rules)


def test_a_wire_kind_with_a_length_of_nought_counts_its_wires_as_not_checked() -> None:
    found = reviewed(length="0 m")
    about_wires = [one for one in found.not_checked if one.wires]
    assert [(3, "voltage drop too large" in about_wires[0].rules)] == [
        (len(one.wires), "voltage drop too large" in one.rules) for one in about_wires
    ]


FILLED = """panel "Nutrient tank"
numbers one for each node
wire kind default: {default}
edge E1 240 V AC 60 Hz, two-wire, fused 30 A, 5 kA available, L2 grounded, from "panel"
switch S1 normally open 1-2 240 V AC 30 A
heater HTR1 5 kW 240 V AC, restart allowed
circuit "Heat"{said}
  E1:L1 --1-- S1 --2-- HTR1 --N-- E1:L2
  E1:PE --PE-- (10 AWG) HTR1:PE
"""


@pytest.mark.parametrize(
    ("default", "said", "assumed"),
    [
        ("14 AWG copper MTW 90 degC, 3 m", "", "14 AWG copper 90 degC insulation"),
        ("copper MTW 90 degC, 3 m", ", 14 AWG", "copper 90 degC insulation"),
        ("black", ", 14 AWG copper MTW 90 degC, 3 m", None),
    ],
)
def test_what_a_panel_wide_default_fills_in_is_said_to_be_assumed(
    default: str, said: str, assumed: str | None
) -> None:
    text = FILLED.format(default=default, said=said)
    found, _ = review(["tank.panel"], Texts({"tank.panel": text}))
    (one,) = (f for f in found.findings if f.rule == "undersized conductor")
    expected = [] if assumed is None else [f"{assumed}, by the default wire kind"]
    assert expected == [words for words in one.assumed if "default" in words]


BEHIND_A_FUSE = """panel "Valve"
numbers one for each node
wire kind valve: 16 AWG copper MTW 90 degC{length}
edge E1 24 V DC, fused 5 A, 100 A available, 0V grounded, from "panel"
fuse FU1 4 A, 60 V DC, class CC, 20 kA interrupting
switch S1 normally open 1-2 60 V DC 6 A
valve Y1 24 V DC 8 W with diode
circuit "Valve" in valve
  E1:+ --1-- FU1 --2-- S1 --3-- Y1 --0-- E1:0V
"""


@pytest.mark.parametrize(("length", "wires"), [(", 5 m", 0), ("", 4)])
def test_wires_of_unknown_length_leave_open_whether_a_short_at_their_end_trips(
    length: str, wires: int
) -> None:
    text = BEHIND_A_FUSE.format(length=length)
    found, _ = review(["valve.panel"], Texts({"valve.panel": text}))
    rule = "fault current too small to trip"
    assert wires == sum(len(one.wires) for one in found.not_checked if rule in one.rules)


@pytest.mark.parametrize("length", ["0 m", "10 km"])
def test_a_length_that_cannot_be_costs_a_wire_kind_no_more_than_itself(length: str) -> None:
    """14 AWG on a 30 A fuse is still too thin; only what asks for the length is not checked."""
    found = reviewed(length=length, size="14 AWG", fused="30 A")
    (mistake,) = found.mistakes
    assert (3, f"`{length}`") == (mistake.place.span.line, mistake.message[: len(length) + 2])
    assert "oversized protection" in {one.rule for one in found.findings}
    assert {"no length said"} <= {one.reason.rpartition(": ")[2] for one in found.not_checked}
