"""What counts as a short, what does not, and how many there are.

The definition is circuit theory (a loop of sources and of what counts as wire, whose volts
do not add to zero); the cases are facts of the trade, no source needed.
"""

from __future__ import annotations

from netcheck.case import Case
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.paralleled import Paralleled
from netcheck.facts.series_contacts import SeriesContacts
from netcheck.facts.shorts import MOST_CAUSES, Short, Shorts
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.telling import span_of
from tests.annotated import Texts

HEAD = 'panel "Greenhouse"\n'


def case_of(devices: str, chains: str) -> Case:
    text = f'{HEAD}{devices.strip()}\ncircuit "All"\n{chains.strip()}\n'
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    return Case(panel)


def shorts_of(devices: str, chains: str) -> tuple[Short, ...]:
    """The shorts of a panel in which everything is decided."""
    shorts = case_of(devices, chains).conclude(Shorts)
    assert () == shorts.undecided
    return shorts.found


BATTERY = "battery B1 24 V DC, ungrounded"
TWO_BATTERIES = f"{BATTERY}\nbattery B2 24 V DC, ungrounded"
RELAYS = (
    "relay K1 coil 24 V DC; normally open 13-14 23-24\nrelay K2 coil 24 V DC; normally open 13-14"
)


def test_batteries_in_series_are_no_short() -> None:
    devices = f"{TWO_BATTERIES}\nlamp H1 48 V DC"
    assert () == shorts_of(devices, "B1:+ -- B2:-\nB2:+ -- H1 -- B1:-")


def test_a_common_0v_of_two_supplies_is_no_short() -> None:
    assert () == shorts_of(f"{TWO_BATTERIES}\nlamp H1 24 V DC", "B1:- -- B2:-\nB1:+ -- H1 -- B2:-")


def test_sources_of_equal_volts_side_by_side_are_paralleled_and_no_short() -> None:
    case = case_of(TWO_BATTERIES, "B1:+ -- B2:+\nB1:- -- B2:-")
    assert () == case.conclude(Shorts).found
    (pair,) = case.conclude(Paralleled).found
    assert (("B1",), ("B2",)) == (pair.one, pair.other)


def test_sources_of_unequal_volts_side_by_side_are_a_short() -> None:
    devices = "battery B1 24 V DC, ungrounded\nbattery B2 12 V DC, ungrounded"
    (short,) = shorts_of(devices, "B1:+ -- B2:+\nB1:- -- B2:-")
    assert ((("DC", 12 + 0j),), ("B1", "B2")) == (short.volts, short.sources)


def test_a_battery_and_its_charger_are_of_one_nominal_voltage() -> None:
    devices = "battery B1 24 V DC, ungrounded\nbattery B2 27.6 V DC, ungrounded"
    assert () == shorts_of(devices, "B1:+ -- B2:+\nB1:- -- B2:-")


def test_a_first_ground_fault_of_a_floating_battery_is_no_short() -> None:
    devices = f"{BATTERY}\ngrounding bar GB1 terminals 1 to 2"
    assert () == shorts_of(devices, "B1:+ -- GB1:1")


def test_a_second_ground_fault_is_a_short() -> None:
    devices = f"{BATTERY}\ngrounding bar GB1 terminals 1 to 2"
    (short,) = shorts_of(devices, "B1:+ -- GB1:1\nB1:- -- GB1:2")
    assert ("B1:+", "B1:-") == (short.start, short.end)


def test_a_short_of_a_supply_needs_its_input_energised() -> None:
    """Its input hangs on a switch, and in the state told the switch is on."""
    devices = (
        "source MAINS 120 V AC, ungrounded\nswitch S1 normally open 1-2\n"
        "supply PS1 120 V AC to 24 V DC, 5 A, 0V floating"
    )
    (short,) = shorts_of(devices, "MAINS:L -- S1 -- PS1:L-N -- MAINS:N\nPS1:+ -- PS1:0V")
    assert "on" == short.witness.state["S1"]


def test_a_supply_that_nothing_feeds_is_no_source_of_a_short() -> None:
    assert () == shorts_of("supply PS1 120 V AC to 24 V DC, 5 A, 0V floating", "PS1:+ -- PS1:0V")


def test_a_winding_that_nothing_feeds_is_a_load_and_no_wire() -> None:
    """The mains stand across the secondary of a transformer whose primary is open."""
    devices = (
        "source MAINS 120 V AC, ungrounded\ntransformer T1 240 V AC to 120 V AC, 500 VA, ungrounded"
    )
    assert () == shorts_of(devices, "MAINS:L -- T1:X1\nMAINS:N -- T1:X2")


def test_supplies_that_only_feed_one_another_are_dead() -> None:
    devices = (
        "supply PS1 24 V DC to 24 V DC, 5 A, 0V floating\n"
        "supply PS2 24 V DC to 24 V DC, 5 A, 0V floating\nlamp H1 24 V DC"
    )
    ring = "PS1:+ -- PS2:L+-M -- PS1:0V\nPS2:+ -- PS1:L+-M -- PS2:0V\nPS1:+ -- H1 -- PS1:0V"
    case = case_of(devices, ring)
    behaviour = case.conclude(Behaviour)
    assert 0 == behaviour.energised(case.panel.parts[case.panel.devices["H1"].parts[0]])


def test_unsynchronised_ac_sources_never_cancel_and_synchronised_ones_do() -> None:
    chains = "MAINS:L -- GEN:L\nMAINS:N -- GEN:N"
    mains, generator = "source MAINS 120 V AC, ungrounded", "source GEN 120 V AC, ungrounded"
    assert 1 == len(shorts_of(f"{mains}\n{generator}", chains))
    assert () == shorts_of(f"{mains}\n{generator}, synchronised with MAINS", chains)


def test_a_diode_counts_forwards_only_on_dc_and_either_way_on_ac() -> None:
    diode = "diode D1"
    assert 1 == len(shorts_of(f"{BATTERY}\n{diode}", "B1:+ -- D1:A-K -- B1:-"))
    assert () == shorts_of(f"{BATTERY}\n{diode}", "B1:+ -- D1:K-A -- B1:-")
    mains = "source MAINS 120 V AC, ungrounded"
    assert 1 == len(shorts_of(f"{mains}\n{diode}", "MAINS:L -- D1:A-K -- MAINS:N"))
    assert 1 == len(shorts_of(f"{mains}\n{diode}", "MAINS:L -- D1:K-A -- MAINS:N"))


def test_a_coil_fed_the_wrong_way_round_is_shorted_by_its_own_diode() -> None:
    devices = f"{BATTERY}\nrelay K1 coil 24 V DC with diode; normally open 13-14"
    assert () == shorts_of(devices, "B1:+ -- K1:A1-A2 -- B1:-")
    (short,) = shorts_of(devices, "B1:- -- K1:A1-A2 -- B1:+")
    assert "K1" == getattr(short.cause, "device", "")


def test_several_buttons_that_feed_one_shorted_part_are_one_short() -> None:
    buttons = "\n".join(f"button S{i} normally open 13-14" for i in range(1, 5))
    devices = f"{BATTERY}\n{buttons}\nrelay K1 coil 24 V DC; normally open 13-14"
    feeds = "\n".join(f"B1:+ -- S{i} -- K1:A1" for i in range(1, 5))
    (short,) = shorts_of(devices, f"{feeds}\nK1:A2 -- B1:-\nK1:A1 --9-- K1:A2")
    assert "9" == getattr(short.cause, "number", "")


def test_buttons_whose_common_load_is_missing_are_one_short() -> None:
    buttons = "\n".join(f"button S{i} normally open 13-14" for i in range(1, 4))
    feeds = "\n".join(f"B1:+ -- S{i} -- X1" for i in range(1, 4))
    (short,) = shorts_of(f"{BATTERY}\n{buttons}\nterminal X1", f"{feeds}\nX1 --9-- B1:-")
    assert "9" == getattr(short.cause, "number", "")


def test_two_bridges_of_two_coils_are_two_shorts() -> None:
    devices = f"{BATTERY}\n{RELAYS}\nbutton S1 normally open 13-14\nbutton S2 normally open 13-14"
    chains = """
B1:+ -- S1 -- K1:A1-A2 -- B1:-
B1:+ -- S2 -- K2:A1-A2 -- B1:-
K1:A1 --8-- K1:A2
K2:A1 --9-- K2:A2
"""
    assert {"8", "9"} == {
        getattr(short.cause, "number", "") for short in shorts_of(devices, chains)
    }


def test_two_contactors_that_meet_by_several_poles_are_one_short() -> None:
    devices = f"""
source MAINS 208Y/120 V AC, four-wire, neutral bonded here
{BATTERY}
button S1 normally open 13-14
button S2 normally open 13-14
contactor K1 coil 24 V DC; 3 main poles
contactor K2 coil 24 V DC; 3 main poles
motor M1 1 hp 208 V AC three-phase
"""
    chains = """
MAINS:L1 -- K1:1-2 -- M1:T1
MAINS:L2 -- K1:3-4 -- M1:T2
MAINS:L3 -- K1:5-6 -- M1:T3
MAINS:L1 -- K2:1-2 -- M1:T3
MAINS:L2 -- K2:3-4 -- M1:T2
MAINS:L3 -- K2:5-6 -- M1:T1
B1:+ -- S1 -- K1:A1-A2 -- B1:-
B1:+ -- S2 -- K2:A1-A2 -- B1:-
"""
    (short,) = shorts_of(devices, chains)
    assert not short.race
    interlocked = f"{devices}\nmechanical interlock K1 and K2"
    assert () == shorts_of(interlocked, chains)


def test_a_short_that_waits_for_a_coil_s_luck_is_not_decided() -> None:
    """K1 has a lamp in series: whether it pulls in, and shorts, the arithmetic must say."""
    devices = f"{BATTERY}\nrelay K1 coil 24 V DC; normally open 13-14\nlamp H1 24 V DC"
    chains = "B1:+ -- H1 -- K1:A1-A2 -- B1:-\nB1:+ -- K1:13-14 -- B1:-"
    shorts = case_of(devices, chains).conclude(Shorts)
    assert () == shorts.found
    (question,) = shorts.undecided
    assert "K1" in question.reason


def test_a_short_past_an_uncertain_coil_is_certain_where_it_needs_no_luck() -> None:
    devices = f"{BATTERY}\nrelay K1 coil 24 V DC; normally closed 11-12\nlamp H1 24 V DC"
    chains = "B1:+ -- H1 -- K1:A1-A2 -- B1:-\nB1:+ -- K1:11-12 -- B1:-"
    (short,) = shorts_of(devices, chains)
    assert "out" == short.witness.state["K1"]


def test_a_long_string_of_cells_is_followed_to_its_end() -> None:
    """A bank of 12 cells of 2 V: more rails in a row than any other panel has."""
    cells = "\n".join(f"battery B{i} 2 V DC, ungrounded" for i in range(12))
    series = "\n".join(f"B{i}:+ -- B{i + 1}:-" for i in range(11))
    (short,) = shorts_of(f"{cells}\nswitch S1 normally open 1-2", f"{series}\nB11:+ -- S1 -- B0:-")
    assert (("DC", 24 + 0j),) == short.volts


def test_a_panel_of_more_shorts_than_are_looked_for_says_so() -> None:
    count = MOST_CAUSES + 5
    batteries = "\n".join(f"battery B{i} 24 V DC, ungrounded" for i in range(count))
    case = case_of(batteries, "\n".join(f"B{i}:+ -- B{i}:-" for i in range(count)))
    shorts = case.conclude(Shorts)
    assert MOST_CAUSES == len(shorts.found)
    assert ["after 25 causes no more are looked for"] == [q.reason for q in shorts.undecided]


def test_taking_a_cause_away_makes_no_short_that_the_panel_has_not() -> None:
    """Wire 9 shorts through K1's contact.  Without it K1 would drop out for want of its coil's
    feed and close K1:21-22 for good; in the panel as it is, that never happens with S1 on."""
    devices = f"""
{BATTERY}
switch S1 normally open 1-2; normally open 3-4
relay K1 coil 24 V DC; normally open 13-14; normally closed 21-22
"""
    chains = """
B1:+ --1-- S1:1-2 --2-- K1:A1-A2 --3-- B1:-
B1:+ --4-- K1:13-14 --9-- B1:-
"""
    (short,) = shorts_of(devices, chains)
    assert {"S1": "on", "K1": "in", "B1": "present"} == dict(short.witness.state)


def test_the_state_told_closes_every_contact_of_the_path() -> None:
    devices = f"{BATTERY}\n{RELAYS}\nbutton S1 normally open 13-14\nlamp H1 24 V DC"
    chains = """
B1:+ -- S1 -- K1:A1-A2 -- B1:-
B1:+ -- K1:13-14 -- K2:A1-A2 -- B1:-
B1:+ -- K2:13-14 -- K1:23-24 -- B1:-
"""
    case = case_of(devices, chains)
    (short,) = case.conclude(Shorts).found
    assert ("press S1", "K1 pulls in", "K2 pulls in") == tuple(
        step for step in short.witness.steps if "B1" not in step
    )
    assert 10 == span_of(case.panel, short.cause).line


def held_apart(interlock: str = "") -> tuple[str, str]:
    """Two relays, each behind the other's closed contact, that together short the battery."""
    devices = f"""
{BATTERY}
button S1 normally open 13-14
button S2 normally open 13-14
relay K1 coil 24 V DC; normally open 13-14; normally closed 21-22
relay K2 coil 24 V DC; normally open 13-14; normally closed 21-22
{interlock}
"""
    chains = """
B1:+ -- S1 -- K2:21-22 -- K1:A1-A2 -- B1:-
B1:+ -- S2 -- K1:21-22 -- K2:A1-A2 -- B1:-
B1:+ -- K1:13-14 -- K2:13-14 -- B1:-
"""
    return devices, chains


def test_relays_held_apart_by_contacts_alone_short_if_both_move_in_the_same_instant() -> None:
    (short,) = shorts_of(*held_apart())
    assert short.race
    assert short.in_one_instant
    assert "K1 pulls in and K2 pulls in" in short.witness.steps


def test_a_mechanical_interlock_excludes_relays_that_move_in_the_same_instant() -> None:
    assert () == shorts_of(*held_apart("mechanical interlock K1 and K2"))


def test_a_pole_taken_away_as_a_cause_stands_in_series_with_nothing() -> None:
    """The wires to it are doubled, so that its own pole is what shorts the battery for good."""
    devices = f"{BATTERY}\ndisconnect QS1 1-pole"
    wires = "B1:+ --1-- QS1:1\nB1:+ --2-- QS1:1\nQS1:2 --3-- B1:-\nQS1:2 --4-- B1:-"
    case = case_of(devices, wires)
    (short,) = case.conclude(Shorts).found
    assert "QS1" == getattr(short.cause, "device", "")
    assert () == case.conclude(SeriesContacts).never_closed
