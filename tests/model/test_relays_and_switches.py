"""Contacts and what moves them: marks, rest, positions, the gap between.

Marks: IEC 60947 and EN 50005 practice (poles 1-2, 3-4, 5-6, coil A1-A2, 13-14 open, 21-22
closed, 11-12-14 change-over, 95-96 the overload's trip contact), from memory.
"""

from __future__ import annotations

import pytest

from netcheck.model.devices import Conducts, Drive, Part, Rated
from netcheck.model.panel import Panel
from tests.model.build import messages, panel_of


def contacts(panel: Panel) -> dict[str, Part]:
    return {part.label: part for part in panel.parts if part.conducts is Conducts.CONTACT}


def closed_in(panel: Panel, label: str) -> set[str]:
    """The positions, by name, in which a contact is closed."""
    part = contacts(panel)[label]
    positions = panel.mechanisms[part.mechanism].positions
    return {positions[index] for index in part.closed}


def test_a_contactor_has_the_marks_of_the_standard() -> None:
    panel = panel_of(
        "contactor K1 coil 24 V DC 3 W; 3 main poles 25 A; auxiliary normally open 13-14"
    )
    marks = [name.partition(":")[2] for name in panel.devices["K1"].terminals]
    assert ["A1", "A2", "1", "2", "3", "4", "5", "6", "13", "14"] == marks
    assert {"in"} == closed_in(panel, "K1 1-2") == closed_in(panel, "K1 13-14")


def test_a_change_over_contact_is_open_on_both_sides_half_way() -> None:
    panel = panel_of("switch S1 change-over 1-2-3")
    assert ("off", "between", "on") == panel.mechanisms["S1"].positions
    assert {"off"} == closed_in(panel, "S1 1-2")
    assert {"on"} == closed_in(panel, "S1 1-3")


def test_an_overlapping_one_is_closed_on_both_sides_half_way() -> None:
    panel = panel_of("switch S1 overlapping, change-over 1-2-3")
    assert {"off", "between"} == closed_in(panel, "S1 1-2")
    assert {"between", "on"} == closed_in(panel, "S1 1-3")


def test_a_relay_moves_as_one_with_no_place_between() -> None:
    panel = panel_of("relay K1 coil 24 V DC 1 W; change-over 11-12-14")
    assert ("out", "in") == panel.mechanisms["K1"].positions
    assert Drive.COIL is panel.mechanisms["K1"].drive


def test_a_selector_passes_its_positions_in_order() -> None:
    panel = panel_of(
        "selector SS1 positions HAND OFF AUTO; 13-14 in HAND; 23-24 in AUTO; 33-34 in HAND OFF"
    )
    selector = panel.mechanisms["SS1"]
    assert (
        "HAND",
        "between HAND and OFF",
        "OFF",
        "between OFF and AUTO",
        "AUTO",
    ) == selector.positions
    assert {0, 2, 4} == selector.resting
    assert {"HAND"} == closed_in(panel, "SS1 13-14")
    assert {"HAND", "between HAND and OFF", "OFF"} == closed_in(panel, "SS1 33-34"), (
        "closed in both"
    )


def test_a_latching_relay_may_start_either_way_and_any_other_starts_out() -> None:
    text = """
        latching relay K6 set coil 24 V DC 1 W; reset coil 24 V DC 1 W; normally open 13-14
        relay K4 coil 24 V DC 1 W; normally open 13-14
    """
    mechanisms = panel_of(text).mechanisms
    assert {0, 1} == mechanisms["K6"].start
    assert {0} == mechanisms["K4"].start
    assert 2 == len(mechanisms["K6"].coils)


def test_a_timers_instantaneous_contact_moves_with_its_coil_and_not_with_its_time() -> None:
    panel = panel_of(
        "on-delay timer KT1 5 s; coil 24 V DC 1 W; timed normally open 17-18; "
        "instantaneous normally open 23-24"
    )
    assert Drive.ON_DELAY is panel.mechanisms[contacts(panel)["KT1 17-18"].mechanism].drive
    assert Drive.COIL is panel.mechanisms[contacts(panel)["KT1 23-24"].mechanism].drive
    assert 5 == panel.devices["KT1"].number("time_s")


def test_an_overload_has_three_heaters_and_a_trip_contact_where_it_says_nothing() -> None:
    panel = panel_of("overload OL1 set 8 A")
    joins = [part.label for part in panel.parts if part.conducts is Conducts.JOINS]
    assert ["OL1 1-2", "OL1 3-4", "OL1 5-6"] == joins
    assert {"reset"} == closed_in(panel, "OL1 95-96")


def test_a_diode_across_a_coil_has_its_cathode_on_the_first_terminal() -> None:
    panel = panel_of("relay K1 coil 24 V DC 1 W with diode; normally open 13-14")
    (diode,) = [part for part in panel.parts if part.conducts is Conducts.ONE_WAY]
    assert ("K1:A2", "K1:A1") == (diode.a, diode.b), "counts as wire from anode to cathode"


def test_a_contact_keeps_every_rating_it_says() -> None:
    panel = panel_of(
        "relay K1 coil 24 V DC 1 W; normally open 13-14, 6 A at 250 V AC, 0.3 A at 110 V DC, "
        "needs 5 mA"
    )
    contact = contacts(panel)["K1 13-14"]
    assert (Rated(6, 250, "AC"), Rated(0.3, 110, "DC")) == contact.ratings
    assert (6, 250, "AC", 0.005) == (
        contact.current_a,
        contact.volts,
        contact.kind,
        contact.least_a,
    )


def test_a_channel_is_each_contacts_own_or_its_devices() -> None:
    own = panel_of(
        "emergency stop ES1 normally closed 11-12, channel A; normally closed 21-22, channel B"
    )
    whole = panel_of("emergency stop ES1 channel A, normally closed 11-12 21-22")
    assert ["A", "B"] == [part.channel for part in own.parts]
    assert ["A", "A"] == [part.channel for part in whole.parts]


def test_what_a_sensor_gives_is_plus_for_pnp_and_nought_volts_for_npn() -> None:
    """IEC 60947-5-2 sourcing and sinking outputs, from memory."""
    pnp = contacts(panel_of("sensor B1 three-wire PNP normally open, 24 V DC, 20 mA"))
    npn = contacts(panel_of("sensor B1 three-wire NPN normally open, 24 V DC, 20 mA"))
    assert [("B1:+", "B1:OUT")] == [(part.a, part.b) for part in pnp.values()]
    assert [("B1:OUT", "B1:0V")] == [(part.a, part.b) for part in npn.values()]


def test_a_device_the_library_lacks_is_described_by_its_terminals() -> None:
    panel = panel_of(
        "device LV1 terminals A1 A2 11 12 14; load A1-A2 24 V DC 2 W; "
        "positions LOW HIGH by process; 11-12 in LOW; 11-14 in HIGH; joined A2-0V"
    )
    assert {"LOW"} == closed_in(panel, "LV1 11-12")
    assert {"HIGH"} == closed_in(panel, "LV1 11-14")
    assert ["A1", "A2", "11", "12", "14", "0V"] == [
        name.partition(":")[2] for name in panel.devices["LV1"].terminals
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("relay K1 normally open 13-14", "K1 has no coil"),
        ("button S1", "S1 has no contact"),
        (
            "selector SS1 positions A A; 1-2 in A",
            "SS1 needs at least two positions of different names",
        ),
        ("selector SS1 positions A B, springs back to C; 1-2 in A", "SS1 has no position `C`"),
        ("contactor K1 coil 24 V DC; 2 main poles 1-2", "K1 says 2 main poles and marks for 1"),
        (
            "relay K1 coil 24 V DC; change-over 11-12-12",
            "K1: `11-12-12` should be three terminal marks",
        ),
    ],
)
def test_what_cannot_be_built_is_told(text: str, message: str) -> None:
    assert [message] == messages(text)


def test_a_device_that_cannot_be_built_leaves_nothing_behind() -> None:
    text = """
        relay K1 coil 24 V DC 1 W; normally open 13-14; change-over 11-12
        fuse FU1 2 A
        FU1:2 --1-- K1:A1
        intent "it": K1 can be in
    """
    panel = panel_of("fuse FU1 2 A")
    assert ["K1: `11-12` should be three terminal marks"] == messages(text)
    assert ["FU1"] == list(panel.devices)


def test_what_is_said_of_a_contact_or_coil_is_kept_on_that_part_alone() -> None:
    panel = panel_of(
        "latching relay K6 set coil 24 V DC 1 W, drops out at 5 V; "
        "reset coil A3-A4 24 V DC 2 W, drops out at 2 mA; "
        "normally open 13-14, 3 A AC-15 at 240 V AC, 0.5 A DC-13 at 125 V DC, 1/4 hp at 120 V AC, "
        "makes 30 A, pilot duty A600; normally closed 21-22, direct opening"
    )
    one, other, open_, closed = panel.parts
    assert (5.0, None) == (one.number("drop_out_v"), other.number("drop_out_v"))
    assert (None, 0.002) == (one.number("drop_out_a"), other.number("drop_out_a"))
    assert (30.0, "A600") == (open_.number("make_a"), open_.value("pilot_duty"))
    assert [(3.0, 240.0, "AC", "AC-15"), (0.5, 125.0, "DC", "DC-13")] == [
        (one.current_a, one.volts, one.kind, one.duty) for one in open_.ratings
    ]
    assert (True, None) == (closed.value("direct_opening"), open_.value("direct_opening"))
