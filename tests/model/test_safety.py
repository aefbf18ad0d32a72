"""Safety relays, light curtains, monitors, enclosures: what they are made of."""

from __future__ import annotations

import pytest

from netcheck.model.devices import Conducts
from tests.model.build import messages, panel_of

RELAY = "safety relay SR1 24 V DC 3 W; channel A S11-S12"


def test_a_channel_is_fed_by_plus_unless_it_says_the_other_pole() -> None:
    panel = panel_of(f"{RELAY}; channel B S21-S22 from 0V, 5 mA; reset S33-S34")
    roles = {(part.role, part.label) for part in panel.parts}
    assert {("channel feed", "SR1 A1-S11"), ("channel feed", "SR1 A2-S21")} <= roles
    one, other = [part for part in panel.parts if part.role == "channel input"]
    assert ("SR1 S12-A2", "SR1 A1-S22") == (one.label, other.label)
    assert other.load is not None
    assert 0.005 == other.load.current_a


def test_what_is_inside_a_safety_relay_leads_past_all_channels_to_its_reset() -> None:
    panel = panel_of(
        f"{RELAY}; channel B S21-S22; feedback Y1-Y2; reset S33-S34; normally open 13-14"
    )
    assert ["SR1 A1-(A)", "SR1 (A)-(all)"] == [
        part.label for part in panel.parts if part.role == "channel contact"
    ]
    inside = {part.role: part.label for part in panel.parts}
    assert "SR1 (all)-Y1" == inside["feedback feed"]
    assert "SR1 Y2-S33" == inside["reset feed"]
    assert "SR1 S34-A2" == inside["coil"]
    assert "SR1 (all)-S34" == inside["hold"]
    assert all(part.inside for part in panel.parts if "(" in part.label)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (RELAY.replace("DC", "AC"), "SR1: a safety relay is described with DC on A1-A2"),
        ("safety relay SR1 24 V DC; reset S33-S34", "SR1 has no channel"),
        (RELAY, "SR1 says nothing of its reset"),
        ("safety relay SR1 channel A S11-S12; reset S33-S34", "SR1 says no voltage"),
        ("light curtain LC1 24 V DC, marks 1 2 3", "LC1 has 4 terminals, not 3"),
        ("phase monitor PM1 208 V AC three-phase, watches L1 L2",
         "PM1 watches 3 lines, not 2"),
    ],
)  # fmt: skip
def test_what_such_a_device_cannot_do_without_is_asked_for(text: str, message: str) -> None:
    assert [message] == messages(text)


def test_a_light_curtain_gives_plus_on_both_outputs_at_rest() -> None:
    panel = panel_of("light curtain LC1 24 V DC 6 W, marks 1 3 2 4")
    outputs = [part for part in panel.parts if part.conducts is Conducts.CONTACT]
    assert ["LC1 1-2", "LC1 1-4"] == [part.label for part in outputs]
    assert [frozenset({0})] * 2 == [part.closed for part in outputs]


def test_a_drive_runs_only_with_its_torque_off_inputs_energised() -> None:
    panel = panel_of(
        "drive VFD1 240 V AC single-phase 8 A, gives 4 A; "
        "safe torque off STO1 STO2 to 0V, 24 V DC, 5 mA"
    )
    (source,) = panel.sources
    assert ["VFD1 L1-L2", "VFD1 STO1-0V", "VFD1 STO2-0V"] == [
        panel.parts[index].label for index in source.inputs
    ]


def test_monitors_and_meters_draw_nothing_where_they_measure() -> None:
    panel = panel_of(
        "insulation monitor IM1 watches L+ M; supply 24 V DC 2 W; normally closed 11-12\n"
        "power meter PW1 watches V1 V2, current inputs S1-S2 S3-S4; supply 24 V DC 3 W"
    )
    drawing = [part.label for part in panel.parts if part.load is not None]
    assert ["IM1 A1-A2", "PW1 A1-A2"] == drawing
    silent = [part.label for part in panel.parts if part.conducts is Conducts.NOTHING]
    assert [
        "IM1 L+ to PE",
        "IM1 M-PE",
        "PW1 V1-PE",
        "PW1 V2-PE",
        "PW1 S1-S2",
        "PW1 S3-S4",
    ] == silent


def test_a_metal_housing_has_a_terminal_to_ground_it() -> None:
    panel = panel_of("lamp H1 120 V AC 40 W, metal housing\nlamp H2 120 V AC 40 W")
    assert ["H1:X1", "H1:X2", "H1:PE"] == list(panel.devices["H1"].terminals)
    assert ["H2:X1", "H2:X2"] == list(panel.devices["H2"].terminals)


def test_an_enclosure_is_metal_unless_it_is_made_of_plastic() -> None:
    panel = panel_of("enclosure EN1 steel, type 4X\nenclosure EN2 polycarbonate\nmetal part MP1")
    assert [True, False, True] == [one.values["metal"] for one in panel.devices.values()]
    assert "4X" == panel.devices["EN1"].values["enclosure_type"]
