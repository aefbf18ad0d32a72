"""What is drawn otherwise, told once and in the trade's units."""

from __future__ import annotations

import pytest

from netcheck.revisions.values import told
from tests.revisions.test_edits import compared

TEXT = """
location pump house: outside, 30 degC
location roof: outside, 40 degC
wire kind control: 18 AWG copper MTW 90 degC blue, 600 V insulation, 1 m
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
raceway R1 steel conduit 1 in, 12 m, at pump house
cable W1 4 cores 16 AWG copper THWN-2 blue, 600 V insulation, 25 m, at pump house
strip X1 terminals 1 to 2
button S1 normally open 13-14, at pump house
valve Y1 24 V DC 8 W, at pump house
E1:+ --1-- X1:1 --W1.1-- S1 --W1.2-- X1:2 --2-- (at pump house, through R1) Y1 --200-- E1:0V
"""

ASSEMBLY = """
assembly ZONE
  connections FEED RETURN
  given VALVE 8 W
  valve Y1 24 V DC <VALVE>
  FEED --2-- Y1 --200-- RETURN
end
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
use ZONE as Z1 with VALVE 11 W
E1:+ --1-- Z1:FEED
E1:0V --200-- Z1:RETURN
"""


def changes(old: str, new: str) -> list[tuple[str, str, str, str]]:
    return [(c.of, c.kind, c.before, c.after) for c in compared(old, new).changes]


@pytest.mark.parametrize(
    ("sort", "before", "after"),
    [
        ("cable", "W1", "W7"),
        ("raceway", "R1", "R7"),
        ("location", "pump house", "well house"),
    ],
)
def test_another_name_of_a_cable_raceway_or_location_is_one_rename(
    sort: str, before: str, after: str
) -> None:
    assert [(sort, "renamed", before, after)] == changes(TEXT, TEXT.replace(before, after))


def test_a_renamed_location_that_is_hotter_is_told_as_both() -> None:
    new = TEXT.replace("pump house: outside, 30", "well: outside, 35").replace(
        "at pump house", "at well"
    )
    assert [
        ("location", "renamed", "pump house", "well"),
        ("location", "changed", "ambient 30 degC", "ambient 35 degC"),
    ] == changes(TEXT, new)


def test_a_device_that_moves_to_another_location_is_no_rename() -> None:
    new = TEXT.replace("valve Y1 24 V DC 8 W, at pump house", "valve Y1 24 V DC 8 W, at roof")
    assert [("device", "changed", "at pump house", "at roof")] == changes(TEXT, new)


def test_cores_that_change_places_are_told_though_their_cable_is_the_same() -> None:
    new = TEXT.replace("W1.1", "W1.x").replace("W1.2", "W1.1").replace("W1.x", "W1.2")
    assert {("wire", "renumbered")} == {one[:2] for one in changes(TEXT, new)}


def test_a_setting_of_an_assembly_has_its_unit() -> None:
    new = ASSEMBLY.replace("11 W", "14 W")
    assert ("device", "changed", "power 11 W", "power 14 W") in changes(ASSEMBLY, new)


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("drop_limit", 0.03, "drop limit 3 %"),
        ("power", 11.0, "power 11 W"),
        ("length_m", 25.0, "length 25 m"),
        ("ambient_c", 40.0, "ambient 40 degC"),
        ("available_a", 10000.0, "available 10 kA"),
        ("capacitance_f_per_km", 1e-7, "capacitance 0.0000001 F/km"),
        ("colour", None, "no colour"),
        ("spare", False, "not spare"),
        ("duty", "heavy", "duty heavy"),
        ("poles", 2.0, "poles 2"),
    ],
)
def test_a_value_is_told_in_the_unit_its_name_stands_for(
    name: str, value: object, words: str
) -> None:
    assert words == told(name, value)
