"""Symptoms and readings in, suspects out: each told from the fault that was put in."""

from __future__ import annotations

import pytest

from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.fitting import Bench
from netcheck.bench.observations import Read, Symptom, observation
from netcheck.bench.readings import Reading
from netcheck.bench.sound import Sound
from netcheck.model.faults import broken, fault_in_words
from netcheck.model.names import NameMistake
from tests.bench.panels import CONTROLLER, HEATER, VALVE, panel_of


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


def names(diagnosis: Diagnosis) -> list[str]:
    return [suspect.fault for suspect in diagnosis.suspects]


# ---- what was seen ----


def test_a_symptom_and_a_reading_are_read_with_their_state() -> None:
    panel = panel_of(VALVE)
    assert Symptom(
        "Y1 does not open with S2 pressed and S1 released", "Y1", False,
        ("S2 pressed", "S1 released"),
    ) == observation(panel, "Y1  does not open with S2 pressed and S1 released")  # fmt: skip
    assert Read(
        "K1:A1 to K1:A2 reads -24 V DC", "K1:A1", "K1:A2", -24.0, "DC", False, ()
    ) == observation(panel, "K1:A1 to K1:A2 reads -24 V DC")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("Y3 does not open", "there is no device Y3"),
        ("Y1 does not opn", "`Y1 does not opn` is no symptom"),
        ("S1 does not work", "S1 is no load"),
        ("K1:A1 to K1:A3 24 V", "K1 has no terminal K1:A3"),
        ("Y1 is off with S2 pushed", "S2 is never `pushed`"),
    ],
)
def test_what_says_nothing_is_refused(line: str, words: str) -> None:
    with pytest.raises(NameMistake) as caught:
        observation(panel_of(VALVE), line)
    assert words in caught.value.message


@pytest.mark.parametrize(
    ("line", "expected", "agrees"),
    [
        ("K1:A1 to K1:A2 24 V", Reading(dc_v=23.4), True),
        ("K1:A1 to K1:A2 24 V AC", Reading(dc_v=23.4), False),
        ("K1:A1 to K1:A2 -24 V", Reading(dc_v=24.0), False),
        ("K1:A1 to K1:A2 0 V", Reading(floats=True), True),
        ("K1:A1 to K1:A2 24 V", Reading(floats=True), False),
        ("K1:A1 to K1:A2 floats", Reading(dc_v=24.0), False),
    ],
)
def test_a_reading_agrees_with_what_a_meter_may_show(
    line: str, expected: Reading, agrees: bool
) -> None:
    seen = observation(panel_of(VALVE), line)
    assert isinstance(seen, Read)
    assert agrees == seen.agrees(expected)


# ---- suspects ----


@pytest.mark.parametrize(
    "fault",
    ["FU1 blown", "wire 204 open", "wire 208 open", "S1:11-12 open", "K1:A1-A2 open",
     "K1:23-24 open", "Y1:1-2 open", "K1 held out"],
)  # fmt: skip
def test_the_fault_that_was_put_in_is_among_the_suspects_and_each_reading_keeps_it(
    fault: str,
) -> None:
    panel = panel_of(VALVE)
    there = fault_in_words(panel, fault)
    bench = Bench(Sound(panel), lambda sound: broken(sound, there))
    lines = ["Y1 does not open with S2 pressed"]
    for _ in range(12):
        found = told(VALVE, *lines)
        assert fault in names(found)
        if found.next is None:
            break
        step = found.next
        shown = bench.reading(step.red, step.black, step.withs)
        fitting = [o for o in step.outcomes if o.reading.like(shown, 0.15) or shown.floats]
        assert any(fault in outcome.faults for outcome in fitting)
        value = "0 V" if shown.floats else f"{shown.size_v:.1f} V"
        lines.append(f"{step.red} to {step.black} {value} with S2 pressed")
    # What is left cannot be told apart by volts on these ways.
    assert len(found.suspects) <= 4


def test_a_reading_at_the_coil_sends_one_ahead_of_it_or_past_it() -> None:
    ahead = names(told(VALVE, "Y1 is off with S2 pressed", "K1:A1 to K1:A2 0 V with S2 pressed"))
    past = names(told(VALVE, "Y1 is off with S2 pressed", "K1:A1 to K1:A2 24 V with S2 pressed"))
    assert "FU1 blown" in ahead
    assert "K1:A1-A2 open" not in ahead
    assert "K1:A1-A2 open" in past
    assert not set(ahead) & set(past)


def test_what_stays_on_is_a_weld_or_a_relay_that_is_held_in() -> None:
    found = told(VALVE, "Y1 stays on")
    assert {"K1 held in", "K1:23-24 welded", "S2:13-14 welded", "K1:13-14 welded"} == set(
        names(found)
    )


def test_what_is_meant_to_be_off_needs_no_fault() -> None:
    found = told(VALVE, "Y1 is off")
    assert found.sound_fits
    assert [] == names(found)


def test_what_no_single_fault_explains_is_said_so() -> None:
    found = told(VALVE, "Y1 is off with S2 pressed", "K1:A1 to K1:A2 120 V AC with S2 pressed")
    assert [] == names(found)
    assert not found.sound_fits
    assert 2 == len(found.misfits)


def test_a_blown_line_fuse_of_a_240_v_heater_is_found_by_120_v_to_neutral() -> None:
    # 0 V across it and 120 V to neutral at both ends: which fuse, the two ends cannot tell.
    found = told(HEATER, "HTR1 does not heat", "HTR1:1 to HTR1:2 0 V", "HTR1:1 to MAINS:N 120 V AC")
    assert {"FU1 blown", "FU2 blown"} <= set(names(found))
    assert "HTR1:1-2 open" not in names(found)
    assert found.next is not None


def test_a_water_float_is_found_by_the_lamp_of_its_input() -> None:
    panel = panel_of(CONTROLLER)
    found = diagnose(panel, [observation(panel, "PLC1:I0 to PLC1:0V 0 V with FL1 operated")])
    assert {"FL1:13-14 open", "wire 3 open", "wire 4 open"} <= set(names(found))


def test_the_next_reading_parts_the_suspects() -> None:
    found = told(VALVE, "Y1 does not open with S2 pressed")
    assert found.next is not None
    groups = [set(outcome.faults) for outcome in found.next.outcomes]
    assert 2 <= len(groups)
    assert set(names(found)) == set().union(*groups)
    assert sum(map(len, groups)) == len(found.suspects)
    assert max(map(len, groups)) < 0.7 * len(found.suspects)
