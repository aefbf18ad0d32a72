"""What contacts, protective devices and insulation meet, against what they are rated for.

Sources: NEC 240.85 for slash ratings and NEC 300.3(C)(1) for insulation, both from memory; one
relay's table of 250 V AC and 30 V DC for the same contact is usual in makers' sheets (common
practice); the voltages of systems are their definitions: 120/240 V has 240 V between lines.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.contact_volts import ContactVolts
from netcheck.facts.pole_volts import PoleVolts
from netcheck.facts.slash_ratings import SlashRatings
from netcheck.facts.wire_volts import WireVolts
from netcheck.states.stress import Excess, Stress, excess_of
from netcheck.states.volts import Volts, magnitude
from tests.facts.panels import panel_of

SYSTEMS = {
    "split": "120/240 V AC 60 Hz, three-wire, neutral bonded here",
    "wye": "480Y/277 V AC 60 Hz, four-wire, neutral bonded here",
    "small wye": "208Y/120 V AC 60 Hz, four-wire, neutral bonded here",
    "corner": "240 V AC 60 Hz three-phase, L2 grounded",
    "floating": "240 V AC 60 Hz, ungrounded",
    "watched": "240 V AC 60 Hz, L1 watched",
    "unsaid": "240 V AC 60 Hz",
    "floating 120": "120 V AC 60 Hz, poles L1 L2, ungrounded",
    "dc": "24 V DC, poles L1 L2, L2 grounded",
    "high dc": "110 V DC, poles L1 L2, ungrounded",
}


def case_of(system: str, devices: str, *lines: str) -> Case:
    drawn = "".join(f"  {line}\n" for line in lines)
    return Case(
        panel_of(
            f'panel "Bench"\nsource G {SYSTEMS[system]}, 5 kA available\n{devices}\n'
            f'circuit "Bench"\n{drawn}'
        )
    )


def ac(volts: float) -> Volts:
    return (("AC G", complex(volts)),)


def dc(volts: float) -> Volts:
    return (("DC", complex(volts)),)


# ---- ratings -----------------------------------------------------------------------------------


def test_a_contact_of_two_ratings_is_held_against_that_of_the_kind() -> None:
    relay = ((250.0, "AC"), (30.0, "DC"))
    assert None is excess_of(relay, ac(240), protects=False)
    assert None is excess_of(relay, dc(24), protects=False)
    assert Excess.VOLTS is excess_of(relay, dc(48), protects=False)


def test_a_contact_for_ac_alone_is_not_for_dc_but_one_for_dc_breaks_ac() -> None:
    assert Excess.KIND is excess_of(((250.0, "AC"),), dc(24), protects=False)
    assert None is excess_of(((250.0, "AC or DC"),), dc(24), protects=False)
    assert None is excess_of(((60.0, "DC"),), ac(24), protects=False)
    assert Excess.KIND is excess_of(((60.0, "DC"),), ac(24), protects=True)


@given(st.floats(min_value=1, max_value=1000), st.floats(min_value=0, max_value=2))
def test_a_tenth_above_the_rating_is_the_same_nominal_voltage(rated: float, share: float) -> None:
    if abs(share - 1.1) < 1e-3:
        return
    found = excess_of(((rated, "AC"),), ac(rated * share), protects=True)
    assert (share > 1.1) == (found is Excess.VOLTS)


# ---- contacts ----------------------------------------------------------------------------------


def contacts(case: Case) -> list[tuple[str, float]]:
    return [
        (stress.part.label, round(magnitude(stress.volts)))
        for stress in case.conclude(ContactVolts).found
    ]


SWITCHES = "switch S1 normally open 1-2 {} V AC 10 A\nlamp H1 {} V AC 60 W"


@pytest.mark.parametrize(("rated", "found"), [(120, [("S1 1-2", 240)]), (240, []), (600, [])])
def test_an_open_contact_has_its_load_s_voltage_across_it(
    rated: int, found: list[tuple[str, int]]
) -> None:
    case = case_of("split", SWITCHES.format(rated, 240), "G:L1 -- S1 -- H1 -- G:L2")
    assert found == contacts(case)


def test_a_contact_between_a_line_and_the_neutral_meets_the_lower_voltage() -> None:
    case = case_of("split", SWITCHES.format(120, 120), "G:L1 -- S1 -- H1 -- G:N")
    assert [] == contacts(case)


def test_a_contact_that_opens_both_legs_meets_what_comes_by_its_other_side() -> None:
    devices = (
        "selector S1 positions A B; 1-2 in A 120 V AC; 3-4 in B 120 V AC\nlamp H1 120 V AC 60 W"
    )
    case = case_of("split", devices, "G:L1 -- S1:1-2 -- H1 -- G:N", "G:L2 -- S1:3-4 -- H1:X1")
    assert [("S1 1-2", 240)] == contacts(case)


def test_a_contact_across_a_load_whose_feed_is_open_meets_nothing() -> None:
    devices = (
        "switch S1 normally open 1-2 240 V AC 10 A\nlamp H1 240 V AC 60 W\n"
        "switch S2 normally open 1-2 24 V AC 1 A"
    )
    case = case_of("split", devices, "G:L1 -- S1 -- H1 -- G:L2", "S1:2 -- S2:1")
    assert [] == contacts(case)


def test_the_path_leads_to_the_open_contact_and_on_through_the_load() -> None:
    case = case_of("split", SWITCHES.format(120, 240), "G:L1 -- S1 -- H1 -- G:L2")
    (stress,) = case.conclude(ContactVolts).found
    assert ["S1:1", "H1:X1"] == [
        passed.start for passed in stress.path if passed.by in case.panel.parts
    ]


# ---- protective devices ------------------------------------------------------------------------


def pole_found(case: Case) -> list[tuple[Excess, float, bool]]:
    def told(stress: Stress) -> tuple[Excess, float, bool]:
        return stress.excess, round(magnitude(stress.volts)), stress.to_ground

    return [told(stress) for stress in case.conclude(PoleVolts).found]


ONE_POLE = "breaker CB1 15 A, {}, 10 kA interrupting\nlamp H1 120 V AC 60 W"
TWO_POLE = "breaker CB1 2-pole, 15 A, {}, 10 kA interrupting\nlamp H1 240 V AC 60 W"
BOTH_LINES = ("G:L1 -- CB1:1-2 -- H1 -- CB1:3-4 -- G:L2",)


def test_a_single_pole_meets_what_stands_between_its_line_and_where_its_load_goes_home() -> None:
    case = case_of("split", ONE_POLE.format("120 V AC"), "G:L1 -- CB1 -- H1 -- G:N")
    assert [] == pole_found(case)


def test_two_poles_meet_what_stands_between_their_lines() -> None:
    assert [] == pole_found(case_of("split", TWO_POLE.format("240 V AC"), *BOTH_LINES))
    case = case_of("split", TWO_POLE.format("120 V AC"), *BOTH_LINES)
    assert [(Excess.VOLTS, 240, False)] == pole_found(case)


def test_a_device_for_one_kind_is_wrong_on_the_other() -> None:
    case = case_of("dc", TWO_POLE.format("240 V AC"), *BOTH_LINES)
    assert [(Excess.KIND, 24, False)] == pole_found(case)
    assert [] == pole_found(case_of("dc", TWO_POLE.format("60 V DC"), *BOTH_LINES))
    assert [] == pole_found(case_of("dc", TWO_POLE.format("60 V AC or DC"), *BOTH_LINES))


@pytest.mark.parametrize(
    ("system", "asked"),
    [("split", False), ("small wye", False), ("wye", True), ("dc", False), ("high dc", True)],
)
def test_a_rating_is_asked_for_only_above_what_every_device_serves(
    system: str, asked: bool
) -> None:
    devices = "fuse FU1 2-pole, 2 A, 10 kA interrupting\nlamp H1 240 V AC 60 W"
    case = case_of(system, devices, "G:L1 -- FU1:1-2 -- H1 -- FU1:3-4 -- G:L2")
    assert asked == bool(case.conclude(PoleVolts).unsaid)


# ---- slash ratings -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("system", "rating", "volts"),
    [
        ("split", "120/240 V AC", None),
        ("small wye", "120/240 V AC", None),
        ("wye", "480Y/277 V AC", None),
        ("wye", "120/240 V AC", 277),
        ("corner", "120/240 V AC", 240),
        ("floating", "120/240 V AC", 240),
        ("watched", "120/240 V AC", 240),
        ("floating 120", "120/240 V AC", None),
    ],
)
def test_a_slash_rating_suits_solidly_grounded_systems_within_it(
    system: str, rating: str, volts: int | None
) -> None:
    found = case_of(system, TWO_POLE.format(rating), *BOTH_LINES).conclude(SlashRatings).found
    assert ([] if volts is None else [volts]) == [round(one.volts) for one in found]
    assert all(one.grounding_said for one in found)


def test_a_slash_rating_on_a_system_of_unsaid_grounding_is_left_open() -> None:
    case = case_of("unsaid", TWO_POLE.format("120/240 V AC"), *BOTH_LINES)
    assert [False] == [one.grounding_said for one in case.conclude(SlashRatings).found]


# ---- insulation --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("system", "insulation_v", "volts"),
    [("split", 300, None), ("split", 150, 240), ("wye", 300, 480), ("wye", 600, None)],
)
def test_insulation_must_be_for_the_volts_between_lines(
    system: str, insulation_v: int, volts: int | None
) -> None:
    lamp = f"lamp H1 240 V AC 60 W\nwire kind default: {insulation_v} V insulation"
    found = case_of(system, lamp, "G:L1 -- H1 -- G:L2").conclude(WireVolts).found
    assert ([] if volts is None else [volts]) == [round(magnitude(one.volts)) for one in found]


@pytest.mark.parametrize(
    ("lamps", "circuits", "volts"),
    [
        # Article 100: the most between any two conductors of the circuit, which one line and
        # neutral are here; two lines that share the neutral are the published other case.
        (1, ["G:L1 -- H1 -- G:N"], 277),
        (2, ["G:L1 -- H1 -- X1:1", "G:L2 -- H2 -- X1:1", "X1:1 --N-- G:N"], 480),
        (2, ["G:L1 -- H1 --N-- G:N", "G:L2 -- H2 -- G:N"], 277),
    ],
)
def test_a_neutral_is_a_conductor_of_the_circuit_whose_loads_it_serves(
    lamps: int, circuits: list[str], volts: int
) -> None:
    devices = "\n".join(f"lamp H{n} 277 V AC 60 W" for n in range(1, lamps + 1))
    case = case_of("wye", f"{devices}\nstrip X1 terminals 1 to 2", *circuits)
    home = next(wire for wire in case.panel.wires if wire.b == "G:N")
    assert volts == round(magnitude(case.conclude(WireVolts).highest(home)))


def test_a_wire_behind_a_switch_belongs_to_its_own_circuit_alone() -> None:
    devices = "switch S1 normally open 1-2\nlamp H1 120 V AC 60 W\nlamp H2 240 V AC 60 W"
    case = case_of("split", devices, "G:L1 -- S1 --5-- H1 -- G:N", "G:L1 -- H2 -- G:L2")
    circuits = case.conclude(CircuitVolts)
    behaviour = case.conclude(Behaviour)
    there = circuits.between((behaviour.node("H1:X1"),))
    assert [120] == [round(magnitude(volts)) for volts in there]
    at_line = circuits.between((behaviour.node("H2:X1"),))
    assert [240] == [round(magnitude(volts)) for volts in at_line]


def test_nothing_ties_a_floating_source_to_ground() -> None:
    case = case_of("floating", "lamp H1 240 V AC 60 W", "G:L1 -- H1 -- G:L2")
    circuits = case.conclude(CircuitVolts)
    assert None is circuits.to_ground(case.conclude(Behaviour).node("G:L1"))
