"""Names looked up from where they stand, and what is said of wires at several places."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.model.names import scopes
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from tests.model.build import messages, panel_of, read

ENDS = "terminal X1\nterminal X2\nterminal X3\n"


def wire(panel: Panel, number: str) -> Wire:
    (one,) = [wire for wire in panel.wires if wire.number == number]
    return one


def drawn(panel: Panel) -> list[tuple[str, str, str]]:
    return [(wire.a, wire.number, wire.b) for wire in panel.wires]


# ---- circuit lines -----------------------------------------------------------------------


def test_a_circuit_line_is_read_as_it_is_traced() -> None:
    text = """
        supply PS1 120 V AC to 24 V DC, 5 A, isolated, 0V grounded
        fuse FU1 2 A
        button S1 normally closed 11-12
        relay K1 coil 24 V DC 1 W; normally open 13-14
        PS1:+ --201-- FU1 --202-- S1:12-11 -- K1:A1-A2 --200-- PS1:0V
    """
    assert [
        ("PS1:+", "201", "FU1:1"),
        ("FU1:2", "202", "S1:12"),
        ("S1:11", "", "K1:A1"),
        ("K1:A2", "200", "PS1:0V"),
    ] == drawn(panel_of(text))


def test_a_strip_and_a_terminal_are_passed_at_one_point() -> None:
    text = ENDS + "strip XS terminals 1 to 3\nX1 --1-- XS:2 --1-- X2"
    assert [("X1:1", "1", "XS:2"), ("XS:2", "1", "X2:1")] == drawn(panel_of(text))


def test_a_bare_name_needs_exactly_one_way_through() -> None:
    """Bonds and what is built in across a load are no ways of their own."""
    text = "valve Y1 24 V DC 8 W with diode with suppressor\nX1 --1-- Y1 --2-- X2\n" + ENDS
    assert [("X1:1", "1", "Y1:1"), ("Y1:2", "2", "X2:1")] == drawn(panel_of(text))
    several = "breaker CB1 2-pole, 15 A\nX1 --1-- CB1 --2-- X2\n" + ENDS
    assert ["CB1 has several ways through: 1-2, 3-4"] == messages(several)


def test_numbers_only_name_and_never_join() -> None:
    panel = panel_of(ENDS + "X1 --7-- X2\nX3 --7-- X1")
    assert 2 == len(panel.wires)
    assert "wire 7 X1:1 to X2:1" == panel.wire_name(panel.wires[0])


def test_two_wires_of_different_numbers_may_go_the_same_way() -> None:
    assert 2 == len(panel_of(ENDS + "X1 --7-- X2\nX2 --8-- X1").wires)


def test_a_heading_holds_for_the_lines_below_it_in_its_own_file() -> None:
    text = ENDS + 'circuit "One"\nX1 --1-- X2\ninclude "b.panel"\nX2 --3-- X3'
    panel = panel_of(text, **{"b.panel": 'X1 --2-- X3\ncircuit "Two"\nX3 --4-- X1'})
    assert {"1": "One", "2": "", "4": "Two", "3": "One"} == {
        w.number: w.circuit for w in panel.wires
    }


# ---- what is said of wires ---------------------------------------------------------------


def test_the_nearest_word_about_a_wire_wins() -> None:
    """Own, both ends, number, cable, circuit, kind, default: each leaves the last open."""
    text = (
        ENDS
        + """
        wire kind default: 10 AWG copper MTW white, 9 m, 600 V insulation, flexible, at panel
        wire kind power: 12 AWG copper THHN black, 8 m, 600 V insulation, flexible
        cable W1 2 cores 16 AWG copper THWN-2 blue, 6 m
        wire W1.1: 18 AWG copper TEW orange
        wire W1.1 X1:1 to X2:1: 20 AWG copper-clad
        circuit "it" in power, 14 AWG copper XHHW grey, 7 m, 300 V insulation
        X1 --W1.1-- (22 AWG) X2
    """
    )
    found = wire(panel_of(text), "W1.1").properties
    assert found.size is not None
    assert "22 AWG" == found.size.text, "own"
    assert "copper-clad aluminium" == found.material, "its ends"
    assert ("TEW", "orange", 105) == (found.insulation, found.colour, found.insulation_c), "number"
    assert 6 == found.length_m, "cable"
    assert 300 == found.voltage_v, "circuit"
    assert found.flexible, "kind"
    assert "panel" == found.place, "default"


def test_a_wire_statement_holds_for_every_wire_of_its_number() -> None:
    panel = panel_of(ENDS + "wire 7: red\nX1 --7-- X2 --7-- X3 --8-- X1")
    assert ["red", "red", None] == [wire.properties.colour for wire in panel.wires]


def test_a_core_belongs_to_its_cable() -> None:
    panel = panel_of(ENDS + 'cable W1 "Field" 7 cores 14 AWG, 40 m\nX1 --W1.3-- X2')
    assert ("W1", 40) == (panel.wires[0].cable, panel.wires[0].properties.length_m)


@given(
    st.permutations(
        ["wire kind default: 14 AWG", "wire 1: red", "terminal X1", "terminal X2", "X1 --1-- X2",
         "location bed 4: outside", "lamp H1 24 V DC, at bed 4", "ambient 35 degC"]
    )
)  # fmt: skip
def test_the_order_of_statements_means_nothing(lines: list[str]) -> None:
    panel = panel_of("\n".join(lines))
    (found,) = panel.wires
    assert found.properties.size is not None
    assert ("X1:1", "X2:1", "red", "14 AWG") == (
        found.a, found.b, found.properties.colour, found.properties.size.text
    )  # fmt: skip
    assert 35 == panel.settings.ambient_c
    assert "bed 4" == panel.devices["H1"].location


# ---- scopes ------------------------------------------------------------------------------


def test_a_scope_is_looked_through_from_the_inside() -> None:
    assert ["A.Z1.", "A.", ""] == list(scopes("A.Z1."))
    assert [""] == list(scopes(""))


ZONE = """
assembly ZONE
  connections FEED RETURN
  given POWER 8 W
  valve Y1 24 V DC <POWER>
  FEED --1-- Y1 --2-- RETURN
  MASTER:1 --3-- FEED
end
terminal MASTER
"""


def test_an_assembly_is_written_out_with_names_of_its_own() -> None:
    panel = panel_of(
        ZONE + "use ZONE as Z1\nuse ZONE as Z2 with POWER 12 W\nMASTER --9-- Z2:RETURN"
    )
    assert {"Z1.Y1", "Z1.FEED", "Z1.RETURN", "Z2.Y1", "Z2.FEED", "Z2.RETURN", "MASTER"} == set(
        panel.devices
    )
    powers = {p.device: p.load.power_w for p in panel.parts if p.load is not None}
    assert {"Z1.Y1": 8, "Z2.Y1": 12} == powers
    assert ("MASTER:1", "9", "Z2.RETURN:1") in drawn(panel)
    assert ("MASTER:1", "3", "Z1.FEED:1") in drawn(panel), "an outer name, seen from inside"


def test_an_assembly_inside_an_assembly_takes_its_settings_on() -> None:
    text = (
        ZONE
        + """
        assembly ROW
          given EACH 5 W
          use ZONE as A with POWER <EACH>
        end
        use ROW as R1 with EACH 9 W
    """
    )
    panel = panel_of(text)
    assert [9] == [part.load.power_w for part in panel.parts if part.load is not None]
    assert "R1.A.Y1" in panel.devices


def test_an_assembly_may_be_used_before_it_is_described_and_from_another_file() -> None:
    panel = panel_of('use ZONE as Z1\ninclude "zone.panel"', **{"zone.panel": ZONE})
    assert "Z1.Y1" in panel.devices


def test_a_second_panel_has_names_of_its_own() -> None:
    text = """
        panel A "One"
        terminal X1
        terminal X2
        panel B "Two"
        terminal X1
        X1 --1-- A.X1 --2-- A.X2
    """
    panel = panel_of(text)
    assert [("B.X1:1", "1", "A.X1:1"), ("A.X1:1", "2", "A.X2:1")] == drawn(panel)
    assert {"A": "One", "B": "Two"} == panel.titles
    again = text + 'panel B "Three"'
    assert ["a second panel needs a name of its own"] == messages(again)


@pytest.mark.parametrize(
    ("line", "help"),
    [
        ("X1 --1-- X22", "did you mean `X2`?"),
        ("X1 --1-- Y1:A1", "describe it on a line of its own that begins with its kind"),
        ("X1 --1-- К1", "`К` in it is cyrillic capital letter ka"),
        ("X1 -- 12 -- X2", "a wire's number is written without blanks: `--12--`"),
    ],
)
def test_an_unknown_name_is_answered_with_a_near_one_or_what_to_do(line: str, help: str) -> None:
    _, mistakes = read(ENDS + line)
    assert [help] == [mistake.help for mistake in mistakes]


@pytest.mark.parametrize(
    ("marks", "help"),
    [
        ("11-12", "did you mean `normally closed 11-12`?"),
        ("13-14", "did you mean `normally open 13-14`?"),
        ("1-5", "of a contact say which: `normally open 1-5` or `normally closed 1-5`"),
    ],
)
def test_marks_without_a_kind_are_answered_with_what_their_last_figures_tell(
    marks: str, help: str
) -> None:
    """Function figures 1 and 2 of a contact that opens, 3 and 4 of one that closes: EN 50013,
    from memory."""
    _, mistakes = read(f"button S1 {marks}")
    assert [help] == [mistake.help for mistake in mistakes]


def test_inside_an_assembly_names_are_told_as_they_stand_there() -> None:
    zone = "assembly ZONE\n  terminal FEED1\n  terminal X2\n  X2 --1-- FEDE1\nend\n"
    _, mistakes = read(f"{zone}use ZONE as Z1\nuse ZONE as Z2")
    assert [("there is no device FEDE1", "did you mean `FEED1`?")] == [
        (mistake.message, mistake.help) for mistake in mistakes
    ]


def test_a_setting_stands_in_wire_numbers_and_texts_too() -> None:
    text = """
battery BT1 24 V DC, ungrounded
assembly ROW
  connections FEED RETURN
  given N 1
  lamp H "Row <N>, <not> a setting" 24 V DC 8 W
  circuit "Row <N>"
    FEED --3<N>1-- H --W<N>.<N>-- RETURN
end
cable W1 2 cores
cable W2 2 cores
use ROW as R1
use ROW as R2 with N 2
BT1:+ --300-- R1:FEED --300-- R2:FEED
BT1:- --200-- R1:RETURN --200-- R2:RETURN
"""
    panel = panel_of(text)
    assert [("311", "Row 1"), ("W1.1", "Row 1"), ("321", "Row 2"), ("W2.2", "Row 2")] == [
        (wire.number, wire.circuit) for wire in panel.wires if wire.circuit
    ][:4]
    assert "Row 2, <not> a setting" == panel.devices["R2.H"].description


def test_a_wire_says_how_it_is_made_and_where_it_runs() -> None:
    text = """
raceway R1 "To the pond" steel conduit 3/4 in, 20 m
battery BT1 24 V DC, ungrounded
lamp H1 24 V DC 8 W
circuit "Light" through R1, stranded, ferrules
  BT1:+ --1-- (2 conductors in parallel, carries 24 V DC, 0.26 uF each km) H1
  H1:X2 --2-- (flexible cord, shielded, separated, live with the main off) BT1:-
"""
    panel = panel_of(text)
    raceway = panel.raceways["R1"]
    assert ("conduit", "steel", 20.0, True) == (
        raceway.sort, raceway.material, raceway.length_m, raceway.magnetic
    )  # fmt: skip
    assert pytest.approx(0.01905) == raceway.size_m
    one, two = (wire.properties for wire in panel.wires)
    assert ("R1", "stranded", True) == (one.raceway, one.stranding, one.ferrules)
    assert (2, 24.0, "DC", 0.26e-6) == (
        one.parallel, one.carries_v, one.carries_kind, one.capacitance_f_per_km
    )  # fmt: skip
    assert (True,) * 5 == (
        two.cord, two.flexible, two.shielded, two.separated, two.live_with_main_off
    )  # fmt: skip


def test_a_nameplate_keeps_what_stands_on_it() -> None:
    text = 'nameplate 240 V AC, 30 A full load, 5 kA short-circuit rating, drawing "G-101"'
    assert (
        ("rating", 240.0), ("full_load_a", 30.0), ("withstand_a", 5000.0), ("drawing", "G-101")
    ) == panel_of(text).settings.nameplate  # fmt: skip


def test_cores_said_to_be_spare_are_kept() -> None:
    panel = panel_of("cable W1 7 cores 14 AWG copper, spare cores 5 to 6, spare core 7")
    assert frozenset(("5", "6", "7")) == panel.cables["W1"].spare


FIELD_CABLE = """
panel A "Boiler house"
strip X1 terminals 1 to 4
{in_a}
panel B "Mixing room"
strip X1 terminals 1 to 4
{in_b}
A.X1:1 --W10.1-- X1:1
"""


def test_a_field_cable_described_in_one_panel_is_known_in_the_other() -> None:
    cable = "cable W10 2 cores 16 AWG copper, 18 m"
    for text in (
        FIELD_CABLE.format(in_a=cable, in_b=""),
        FIELD_CABLE.format(in_a="", in_b=cable),
    ):
        (wire,) = panel_of(text).wires
        assert wire.cable.endswith(".W10")
        assert 18.0 == wire.properties.length_m


def test_a_cable_that_two_panels_name_is_each_panels_own() -> None:
    text = FIELD_CABLE.format(in_a="cable W10 2 cores, 18 m", in_b="cable W10 2 cores, 3 m")
    (wire,) = panel_of(text).wires
    assert ("B.W10", 3.0) == (wire.cable, wire.properties.length_m)
    assert ["there is no cable W11"] == messages(text.replace("--W10.1", "--W11.1"))


def test_a_core_in_a_line_with_a_mistake_is_not_also_unused() -> None:
    text = "cable W1 2 cores\nstrip X1 terminals 1 to 2\nX1:1 --W1.1-- X9:1\nX1:2 --W1.2-- X1:1"
    panel, mistakes = read(text)
    assert ["there is no device X9"] == [mistake.message for mistake in mistakes]
    assert frozenset(("1",)) == panel.cables["W1"].unread
