"""Loads traced: what is open, where, whether it is meant, and where the meter goes."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, log2, radians, sin

import pytest

from netcheck.bench import trace_text
from netcheck.bench.energising import PROVED, energise
from netcheck.bench.readings import read
from netcheck.bench.standing import stand
from netcheck.bench.trace_document import TraceDocument
from netcheck.bench.tracing import Traced, Tracer, resting_on
from netcheck.bench.walks import walks_of
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.supposed import suppose
from netcheck.model.wires import Wire
from netcheck.states.answers import Undecided
from tests.bench.panels import (
    ALL,
    CONTROLLER,
    HEATER,
    SAMPLES,
    TOO_FEW_VOLTS,
    TWO_CONTROLLERS,
    TWO_HANDS,
    VALVE,
    greenhouse,
    load_of,
    panel_of,
    sample,
    string_of,
)


def trace(text: str, device: str, *withs: str, fault: str = "") -> Traced:
    sound = panel_of(text, withs)
    broken = panel_of(text, withs, [fault]) if fault else None
    return Tracer(sound, broken, panel_of(text)).of(load_of(sound, device))


def test_a_coil_is_walked_from_its_source_to_it_and_home_one_terminal_after_the_other() -> None:
    found = trace(VALVE, "K1", "S2 pressed")
    assert "ON" == found.word
    assert [
        "E1:+", "FU1:1", "FU1:2", "S1:11", "S1:12", "S2:13", "S2:14", "K1:A1", "K1:A2", "E1:0V",
    ] == [place.at for place in found.places]  # fmt: skip
    assert ["panel", "door"] == [found.places[0].location, found.places[3].location]
    assert "wire 201" == found.places[0].by


def test_a_start_button_that_is_up_is_meant_to_be_open() -> None:
    found = trace(VALVE, "K1")
    assert "OPEN" == found.word
    assert "K1 is off, as meant now: S2 13-14 (S2 is released)" in found.verdict
    assert [("S2 13-14", True)] == [(place.by, place.meant) for place in found.opens]
    assert ("press S2, hold",) == found.energising.steps


def test_a_wire_that_a_fault_opens_is_not_meant_to_be_open() -> None:
    found = trace(VALVE, "K1", "S2 pressed", fault="wire 204 open")
    assert "OPEN: K1 is not reached: wire 204 is open" == found.verdict
    assert [("wire 204", False)] == [(place.by, place.meant) for place in found.opens]
    reads = {place.at: str(place.volts) for place in found.places}
    assert "24 V DC" == reads["S2:14"]
    assert "0 V" == reads["K1:A1"]


def test_a_wire_of_a_shared_number_is_told_open_with_its_ends() -> None:
    words = ["S0 pressed"]
    fault = "wire 302 X2:2 to S0:13 open"
    sound = suppose(greenhouse(), words, ()).panel
    broken = suppose(greenhouse(), words, [fault]).panel
    found = Tracer(sound, broken, greenhouse()).of(load_of(sound, "K0"))
    assert "OPEN: K0 is not reached: wire 302 X2:2 to S0:13 is open" == found.verdict


def test_a_coil_that_cannot_get_home_is_said_so() -> None:
    found = trace(VALVE, "K1", "S2 pressed", fault="wire 200 open")
    assert "OPEN: K1 cannot get home: wire 200 is open" == found.verdict


def test_a_contact_that_stays_open_because_its_coil_is_dead_sends_one_to_the_coil() -> None:
    found = trace(VALVE, "Y1", "S2 pressed", fault="wire 204 open")
    assert "K1 23-24 is open (K1 is out, and should not be: trace K1)" in found.verdict
    assert [False] == [place.meant for place in found.opens]


def test_a_coil_broken_inside_is_open_itself() -> None:
    found = trace(VALVE, "Y2", "S2 pressed", fault="Y2 open")
    assert "OPEN: Y2 itself is open" == found.verdict


def test_a_load_whose_source_is_dead_sends_one_there() -> None:
    found = trace(VALVE, "K1", "S2 pressed", "E1 off")
    assert "DEAD" == found.word
    assert found.verdict.startswith("DEAD: E1:+ to E1:0V gives ")
    assert ("E1 off", "S2 pressed") == tuple(sorted(found.standing))


def test_a_ground_fault_is_told_by_the_fuse_that_opens() -> None:
    found = trace(VALVE, "K1", "S2 pressed", fault="wire 204 grounded")
    assert "SHORT" == found.word
    assert found.verdict.startswith("SHORT: FU1, 2 A, carries ")


def test_a_load_on_the_wrong_voltage_is_told_what_it_gets() -> None:
    text = HEATER.replace("3 kW 240 V AC", "1 kW 120 V AC")
    found = trace(text, "HTR1")
    assert "WRONG" == found.word
    assert found.verdict.startswith("WRONG: HTR1 gets 23")
    assert ", made for 120 V AC; nothing on the way is open" in found.verdict


def test_lamps_in_series_are_walked_through_one_another() -> None:
    text = VALVE.replace("--208-- Y1 --209--", "--208-- Y2 --212-- Y1 --209--")
    text = text.replace("  Y1:1 --210-- Y2 --211-- Y1:2\n", "").replace(
        "24 V DC 8 W", "12 V DC 4 W"
    )
    found = trace(text, "Y1", "S2 pressed")
    assert "ON" == found.word
    assert ["Y2:1", "Y2:2", "Y1:1", "Y1:2"] == [
        place.at for place in found.places if place.at.startswith("Y")
    ]
    assert found.sheet is not None
    assert found.sheet.in_series
    assert not found.energising.open


TRANSFORMER = """\
panel "Bell"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
transformer T1 120 V AC to 24 V AC, 100 VA, X2 grounded
breaker CB1 5 A
relay K1 coil 24 V AC 5 VA sealed; normally open 13-14
lamp H1 24 V AC 5 W
circuit "Bell"
  MAINS:L --1-- CB1 --2-- T1:H1-H2 --N-- MAINS:N
  T1:X1 --4-- K1:A1-A2 --5-- T1:X2
  T1:X1 --6-- K1:13-14 --7-- H1 --8-- T1:X2
"""


def test_a_dead_winding_comes_before_the_contacts_that_it_leaves_open() -> None:
    found = trace(TRANSFORMER, "H1", fault="CB1 tripped")
    assert "DEAD: T1:X1 to T1:X2 gives 0 V: T1 H1-H2 is off; trace T1" == found.verdict
    # What is left of the mains stands before the breaker, on no device of this way.
    assert ("nothing on this way in this state",) == found.live
    at_source = trace(TRANSFORMER, "T1", fault="CB1 tripped")
    assert "OPEN: T1 is not reached: CB1 1-2 is open" == at_source.verdict


def test_a_welded_contact_is_told_as_closed_by_fault() -> None:
    found = trace(VALVE, "Y1", fault="K1:23-24 welded")
    assert found.verdict.startswith("ON: Y1 gets 2")
    assert found.verdict.endswith("and is meant to be off: K1 23-24 is closed by fault")
    assert ["K1 23-24"] == [place.by for place in found.places if place.stuck]


def test_all_ways_are_told_where_there_are_several() -> None:
    found = trace(VALVE, "K1", "S2 pressed")
    assert [["S1 11-12", "K1 13-14"]] == [[c.by for c in way.contacts] for way in found.others]


def test_places_that_read_0_v_past_an_open_line_are_told_as_live() -> None:
    found = trace(HEATER, "HTR1", fault="FU1 blown")
    assert "OPEN: HTR1 is not reached: FU1 1-2 is open" == found.verdict
    assert any(word.startswith("HTR1:1: 1") and "AC" in word for word in found.live_noughts)


def test_what_no_operation_energises_is_proved_so_and_gets_no_sheet() -> None:
    text = VALVE.replace(" --204-- K1:A1-A2", " --204-- K1:13\n  K1:A1-A2")
    found = trace(text.replace("  S1:12 --205-- K1:13-14 --206-- K1:A1\n", ""), "K1")
    assert "OPEN" == found.word
    assert PROVED == found.energising.why_not
    assert None is found.sheet
    assert any("leads to no pole" in end for end in found.ends)


def test_a_load_without_a_way_home_leads_to_no_pole_by_the_diode_of_the_coil_beside_it() -> None:
    text = VALVE.replace(" --207-- K1:23-24 --208-- Y1 --209-- E1:0V", " --207-- E1:+").replace(
        "  Y1:1 --210-- Y2", "  K1:A1 --207-- Y1\n  Y1:1 --210-- Y2"
    )
    assert ("Y1:1 leads to E1:+", "Y1:2 leads to no pole, only to Y2:2") == trace(text, "Y1").ends


def test_what_is_live_in_a_device_on_the_way_is_told_of_one_kind() -> None:
    """Between plus of a supply and its line both are read at once: 24 V DC and 120 V AC."""
    panel = greenhouse()
    found = Tracer(panel).of(load_of(panel, "K0"))
    beside = "120 V AC from PS1:L to PS1:N, in a device on the way"
    assert ("24 V DC on this way", beside) == found.live
    assert pytest.approx(120, rel=0.01) == found.highest_v


def test_a_drive_on_the_way_stays_charged_though_nothing_reads_volts_there() -> None:
    panel = sample(SAMPLES / "drive_pump.panel")
    found = Tracer(panel).of(load_of(panel, "M1"))
    assert "nothing on this way in this state" == found.live[0]
    assert ("VFD1: a drive's capacitors stay charged: wait as long as its maker says",) == (
        found.stored
    )
    text = trace_text.render(TraceDocument("a.panel", (), (found,)), colour=False, width=None)
    assert text.startswith("LIVE: nothing on this way in this state; 240 V AC from VFD1:L1")


def test_controllers_lamps_are_looked_at_first() -> None:
    found = trace(CONTROLLER, "Y1", "FL1 operated")
    assert ("PLC1 Q1 goes on",) == found.energising.steps
    assert ("PLC1: I0 Q1",) == found.lamps


def test_lamps_on_the_sheet_are_those_that_supply_and_volts_light() -> None:
    found = trace(TWO_CONTROLLERS, "Y2", "FU1 blown", "PLC1:Q0 on", "PLC2:Q0 on", "S1 pressed")
    assert ("PLC1: none, it has no supply", "PLC2: I0 Q0") == found.lamps
    found = trace(TOO_FEW_VOLTS, "PLC1", "B1 operated")
    assert ("PLC1: none; I0 may be either",) == found.lamps


def test_lines_of_two_contactors_that_lock_one_another_out_make_no_way() -> None:
    panel = greenhouse()
    found = Tracer(panel).of(load_of(panel, "M3"))
    contacts = [[contact.by for contact in way.contacts] for way in found.others]
    assert [["K5 1-2", "K5 4-3"]] == contacts
    assert ["K6 1-2", "K6 4-3"] == [p.by for p in found.places if p.by.startswith("K")]


# ---- the probe sheet ----


def test_the_first_point_to_try_halves_what_is_left() -> None:
    found = trace(VALVE, "K1", "S2 pressed")
    assert found.sheet is not None
    assert ["E1:+", "FU1:1", "S1:11", "S2:13", "K1:A1"] == [
        point.terminal for point in found.sheet.points if point.side == "source"
    ]
    first = found.sheet.first
    assert first is not None
    assert "S1:11" == first.terminal
    assert ("FU1 1-2", "wire 202") == first.suspects


def test_each_point_of_a_turn_lies_beyond_one_of_the_turn_before_it() -> None:
    """So that low means up the sheet and healthy means down it, to a point of the next turn."""
    panel = greenhouse()
    for device in ("M1", "K5", "HTR1", "Z2.Y1"):
        sheet = Tracer(panel).of(load_of(panel, device)).sheet
        assert sheet is not None
        turns = [point.turn for point in sheet.points if point.side == "source"]

        def halves(part: list[int], turn: int) -> None:
            if part:
                assert 1 == part.count(turn) == part.count(min(part))
                at = part.index(turn)
                halves(part[:at], turn + 1)
                halves(part[at + 1 :], turn + 1)

        halves(turns, 1)


def test_a_loose_terminal_shows_as_a_drop_under_load_so_the_drop_that_is_due_is_told() -> None:
    found = trace(VALVE, "Y1", "S2 pressed")
    assert found.sheet is not None
    # Two valves of 8 W through 0.5 m of 18 AWG each of 201, 207, 208 and 209, and the coil's
    # 3 W through 201: at 26.1 ohm/km (NEC chapter 9 table 8: 7.95 ohm per 1000 ft).
    per_wire_ohm = 0.5 * 26.1e-3
    expected = per_wire_ohm * (4 * 2 * 8 / 24 + 3 / 24)
    assert expected == pytest.approx(found.sheet.drop_v, rel=0.05)


def test_only_relays_of_the_way_are_set_up_and_not_the_load_s_own() -> None:
    """K6 and K7 of the greenhouse are in as well, and no contact of theirs is passed."""
    panel = greenhouse()
    master = Tracer(panel).of(load_of(panel, "K0")).sheet
    pump = Tracer(panel).of(load_of(panel, "M2")).sheet
    vent = Tracer(panel).of(load_of(panel, "K5")).sheet
    assert master is not None
    assert pump is not None
    assert vent is not None
    assert () == master.set_up
    assert ("K2 in",) == pump.set_up
    assert ("K0 in", "K6 out") == tuple(sorted(vent.set_up))


def test_a_black_lead_on_a_line_is_told_as_live() -> None:
    heater, valve = trace(HEATER, "HTR1").sheet, trace(VALVE, "K1").sheet
    assert heater is not None
    assert valve is not None
    assert "MAINS:L2" == heater.black
    assert heater.black_live.startswith("120 V AC to MAINS:N")
    assert ("E1:0V", "") == (valve.black, valve.black_live)


@pytest.mark.parametrize("device", ["M1", "HTR1", "K5", "Z2.Y1", "H3"])
def test_with_the_way_home_open_the_points_before_the_break_read_high(device: str) -> None:
    panel = greenhouse()
    load = load_of(panel, device)
    here = stand(panel)
    then = energise(here, load).then
    traced = Tracer(panel).of(load)
    assert then is not None
    assert traced.sheet is not None
    points = [point for point in traced.sheet.points if point.side == "home"]
    way = next(
        way
        for way in walks_of(here.states, load).ways
        if {place.at for place in traced.places} <= {step.start for step in way.passed} | {way.end}
    )
    wires = [step.by for step in way.home if isinstance(step.by, Wire)]
    assert wires
    for wire in wires:
        solved = then.solve(without=frozenset((wire.index,)))
        assert not isinstance(solved, Undecided)
        readings = [read(solved, point.terminal, traced.sheet.black) for point in points]
        high = [one.size_v > 0.3 * traced.sheet.at_load.size_v for one in readings]
        assert high[0]
        assert wire.label in points[high.index(False)].suspects


LOADS = [("K1", ()), ("M1", ()), ("HTR1", ()), ("K5", ()), ("Z2.Y1", ()), ("H3", ())]


def lows(panel: Panel, device: str) -> list[tuple[Part | Wire, list[bool], int]]:
    """For each thing on the way: which points read low while it alone is open, and how many
    points lie before it."""
    load = load_of(panel, device)
    here = stand(panel)
    then = energise(here, load).then
    assert then is not None
    traced = Tracer(panel).of(load)
    assert traced.sheet is not None
    points = [point for point in traced.sheet.points if point.side == "source"]
    way = next(
        way
        for way in walks_of(here.states, load).ways
        if {place.at for place in traced.places} <= {step.start for step in way.passed} | {way.end}
    )
    found: list[tuple[Part | Wire, list[bool], int]] = []
    for step in way.out:
        if not isinstance(step.by, Wire):
            continue
        solved = then.solve(without=frozenset((step.by.index,)))
        assert not isinstance(solved, Undecided)
        readings = [read(solved, point.terminal, way.end) for point in points]
        low = [
            reading.floats or reading.size_v < 0.5 * point.healthy.size_v
            for reading, point in zip(readings, points, strict=True)
        ]
        before = sum(step.by.label not in point.suspects for point in points)
        found.append((step.by, low, before))
    return found


@pytest.mark.parametrize("device", ["M1", "HTR1", "K5", "Z2.Y1"])
def test_with_a_wire_open_the_first_low_point_accuses_it(device: str) -> None:
    panel = greenhouse()
    load = load_of(panel, device)
    traced = Tracer(panel).of(load)
    assert traced.sheet is not None
    points = [point for point in traced.sheet.points if point.side == "source"]
    told = lows(panel, device)
    assert told
    for wire, low, _ in told:
        assert isinstance(wire, Wire)
        if True not in low:
            # Only where the sheet itself says that another way leads round it.
            assert any(p.beside for p in points if wire.label in p.suspects), wire.label
            continue
        first = low.index(True)
        assert wire.label in points[first].suspects
        assert all(low[first:])


@pytest.mark.parametrize("contact", range(1, 11))
def test_hopping_along_ten_contacts_meets_the_break_and_halving_meets_it_as_a_binary_search(
    contact: int,
) -> None:
    """One lead fixed, the other from point to point; the first low one accuses what is before it
    (ACHR News, Ice Breaker: The Hopscotch Method), and from the middle each reading leaves half
    (EC&M, The Beauty of Half-Splitting): trade magazines, the openings of both were read."""
    text = string_of(10)
    sound = panel_of(text)
    sheet = Tracer(sound).of(load_of(sound, "H1")).sheet
    assert sheet is not None
    broken = stand(panel_of(text, (), [f"LS{contact} open"])).solve()
    assert not isinstance(broken, Undecided)
    points = [point for point in sheet.points if point.side == "source"]
    low = [read(broken, point.terminal, sheet.black).is_nought for point in points]

    hop = low.index(True)
    assert f"LS{contact} 11-12" in points[hop].suspects

    first, last, readings = 0, len(points), 0  # the first low point is one of these, or none
    while first < last:
        at = min(range(first, last), key=lambda index: points[index].turn or len(points))
        readings += 1
        first, last = (first, at) if low[at] else (at + 1, last)
    assert hop == first
    assert readings <= ceil(log2(len(points) + 1))


@pytest.mark.parametrize("name", ALL)
def test_the_steps_told_do_energise_the_load(name: str) -> None:
    panel = panel_of(ALL[name])
    here = stand(panel)
    for part in panel.parts:
        if part.load is None:
            continue
        found = energise(here, part)
        if found.then is not None:
            assert found.then.holds(found.then.states.energised(part))


def test_no_lead_reaches_the_other_panel_so_ground_is_told_there() -> None:
    panel = sample(SAMPLES / "two_houses.panel")
    told = Tracer(panel).of(load_of(panel, "B.H1"))
    assert told.sheet is not None
    assert "B.PS1:0V" == told.sheet.black
    assert ("at panel A: ground (A.GB1)",) == told.sheet.elsewhere
    own = Tracer(panel).of(load_of(panel, "A.M1"))
    assert own.sheet is not None
    assert ("at yard: a long lead from A.EA:L2",) == own.sheet.elsewhere
    heater = Tracer(sample(SAMPLES / "potting_shed.panel"))
    sheet = heater.of(load_of(heater.panel, "HTR1")).sheet
    assert sheet is not None
    assert ("at potting line: ground (M1:PE)",) == sheet.elsewhere
    valve = Tracer(panel_of(VALVE))
    sheet = valve.of(load_of(valve.panel, "Y1")).sheet
    assert sheet is not None
    assert ("at benches: a long lead from E1:0V, or ground if it is met there",) == sheet.elsewhere


def test_of_two_panels_it_is_told_whose_door_a_place_is_on() -> None:
    panel = sample(SAMPLES / "two_houses.panel")
    places = [one.location for one in Tracer(panel).of(load_of(panel, "B.H1")).places]
    changes = [there for here, there in pairwise(["", *places]) if here != there]
    assert ["panel of B", "panel of A", "panel of B", "door of B", "panel of B"] == changes
    pump = {one.location for one in Tracer(panel).of(load_of(panel, "A.M1")).places}
    assert {"panel of A", "yard"} == pump
    alone = sample(SAMPLES / "frost_guard.panel")
    beacon = {one.location for one in Tracer(alone).of(load_of(alone, "H1")).places}
    assert {"panel", "door", "mast"} == beacon


def test_a_floating_lead_is_no_ground_in_the_other_panel() -> None:
    text = (SAMPLES / "two_houses.panel").read_text(encoding="utf-8")
    panel = panel_of(text.replace("isolated, 0V grounded", "isolated, 0V floating"))
    told = Tracer(panel).of(load_of(panel, "B.H1"))
    assert told.sheet is not None
    assert ("at panel A: a long lead from B.PS1:0V",) == told.sheet.elsewhere


def test_the_worst_voltage_beside_the_way_is_told_with_its_two_points() -> None:
    """From line 2 to the 230 V side of a transformer on lines 1 and 2, 150 degrees apart, are
    twice 230 V times the sine of 75 degrees: 444 V, by hand."""
    panel = sample(SAMPLES / "boiler_pumps.panel")
    told = Tracer(panel).of(load_of(panel, "M1"))
    assert "400 V AC on this way" == told.live[0]
    assert "443 V AC from QM1:3 to QM1:21, in a device on the way" == told.live[1]
    assert 2 * 230 * sin(radians(75)) == pytest.approx(told.highest_v, rel=0.005)


@pytest.mark.parametrize(
    ("name", "device"),
    [
        ("mismatched-voltage/drive-on-two-of-three-lines", "VFD1"),
        ("load-never-energised/float-on-the-wrong-side", "Y2"),
    ],
)
def test_no_way_passes_a_place_twice(name: str, device: str) -> None:
    """Of a load that one place holds at both its ends, or whose way home is its way out."""
    panel = sample(SAMPLES.parent / "faults" / f"{name}.panel")
    tracer = Tracer(panel)
    loads = [part for part in panel.parts if part.device == device and part.load is not None]
    told = [tracer.of(load) for load in loads]
    assert any(found.verdict.startswith("OPEN: nothing as drawn feeds") for found in told)
    for found in told:
        places = [place.at for place in found.places]
        assert len(places) == len(set(places))


SENSORS = """\
panel "Rain"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
sensor B1 two-wire DC normally open, leaks 0.5 mA, drops 3 V
sensor B2 three-wire NPN normally open, 24 V DC, 20 mA, drops 2 V
relay K1 coil 24 V DC 1 W; normally open 13-14
circuit "Rain"
  E1:+ --1-- B1 --2-- K1:A1-A2 --3-- B2:OUT
  E1:+ --1-- B2:+
  B2:0V --4-- E1:0V
"""


def test_what_sensors_on_the_way_keep_is_healthy_on_the_sheet() -> None:
    """24 V less 3 V past the first; the second keeps 2 V between the coil and 0 V."""
    found = trace(SENSORS, "K1", "B1 operated", "B2 operated")
    assert found.sheet is not None
    healthy = {point.terminal: round(point.healthy.dc_v) for point in found.sheet.points}
    assert {"E1:+": 24, "B1:1": 24, "K1:A1": 21, "K1:A2": 2, "E1:0V": 0}.items() <= healthy.items()
    assert 19 == round(found.sheet.at_load.dc_v)
    assert found.across is not None
    assert 19 == round(found.across.dc_v)
    now = {place.at: round(place.volts.dc_v) for place in found.places if place.volts is not None}
    assert (21, 2) == (now["K1:A1"], now["K1:A2"])


def test_a_sensor_keeps_nothing_on_a_way_that_is_open() -> None:
    found = trace(SENSORS, "K1", "B1 operated")
    now = {place.at: round(place.volts.dc_v) for place in found.places if place.volts is not None}
    assert 24 == now["K1:A1"]


def test_a_sensor_keeps_nothing_where_its_source_is_dead() -> None:
    found = trace(SENSORS, "K1", "B1 operated", "B2 operated", "E1 off")
    assert "DEAD" == found.word
    assert all(place.volts is None or place.volts.size_v < 0.05 for place in found.places)


def test_a_sheet_says_so_where_even_a_whole_way_gives_the_load_other_volts() -> None:
    found = trace(SENSORS.replace("drops 3 V", "drops 12 V"), "K1", "B1 operated", "B2 operated")
    assert found.verdict.startswith("WRONG: K1 gets 10 V DC, made for 24 V DC")
    document = TraceDocument("a.panel", (), (found,))
    shown = trace_text.render(document, colour=False, width=None)
    assert (
        "With all of that well K1 A1-A2 gets 10 V DC, made for 24 V DC: look into that as well."
        in shown
    )


def test_what_is_left_past_sensors_is_enough_from_where_a_coil_or_an_input_says() -> None:
    """19 V: less than 85 % of 24 V, for a coil of which nothing else is said; an input is on from
    15 V (IEC 61131-2, from memory)."""
    assert "WRONG" == trace(SENSORS, "K1", "B1 operated", "B2 operated").word
    text = SENSORS.replace("W; normally", "W pulls in at 16 V; normally")
    assert "ON" == trace(text, "K1", "B1 operated", "B2 operated").word
    text = TOO_FEW_VOLTS.replace("drops 12 V", "drops 5 V").replace("24 V DC 6 W; ", "")
    text = text.replace("  E1:+ --1-- PLC1:+\n", "")
    found = trace(text, "PLC1", "B1 operated")
    assert "ON: PLC1 gets 19 V DC" == found.verdict
    assert found.sheet is not None
    assert found.sheet.enough


def test_what_sensors_keep_is_said_where_it_is_not_taken_off() -> None:
    """Between any two points, by `meter` and `diagnose`; along a way it is taken off."""
    said = "closed sensors and outputs as wire: past B1 3 V, B2 2 V less is read, and no fault"
    assert said in resting_on(stand(panel_of(SENSORS)))
    assert said not in trace(SENSORS, "K1").assumed


BATTERIES = """\
panel "A valve on two batteries"
battery BT1 24 V DC, ungrounded
battery BT2 24 V DC, ungrounded
diode D1
diode D2
fuse FU1 2 A
valve Y1 24 V DC 8 W
circuit "Valve"
  BT1:+ --1-- D1:A-K --3-- FU1 --4-- Y1 --9-- BT1:-
  BT2:+ --2-- D2:A-K --3-- D1:K
  BT2:- --8-- BT1:-
"""


def test_what_another_source_feeds_past_is_accused_only_with_the_way_round_it() -> None:
    panel = panel_of(BATTERIES)
    found = Tracer(panel).of(load_of(panel, "Y1"))
    assert found.sheet is not None
    beside = {point.terminal: point.beside for point in found.sheet.points}
    assert beside["FU1:1"]
    assert not beside["Y1:1"]
    panel = suppose(panel, ("BT2 off",), ()).panel
    alone = Tracer(panel).of(load_of(panel, "Y1"))
    assert alone.sheet is not None
    assert not any(point.beside for point in alone.sheet.points)


def test_another_way_says_from_which_source_it_comes() -> None:
    shown = trace_text.render(
        TraceDocument("a.panel", (), (trace(BATTERIES, "Y1"),)), colour=False, width=None
    )
    assert "also       another way: from BT2:+\n" in shown


def test_a_button_that_a_later_step_needs_is_held_until_that_is_done() -> None:
    found = trace(TWO_HANDS, "Y1").energising
    assert ("press S1, hold", "press S2, let go", "release S1") == found.steps
    assert found.then is not None
    assert ["released", "released"] == [found.then.position(name) for name in ("S1", "S2")]
    assert ("S1 pressed", "S2 pressed") == found.moves


@pytest.mark.parametrize(
    ("says", "step"),
    [
        ('foot switch S2 "Start" normally open 13-14', "press S2, hold"),
        ("selector S2 positions OFF ON, springs back to OFF; 13-14 in ON", "turn S2 to ON, hold"),
        ("selector S2 positions OFF ON; 13-14 in ON", "turn S2 to ON"),
    ],
)
def test_what_springs_back_is_held_where_nothing_else_keeps_the_load_on(
    says: str, step: str
) -> None:
    text = VALVE.replace('button S2 "Start" normally open 13-14', says)
    assert (step,) == trace(text, "K1").energising.steps


ON_ONE_LEG = """\
panel "Two heaters in series on one leg"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
switch S1 normally open 1-2
heater HTR1 60 V AC 300 W
heater HTR2 60 V AC 300 W
circuit "Heaters"
  MAINS:L2 --1-- S1 --2-- HTR1 --3-- HTR2 --N-- MAINS:N
"""


@pytest.mark.parametrize("device", ["HTR1", "HTR2"])
def test_loads_in_series_on_one_leg_have_a_way_from_it_to_the_neutral(device: str) -> None:
    found = trace(ON_ONE_LEG, device)
    assert f"OPEN: {device} is off, as meant now: S1 1-2 (S1 is off)" == found.verdict
    assert ("MAINS:L2", "MAINS:N") == (found.places[0].at, found.reference)
    assert ("120 V AC on this way",) == found.live[:1]


@pytest.mark.parametrize("withs", [("S1 on",), ("S1 on", "SS1 in DELTA"), ()])
def test_a_motor_that_turns_in_star_is_traced_by_the_star(withs: tuple[str, ...]) -> None:
    """In star each winding gets the line's 208 V over root three."""
    drawn = sample(SAMPLES.parent / "sound" / "star-and-delta.panel")
    panel = suppose(drawn, withs, ()).panel
    tracer = Tracer(panel, None, drawn)
    for winding in (p for p in panel.parts if p.device == "M1" and p.load is not None):
        found = tracer.of(winding)
        assert ("ON" if withs else "OPEN") == found.word
        star = "SS1 in DELTA" not in withs
        passed = {place.by.split()[0] for place in found.places if place.by}
        assert ("K2" in passed, "K3" in passed) == (star, not star)
        assert found.sheet is not None
        assert pytest.approx(120 if star else 208, abs=2) == found.sheet.at_load.ac_v
        healthy = [point.healthy.ac_v for point in found.sheet.points if point.side == "home"]
        assert healthy == sorted(healthy, reverse=True)


def test_a_way_comes_home_to_the_source_that_it_left() -> None:
    """Utility and generator share a neutral bar: black is on the neutral of the one that feeds."""
    drawn = sample(SAMPLES.parent / "sound" / "utility-or-generator.panel")
    panel = suppose(drawn, ("UB on",), ()).panel
    for device in ("M1", "H1", "H2"):
        found = Tracer(panel, None, drawn).of(load_of(panel, device))
        assert ("UTIL:L1", "UTIL:N") == (found.places[0].at, found.reference)


@pytest.mark.parametrize(
    ("withs", "waits"),
    [
        ((), "VFD1 STO1-0V is off, VFD1 STO2-0V is off, VFD1:run is off"),
        (("VFD1:run on",), "VFD1 STO1-0V is off, VFD1 STO2-0V is off"),
        (("VFD1:run on", "FU1 blown"),
         "VFD1 L1-L2 is off, VFD1 STO1-0V is off, VFD1 STO2-0V is off"),
    ],
)  # fmt: skip
def test_a_drive_that_gives_nothing_says_what_it_waits_for(
    withs: tuple[str, ...], waits: str
) -> None:
    """Its line, its safe torque off (IEC 61800-5-2), its run command."""
    drawn = sample(SAMPLES / "drive_pump.panel")
    panel = suppose(drawn, withs, ()).panel
    found = Tracer(panel, None, drawn).of(load_of(panel, "M1"))
    assert f"DEAD: VFD1:T1 to VFD1:T2 gives 0 V: {waits}; trace VFD1" == found.verdict


def test_what_is_live_on_a_long_strip_is_told_where_nothing_is_grounded() -> None:
    """240 V on the strip of the 24 V: with no ground to read against, between its terminals."""
    text = """\
panel "Two ungrounded systems on one strip"
source MAINS 240 V AC 60 Hz, two-wire, 10 kA available, ungrounded
battery BT1 24 V DC, ungrounded
strip X1 terminals 1 to 40
switch S1 normally open 1-2
lamp H1 24 V DC 1 W
lamp H2 240 V AC 5 W
circuit "Lamps"
  BT1:+ --1-- X1:1 --1-- S1 --2-- H1 --3-- X1:2 --3-- BT1:-
  MAINS:L1 --11-- X1:39 --11-- H2 --12-- X1:40 --12-- MAINS:L2
"""
    beside = "240 V AC from X1:39 to X1:40, in a device on the way"
    assert ("24 V DC on this way", beside) == trace(text, "H1").live


def test_what_a_second_source_feeds_past_an_open_breaker_is_on() -> None:
    """The charge controller feeds the coil through its diode; drawn, that ends at the battery."""
    drawn = sample(SAMPLES.parent / "sound" / "gate-house-on-a-battery.panel")
    panel = suppose(drawn, ("CB1 open", "SG in STOP"), ()).panel
    found = Tracer(panel, None, drawn).of(load_of(panel, "KLV"))
    assert found.verdict.startswith("ON: KLV gets 11.9 V DC")
    assert ("PV:+", "PV:0V") == (found.places[0].at, found.reference)


def test_what_two_faults_feed_is_on_though_a_wire_of_its_way_is_open() -> None:
    drawn = sample(SAMPLES.parent / "sound" / "live-with-the-main-off.panel")
    sound = suppose(drawn, ("S1 on",), ()).panel
    broken = suppose(drawn, ("S1 on",), ("wire 300 open", "wire 300 grounded")).panel
    verdict = Tracer(sound, broken, drawn).of(load_of(sound, "H1")).verdict
    assert verdict.startswith("ON: H1 gets ")
    assert verdict.endswith(", by no way that is drawn: wire 300 is open")
