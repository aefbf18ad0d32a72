"""Sources: their poles and potentials, how they stand to ground, what transformers give.

Voltages: ANSI C84.1 nominal systems (120/240 V three-wire, 208Y/120 V, 480Y/277 V), from
memory.  Transformer marks H1 H2, X1 X2 X3, X0: IEEE C57.12 practice, from memory.  Full-load
amperes: power over volts, and over the square root of three for three phases.
"""

from __future__ import annotations

import math

import pytest

from netcheck.model.devices import Conducts, SourcePart
from tests.model.build import messages, panel_of


def source(text: str) -> SourcePart:
    (one,) = panel_of(text).sources
    return one


def volts(found: SourcePart, a: str, b: str) -> float:
    return round(abs(found.poles[a] - found.poles[b]), 2)


def test_a_three_wire_service_has_two_legs_on_either_side_of_its_neutral() -> None:
    found = source("source MAINS 120/240 V AC, 10 kA available, neutral bonded here")
    assert ["L1", "L2", "N"] == list(found.poles)
    assert (120, 120, 240) == (
        volts(found, "L1", "N"),
        volts(found, "L2", "N"),
        volts(found, "L1", "L2"),
    )
    assert 0 == found.poles["L1"] + found.poles["L2"]


@pytest.mark.parametrize(
    ("text", "line", "neutral"), [("208Y/120 V", 208, 120), ("480Y/277 V", 480, 277)]
)
def test_a_wye_system_has_three_legs_a_third_of_a_turn_apart(
    text: str, line: float, neutral: float
) -> None:
    found = source(f"source MAINS {text} AC, 10 kA available, neutral bonded here")
    assert ["L1", "L2", "L3", "N"] == list(found.poles)
    for a, b in (("L1", "L2"), ("L2", "L3"), ("L3", "L1")):
        assert math.isclose(line, volts(found, a, b), rel_tol=0.003)
    assert neutral == volts(found, "L1", "N")
    assert abs(sum(found.poles.values())) < 0.01


def test_three_phases_without_a_neutral_have_the_line_voltage_between_them() -> None:
    found = source("source MAINS 480 V AC three-phase, 10 kA available, ungrounded")
    assert ["L1", "L2", "L3"] == list(found.poles)
    assert math.isclose(480, volts(found, "L1", "L2"), rel_tol=1e-4)


@pytest.mark.parametrize(
    ("text", "poles"),
    [
        ("120 V AC", ["L", "N"]),
        ("240 V AC", ["L1", "L2"]),
        ("24 V DC", ["+", "0V"]),
        ("24 V DC, poles P M", ["P", "M"]),
        ("480 V AC three-phase, four-wire", ["L1", "L2", "L3", "N"]),
        ("208Y/120 V AC, three-wire", ["L1", "L2", "L3"]),
    ],
)
def test_the_poles_follow_from_the_voltage(text: str, poles: list[str]) -> None:
    assert poles == list(source(f"source MAINS {text}, 5 kA available").poles)


def test_phases_and_frequency_may_be_said_apart_from_the_voltage() -> None:
    apart = source("source MAINS 480 V AC, three-phase, 50 Hz, 5 kA available")
    together = source("source MAINS 480 V AC 50 Hz three-phase, 5 kA available")
    assert apart == together
    assert 50 == apart.frequency_hz
    assert ["`60 Hz` is said twice"] == messages("source MAINS 480 V AC 50 Hz, 60 Hz")


@pytest.mark.parametrize(
    ("said", "how", "pole"),
    [
        ("0V grounded", "grounded", "0V"),
        ("+ grounded", "grounded", "+"),
        ("0V floating", "floating", ""),
        ("ungrounded", "floating", ""),
        ("0V watched", "watched", ""),
        ("isolated", "", ""),
    ],
)
def test_grounding_is_as_declared_and_never_guessed(said: str, how: str, pole: str) -> None:
    panel = panel_of(f"supply PS1 120 V AC to 24 V DC, 5 A, {said}")
    (found,) = panel.sources
    assert (how, pole) == (found.grounding, found.grounded_pole)
    bonds = {(part.a, part.b) for part in panel.parts if part.conducts is Conducts.BOND}
    assert ({(f"PS1:{pole}", "PS1:PE")} if pole else set()) == bonds


def test_only_services_batteries_and_edges_come_and_go() -> None:
    text = """
        source MAINS 120 V AC, 5 kA available, neutral bonded here
        battery BT1 24 V DC, ungrounded
        edge EA 24 V DC, fused 4 A
        supply PS1 120 V AC to 24 V DC, 5 A, isolated
        transformer T1 240 V AC to 120 V AC, 500 VA
    """
    found = {one.device: (one.mechanism, len(one.inputs)) for one in panel_of(text).sources}
    assert {
        "MAINS": ("MAINS", 0),
        "BT1": ("BT1", 0),
        "EA": ("EA", 0),
        "PS1": ("", 1),
        "T1": ("", 1),
    } == found


def test_a_transformers_amperes_are_its_power_over_its_volts() -> None:
    panel = panel_of("transformer T1 480 V AC to 120 V AC, 500 VA, X2 grounded")
    values = panel.devices["T1"].values
    assert math.isclose(500 / 480, float(values["primary_a"]))  # type: ignore[arg-type]
    assert math.isclose(500 / 120, float(values["secondary_a"]))  # type: ignore[arg-type]


@pytest.mark.parametrize("secondary", ["208Y/120 V", "208 V AC three-phase"])
def test_three_phases_share_a_transformers_power(secondary: str) -> None:
    written = secondary if "AC" in secondary else f"{secondary} AC"
    panel = panel_of(f"transformer T1 480 V AC three-phase to {written}, 15 kVA")
    values = panel.devices["T1"].values
    assert math.isclose(15_000 / 480 / math.sqrt(3), float(values["primary_a"]))  # type: ignore[arg-type]
    assert math.isclose(15_000 / 208 / math.sqrt(3), float(values["secondary_a"]))  # type: ignore[arg-type]
    assert 3 == len([part for part in panel.parts if part.role == "primary"])


def test_a_secondary_with_a_middle_has_it_between_its_ends() -> None:
    found = source("transformer T1 480 V AC to 120/240 V AC, 5 kVA, X2 grounded")
    assert ["X1", "X3", "X2"] == list(found.poles)
    assert 240 == volts(found, "X1", "X3")
    assert "X2" == found.grounded_pole


def test_an_autotransformer_joins_its_windings_and_isolates_nothing() -> None:
    panel = panel_of("transformer T1 480 V AC to 240 V AC, 5 kVA, autotransformer")
    assert {("T1:H2", "T1:X2")} == {(p.a, p.b) for p in panel.parts if p.conducts is Conducts.JOINS}
    assert not panel.sources[0].isolated


def test_a_supply_takes_from_its_line_what_it_gives_and_its_losses() -> None:
    """24 V x 5 A / 120 V / 0.85: the efficiency is from memory."""
    panel = panel_of("supply PS1 120 V AC to 24 V DC, 5 A, isolated, 0V grounded")
    load = panel.parts[0].load
    assert load is not None
    assert load.current_a is not None
    assert math.isclose(24 * 5 / 120 / 0.85, load.current_a)


def test_an_edge_that_takes_is_a_load_from_each_of_its_lines() -> None:
    one = panel_of('edge EA 24 V DC, takes 2 A, to "mist bench"')
    split = panel_of('edge EA 120/240 V AC, takes 30 A, to "shed"')
    three = panel_of('edge EA 480 V AC three-phase, takes 30 A, to "shed"')
    assert [] == [*one.sources, *split.sources, *three.sources]
    assert [("EA:+", "EA:0V", 24)] == [(p.a, p.b, p.load and p.load.volts) for p in one.parts]
    assert [("EA:L1", "EA:N", 120), ("EA:L2", "EA:N", 120)] == [
        (p.a, p.b, p.load and p.load.volts) for p in split.parts
    ]
    assert {480} == {p.load and p.load.volts for p in three.parts}
    assert 3 == len(three.parts)


def test_lines_follow_one_another_in_the_order_that_is_said() -> None:
    usual, other = panel_of(
        "source G1 208Y/120 V AC\nsource G2 208Y/120 V AC, phase order L1 L3 L2"
    ).sources
    assert ["L1", "L2", "L3", "N"] == list(other.poles)
    assert usual.poles["L2"] == other.poles["L3"]
    assert usual.poles["L3"] == other.poles["L2"]
    assert usual.poles["L1"] == other.poles["L1"]


@pytest.mark.parametrize(
    ("items", "volts", "winding", "links"),
    [
        ("240/480 V AC to 120 V AC, 500 VA, strapped for 480 V", 480.0, "T1 H1-H4", ["T1 H2-H3"]),
        ("240/480 V AC to 120 V AC, 500 VA, strapped for 240 V", 240.0, "T1 H1-H2",
         ["T1 H1-H3", "T1 H2-H4"]),
        ("208 V AC to 120 V AC, 500 VA, tap H3 240 V, tap H4 480 V, on tap H4", 480.0, "T1 H1-H4",
         []),
        ("208 V AC to 120 V AC, 500 VA, tap H3 240 V, on tap H2", 208.0, "T1 H1-H2", []),
        ("208 V AC to 120 V AC, 500 VA, tap H3 240 V", 208.0, "T1 H1-H2", []),
    ],
)  # fmt: skip
def test_a_transformer_has_the_primary_it_is_strapped_or_tapped_for(
    items: str, volts: float, winding: str, links: list[str]
) -> None:
    """H1-H2 and H3-H4 in series or side by side: common practice, from memory."""
    panel = panel_of(f"transformer T1 {items}")
    (primary,) = [part for part in panel.parts if part.load is not None]
    assert primary.load is not None
    assert (winding, volts) == (primary.label, primary.load.volts)
    assert 500 / volts == pytest.approx(primary.load.current_a)
    assert links == [part.label for part in panel.parts if part.role == "strap"]
    assert volts == panel.devices["T1"].number("primary_v")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("transformer T1 240/480 V AC to 120 V AC", "T1 is strapped for 240 V or for 480 V?"),
        ("transformer T1 240/480 V AC to 120 V AC, strapped for 208 V",
         "T1 is strapped for 240 V or for 480 V?"),
        ("transformer T1 240 V AC to 120 V AC, strapped for 240 V",
         "T1 has one primary voltage; nothing is strapped for it"),
        ("transformer T1 240 V AC to 120 V AC, on tap H9", "T1 has no tap H9"),
        ("source G1 120/240 V AC, phase order L1 L2", "G1 has no such phase order"),
        ("source G1 208Y/120 V AC, phase order L1 L2 N", "G1 has no such phase order"),
    ],
)  # fmt: skip
def test_straps_taps_and_orders_that_make_no_sense_are_told(text: str, message: str) -> None:
    assert [message] == messages(text)
