"""Motors: what their leads and straps come to."""

from __future__ import annotations

import pytest

from netcheck.model.panel import Panel
from tests.model.build import messages, panel_of


def motor(items: str, *, practice: str = "") -> Panel:
    return panel_of(f"{practice}motor M1 {items}")


def windings(panel: Panel) -> list[tuple[str, float | None]]:
    return [(p.label, p.load.volts) for p in panel.parts if p.load is not None]


def straps(panel: Panel) -> list[str]:
    return [part.label for part in panel.parts if part.role == "strap"]


DUAL = "1 hp 115/230 V AC single-phase, 8 A full load"
DUAL_THREE = "1 hp 230/460 V AC three-phase, 1.5 A full load"


@pytest.mark.parametrize(
    ("items", "winding", "joined"),
    [
        (f"{DUAL}, strapped for 230 V", ("M1 T1-T4", 230.0), ["M1 T2-T3"]),
        (f"{DUAL}, strapped T2-T3", ("M1 T1-T4", 230.0), ["M1 T2-T3"]),
        (f"{DUAL}, strapped for 115 V", ("M1 T1-T2", 115.0), ["M1 T1-T3", "M1 T2-T4"]),
        (f"{DUAL}, strapped T4-T2 T3-T1", ("M1 T1-T2", 115.0), ["M1 T1-T3", "M1 T2-T4"]),
    ],
)
def test_a_motor_of_two_voltages_has_the_one_it_is_strapped_for(
    items: str, winding: tuple[str, float], joined: list[str]
) -> None:
    """Leads of a single-phase dual-voltage motor: NEMA MG 1, from memory."""
    panel = motor(items)
    assert [winding] == windings(panel)
    assert joined == straps(panel)
    (part,) = [part for part in panel.parts if part.load is not None]
    assert part.load is not None
    assert 8.0 == part.load.current_a
    assert winding[1] == panel.devices["M1"].number("rating")


def test_nine_leads_are_joined_for_the_higher_or_the_lower_voltage() -> None:
    """NEMA MG 1, nine leads in star, from memory."""
    high = motor(f"{DUAL_THREE}, strapped for 460 V")
    assert ["M1 T4-T7", "M1 T5-T8", "M1 T6-T9"] == straps(high)
    assert [(name, 460.0) for name in ("M1 T1-T2", "M1 T2-T3", "M1 T3-T1")] == windings(high)
    low = motor(f"{DUAL_THREE}, strapped T1-T7 T2-T8 T3-T9 T4-T5-T6")
    assert ["M1 T1-T7", "M1 T2-T8", "M1 T3-T9", "M1 T4-T5", "M1 T4-T6"] == straps(low)
    assert {230.0} == {volts for _, volts in windings(low)}


def test_the_start_winding_of_four_leads_is_a_load_of_its_own() -> None:
    panel = motor("1/2 hp 120 V AC single-phase, 4-lead, start winding 5 A, capacitor-start")
    assert [("M1 T1-T4", 120.0), ("M1 T5-T8", 120.0)] == windings(panel)
    assert [None, 5.0] == [part.load.current_a for part in panel.parts if part.load]
    assert "capacitor-start" == panel.devices["M1"].values["motor_sort"]


def test_six_leads_are_both_ends_of_three_windings() -> None:
    items = "5 hp 230 V AC three-phase, 6-lead, 15 A full load"
    ends = ["M1 T1-T4", "M1 T2-T5", "M1 T3-T6"]
    assert [(name, 230.0) for name in ends] == windings(motor(items))
    iec = motor(items, practice="practice IEC 60204-1\n")
    assert ["M1 U1-U2", "M1 V1-V2", "M1 W1-W2"] == [name for name, _ in windings(iec)]


@pytest.mark.parametrize(
    ("items", "message"),
    [
        (DUAL, "M1 is strapped for 115 V or for 230 V?"),
        (f"{DUAL}, strapped for 240 V", "M1 cannot be strapped for 240 V"),
        (f"{DUAL}, strapped T1-T2", "M1: these straps are for neither of its voltages"),
        (f"{DUAL}, strapped T2-T3, strapped for 115 V", "M1 is strapped for the other voltage"),
        ("1 hp 240 V AC, strapped for 240 V", "M1 has one voltage; nothing is strapped for it"),
        ("1 hp 208Y/120 V AC", "`208Y/120 V` are the two voltages of a system; a motor is "
         "strapped for one of two"),
        ("1 hp 240 V AC, 6-lead", "M1: `6-lead` is not known of such a motor"),
        ("1 hp 240 V AC three-phase, 4-lead", "M1: `4-lead` is not known of such a motor"),
    ],
)  # fmt: skip
def test_leads_and_straps_that_make_no_sense_are_told(items: str, message: str) -> None:
    assert [message] == messages(f"motor M1 {items}")
