"""What misleads with a meter, each trap by its name.

The traps are the trade's own, common practice without a source but where one is named.
"""

from __future__ import annotations

import pytest

from netcheck.bench.cold_ohms import cold_ohms
from netcheck.bench.isolating import Isolator
from netcheck.bench.metered import ohm_readings, volt_readings
from netcheck.bench.metering import Clamped, Meter, clamp
from netcheck.bench.ohms import OhmReading, ohms_between
from netcheck.bench.pulses import PULSES, is_pulsed
from netcheck.bench.readings import as_said
from netcheck.bench.standing import stand
from netcheck.bench.trace_text import traps_of
from netcheck.bench.tracing import Tracer
from netcheck.model.panel import Panel
from tests.bench.panels import (
    CONTROLLER,
    HEATER,
    SAMPLES,
    SENSOR,
    THREE_PHASE,
    VALVE,
    WINDINGS,
    greenhouse,
    load_of,
    panel_of,
    sample,
)

WITH_START = ("S2 pressed",)


def meter(text: str, *withs: str, fault: str = "") -> Meter:
    return Meter(stand(panel_of(text, withs, [fault] if fault else [])))


def test_full_supply_across_a_part_says_it_is_open_if_the_rest_of_the_loop_is_closed() -> None:
    between = meter(VALVE).between("S2:13", "S2:14")
    assert 24 == pytest.approx(between.metered.ideal.dc_v, rel=0.01)
    assert "open" == between.stands
    assert not between.proves_nothing
    assert between.if_closed is not None
    assert between.if_closed.is_nought


def test_an_open_part_reads_nothing_where_the_rest_of_the_loop_is_open_too() -> None:
    between = meter(VALVE, "S1 pressed").between("S2:13", "S2:14")
    assert between.metered.ideal.floats
    assert between.proves_nothing


def test_0_v_across_a_fuse_proves_nothing_while_nothing_flows() -> None:
    idle = meter(VALVE).between("FU1:1", "FU1:2")
    assert idle.metered.ideal.is_nought
    assert "closed" == idle.stands
    # With the start button up nothing takes current: a blown fuse leaves its far end floating.
    assert idle.proves_nothing
    assert not meter(VALVE, *WITH_START).between("FU1:1", "FU1:2").proves_nothing


def test_a_240_v_load_with_one_line_open_reads_0_across_and_120_from_both_ends() -> None:
    between = meter(HEATER, fault="FU1 blown").between("HTR1:1", "HTR1:2")
    assert between.metered.ideal.is_nought
    for side in (between.red_to_ground, between.black_to_ground):
        assert 120 == pytest.approx(side.ideal.ac_v, rel=0.01)
        assert side.is_live


def test_both_ends_of_an_open_load_at_one_pole_read_0_v_and_are_live() -> None:
    # The way home is open behind both valves: they lift their far ends to plus.
    between = meter(VALVE, *WITH_START, fault="wire 209 open").between("Y1:1", "Y1:2")
    assert between.metered.ideal.is_nought
    assert between.red_to_ground.is_live
    assert between.black_to_ground.is_live
    assert 24 == pytest.approx(between.black_to_ground.ideal.dc_v, rel=0.01)


def test_a_three_phase_load_feeds_its_open_line_back_at_half_volts() -> None:
    # Two elements in series from L3 to L2, with the open line in their middle.
    found = meter(THREE_PHASE, fault="FU1 blown").metered("HTR1:1", "MAINS:L2")
    assert 240 == pytest.approx(found.ideal.ac_v, rel=0.01)
    assert found.firm
    assert found.is_live


def test_a_point_that_nothing_joins_floats_and_is_not_called_0_v() -> None:
    found = meter(VALVE, fault="wire 208 open").metered("K1:24", "E1:0V")
    assert found.ideal.floats
    assert not found.firm
    # A meter of 10 Mohm is itself all that fixes it: what it shows beside 0 V is a ghost.
    assert found.on_meter.is_nought


def test_a_leaking_sensor_reads_full_volts_on_10_megohm_and_little_on_low_impedance() -> None:
    found = meter(SENSOR, fault="wire 2 open").metered("B1:2", "E1:0V")
    leak_ohm = 24 / 0.8e-3
    assert not found.firm
    assert 24 * 10e6 / (10e6 + leak_ohm) == pytest.approx(found.on_meter.dc_v, rel=0.01)
    assert 24 * 3e3 / (3e3 + leak_ohm) == pytest.approx(found.low_impedance.dc_v, rel=0.01)


def test_reversed_leads_read_the_same_volts_with_a_minus() -> None:
    one = meter(VALVE).metered("E1:+", "E1:0V").ideal
    other = meter(VALVE).metered("E1:0V", "E1:+").ideal
    assert one.dc_v == -other.dc_v
    assert str(other).startswith("-")


def test_a_grounding_conductor_must_read_0_in_the_clamp_and_lines_what_the_load_takes() -> None:
    read = meter(HEATER)
    found = {one.wire: one for one in clamp(read, read.panel.terminals)}
    assert Clamped("wire PE", "HTR1:PE", "MAINS:PE", 0.0, "", True) == found["wire PE"]
    # 3 kW at 240 V; the wires take a little of it.
    assert 12.5 == pytest.approx(found["wire 3"].amperes or 0, rel=0.03)
    assert "AC" == found["wire 3"].kind


def test_the_clamp_adds_up_at_every_terminal_where_wires_meet() -> None:
    read = meter(VALVE, *WITH_START)
    found = {one.wire: one.amperes or 0 for one in clamp(read, read.panel.terminals)}
    assert found["wire 208"] == pytest.approx(found["wire 210"] * 2, rel=0.01)
    assert found["wire 201"] == pytest.approx(found["wire 202"] + found["wire 207"], rel=1e-6)


# ---- ohms ----


def test_a_good_heater_of_less_than_50_ohm_may_beep_like_a_short() -> None:
    panel = panel_of(HEATER)
    found = ohms_between(stand(panel, powered=False), "HTR1:1", "HTR1:2")
    assert 240**2 / 3000 == pytest.approx(found.low or 0, rel=0.01)
    assert found.alone is not None
    assert "may beep" in found.alone.words
    assert "lift wire 3 at HTR1:1" == found.lift


@pytest.mark.parametrize(("watts", "beeps"), [(24, True), (3, False)])
def test_a_good_coil_of_few_ohms_may_beep_like_a_short(watts: int, beeps: bool) -> None:
    panel = panel_of(VALVE.replace("24 V DC 3 W", f"24 V DC {watts} W"))
    found = cold_ohms(panel, load_of(panel, "K1"))
    assert 24**2 / watts == pytest.approx(found.ohm)
    assert beeps == ("may beep" in found.words)


def test_a_parallel_path_rings_too_until_one_end_is_lifted() -> None:
    panel = panel_of(VALVE)
    found = ohms_between(stand(panel, powered=False), "Y1:1", "Y1:2")
    alone = 24**2 / 8
    assert found.alone is not None
    assert alone == found.alone.ohm
    assert alone / 2 == pytest.approx(found.low or 0, rel=0.01)
    assert ("Y2 1-2",) == found.beside
    assert "wire 208 and wire 210 at Y1:1" in found.lift


def test_windings_on_ac_are_low_ohms_that_no_nameplate_tells() -> None:
    panel = panel_of(WINDINGS)
    found = ohms_between(stand(panel, powered=False), "M1:T1", "M1:T2")
    assert found.alone is not None
    assert "winding: low ohms, not known; may beep" == found.alone.words
    assert None is found.alone.ohm
    # Anything between a short and an open circuit: never a figure that is made up.
    assert 0 == pytest.approx(found.low or 0, abs=0.1)
    assert None is found.high


def test_a_windings_ohms_that_the_text_says_are_read_as_they_are() -> None:
    panel = panel_of(WINDINGS.replace("single-phase", "single-phase, winding 2.4 ohm"))
    found = ohms_between(stand(panel, powered=False), "M1:T1", "M1:T2")
    assert found.alone is not None
    assert 2.4 == found.alone.ohm
    assert "2.4 ohm; may beep: a good load" == found.alone.words
    assert 2.4 == pytest.approx(found.high or 0, rel=0.01)


def test_a_bare_resistance_of_a_motor_is_its_windings_and_draws_no_current() -> None:
    said, bare = (
        panel_of(WINDINGS.replace("single-phase", f"single-phase, {words}"))
        for words in ("winding 2.4 ohm", "2.4 ohm")
    )
    assert 2.4 == bare.devices["M1"].number("winding_ohm")
    assert load_of(said, "M1").load == load_of(bare, "M1").load


@pytest.mark.parametrize("words", ["9 kW", "motor"])
def test_between_two_lines_of_a_three_phase_load_the_other_two_elements_lie_beside(
    words: str,
) -> None:
    """Delta: R beside 2 R is 2/3 R, 2 V^2 / W between lines, and in star twice V^2 / W: the same
    (textbook, from memory).  Of a motor the text says what is read."""
    text, terminals = THREE_PHASE, ("HTR1:1", "HTR1:2")
    if words == "motor":
        text = text.replace(
            "heater HTR1 9 kW 480 V AC three-phase",
            "motor HTR1 5 hp 480 V AC three-phase, winding 51.2 ohm",
        )
        text, terminals = text.replace("HTR1:", "HTR1:T"), ("HTR1:T1", "HTR1:T2")
    told = cold_ohms(panel_of(text), load_of(panel_of(text), "HTR1"))
    assert 2 * 480**2 / 9000 == pytest.approx(told.ohm)
    found = ohms_between(stand(panel_of(text), powered=False), *terminals)
    assert 2 * 480**2 / 9000 == pytest.approx(found.high or 0, rel=0.01)


def test_a_transformers_primary_reads_what_the_text_says() -> None:
    panel = panel_of(
        """\
panel "Control"
source MAINS 240 V AC 60 Hz, 10 kA available, ungrounded
transformer T1 240 V AC to 120 V AC, 500 VA, primary winding 1.8 ohm, X2 grounded
circuit "Control"
  MAINS:L1 --1-- T1:H1-H2 --2-- MAINS:L2
"""
    )
    assert 1.8 == cold_ohms(panel, load_of(panel, "T1")).ohm


def off(panel: Panel, a: str, b: str) -> OhmReading:
    (found,) = ohm_readings(panel, (), [(a, b)]).ohms
    return found


def test_what_to_lock_out_before_ohms_is_all_that_reaches_the_devices_at_the_leads() -> None:
    panel = greenhouse()
    heater = off(panel, "HTR1:1", "HTR1:2")
    assert (("CB4",), ()) == (heater.handles, heater.elsewhere)
    # A hand at the coil of a contactor is at its poles too: 24 V come by CB8, 240 V by CB4.
    coil = off(panel, "K3:A1", "K3:A2")
    assert ("CB0",) == coil.handles == Isolator(panel).of("K3").handles
    assert ("PS1: a supply's capacitors take seconds to fall",) == coil.stored
    relay = off(panel, "KR1:A1", "KR1:A2")
    assert ("CB8",) == relay.handles


def test_where_nothing_of_the_text_opens_it_the_source_is_locked_out_where_it_comes_from() -> None:
    valve = off(panel_of(VALVE), "Y1:1", "Y1:2")
    assert ((), ("E1",), ()) == (valve.handles, valve.elsewhere, valve.unlocked)
    fuse = off(sample(SAMPLES / "frost_guard.panel"), "FU1:1", "FU1:2")
    assert (("QS1",), ("BT1",)) == (fuse.handles, fuse.unlocked)


def test_a_breaker_with_auxiliary_contacts_is_opened_too() -> None:
    found = off(sample(SAMPLES / "boiler_pumps.panel"), "M1:U", "M1:V")
    assert ("QM1",) == found.handles
    assert ("M1 V-W", "M1 W-U") == found.ohms.beside


def test_of_two_wires_of_one_number_to_lift_each_is_told_with_its_ends() -> None:
    """One number a node: without them both read alike."""
    found = off(greenhouse(), "K0:A1", "K0:A2").ohms
    assert "lift wire 303 S0:14 to K0:A1 and wire 303 K0:14 to S0:14 at S0:14" == (
        off(greenhouse(), "S0:14", "S0:13").ohms.lift
    )
    assert "lift wire 303 S0:14 to K0:A1 at K0:A1" == found.lift


TWO_HEATERS = """\
panel "Two tank heaters"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
breaker CB1 2-pole 20 A
breaker CB2 2-pole 20 A
heater HTR1 3 kW 240 V AC
heater HTR2 3 kW 240 V AC
circuit "Heaters"
  MAINS:L1 --1-- CB1:1-2 --3-- HTR1:1-2 --4-- CB1:4-3 --2-- MAINS:L2
  MAINS:L1 --1-- CB2:1-2 --5-- HTR2:1-2 --6-- CB2:4-3 --2-- MAINS:L2
"""


def test_ohms_are_those_with_the_breaker_open_that_is_to_be_locked() -> None:
    """With both closed the other heater lies beside; who has locked his own does not read it."""
    panel = panel_of(TWO_HEATERS)
    alone = 240**2 / 3000
    closed = ohms_between(stand(panel, powered=False), "HTR1:1", "HTR1:2")
    assert alone / 2 == pytest.approx(closed.low or 0, rel=0.01)
    opened = off(panel, "HTR1:1", "HTR1:2")
    assert ("CB1",) == opened.handles
    assert alone == pytest.approx(opened.ohms.low or 0, rel=0.01)
    assert () == opened.ohms.beside


def test_an_open_circuit_rings_through_nothing() -> None:
    panel = panel_of(CONTROLLER)
    found = ohms_between(stand(panel, powered=False), "PLC1:+", "PLC1:0V")
    assert found.alone is not None
    assert "electronic: no ohms to expect" == found.alone.words
    assert (None, None) == (found.low, found.high)
    assert () == found.beside


def test_with_power_off_relays_have_dropped_out_and_open_contacts_read_open() -> None:
    panel = panel_of(VALVE, WITH_START)
    standing = stand(panel, powered=False)
    # Both ways of the button lie beside this contact, and through them the other loads.
    assert None is ohms_between(standing, "K1:13", "S2:14").alone
    contact = next(part for part in panel.parts if part.label == "K1 23-24")
    assert not standing.closed(contact)
    found = ohms_between(standing, "K1:A1", "K1:A2")
    assert found.alone is not None
    assert 192 == found.alone.ohm
    assert "plus lead on K1:A1" in found.alone.diode


# ---- two panels ------------------------------------------------------------------------------


def two_houses() -> Meter:
    return Meter(stand(sample(SAMPLES / "two_houses.panel")))


def test_the_grounds_of_two_panels_are_joined_by_the_earth() -> None:
    """Both neutrals are bonded where they come from, so that a meter reads next to nothing
    between them, and a control voltage of one panel against the ground of the other."""
    reads = two_houses()
    for red, black in (("A.EA:N", "B.EB:N"), ("A.GB1:1", "B.GB1:1"), ("A.PS1:0V", "B.PS1:0V")):
        told = reads.metered(red, black)
        assert told.firm
        assert told.ideal.is_nought
    assert "24 V DC" == str(reads.metered("B.K1:13", "B.GB1:1").ideal)
    assert "120 V AC" == str(reads.metered("A.EA:L1", "B.GB1:1").on_meter)


def test_what_no_wire_and_no_earth_joins_floats_all_the_same() -> None:
    assert two_houses().metered("B.K1:14", "B.GB1:1").ideal.floats


def test_the_black_lead_stays_in_the_panel_of_what_is_metered() -> None:
    reads = two_houses()
    assert "B.EB:N" == reads.reference_near("B.K1")
    assert "A.EA:N" == reads.reference_near("A.K1")
    between = reads.between("B.PS1:+", "A.PS1:+")
    assert "B.EB:N" == between.red_to_ground.black
    assert "A.EA:N" == between.black_to_ground.black
    assert "B.EB:N" == between.red_to_ground.live_against


def test_of_batteries_in_series_the_black_lead_is_on_the_minus_of_all() -> None:
    """On the link between them it read minus 12 V where somebody looks for 0 and 24 V."""
    reads = Meter(stand(sample(SAMPLES / "frost_guard.panel")))
    assert "BT2:-" == reads.reference_near("K1")
    assert "24 V DC" == str(reads.metered("K1:13", "BT2:-").ideal)
    assert reads.metered("K1:A2", "BT2:-").ideal.is_nought


def test_the_highest_volts_are_called_as_the_text_calls_them() -> None:
    """Only a little less than its source's own figure is that figure; half of it is not."""
    panel = sample(SAMPLES / "boiler_pumps.panel")
    assert 400 == as_said(panel, 230 * 3**0.5, "AC")
    assert 230 == as_said(panel, 229, "AC")
    assert 115 == as_said(panel, 115, "AC")
    assert 443 == as_said(panel, 443, "AC")
    assert 398 == as_said(panel, 398, "DC")


def test_what_a_drive_gives_is_no_reading_for_an_ordinary_meter() -> None:
    """Fact of the trade, from memory; what feeds the drive is a sine."""
    panel = sample(SAMPLES / "drive_pump.panel")
    assert is_pulsed(panel, ["VFD1:T1"])
    assert is_pulsed(panel, ["M1:T2"])
    assert not is_pulsed(panel, ["VFD1:L1", "PS1:+"])
    assert PULSES in volt_readings(panel, ["M1:T1"], [], "", clamping=False).assumed
    assert PULSES not in volt_readings(panel, ["K1:A1"], [], "", clamping=False).assumed
    told = Tracer(panel).of(load_of(panel, "M1"))
    assert told.sheet is not None
    assert PULSES in traps_of(told, told.sheet)
    relay = Tracer(panel).of(load_of(panel, "K1"))
    assert relay.sheet is not None
    assert PULSES not in traps_of(relay, relay.sheet)


BESIDE_GROUNDED = """\
panel "Booster"
source MAINS 480 V AC three-phase 60 Hz, 10 kA available, ungrounded
transformer T1 480 V AC to 120 V AC, 100 VA, X2 grounded
heater HTR1 9 kW 480 V AC three-phase
lamp H1 120 V AC 5 W
circuit "Booster"
  MAINS:L1 --1-- HTR1:1
  MAINS:L2 --2-- HTR1:2
  MAINS:L3 --3-- HTR1:3
  MAINS:L1 --1-- T1:H1-H2 --2-- MAINS:L2
  T1:X1 --4-- H1 --5-- T1:X2
"""


def test_what_floats_against_the_ground_of_another_system_is_read_against_its_own() -> None:
    """Of a heater on an ungrounded supply a reading to ground says nothing: line to line does."""
    panel = panel_of(BESIDE_GROUNDED)
    heater = volt_readings(panel, ["HTR1:1", "HTR1:2"], (), "", clamping=False)
    assert "MAINS:L3" == heater.against
    assert all(475 < one.metered.ideal.ac_v <= 480 for one in heater.nodes)
    assert "T1:X2" == volt_readings(panel, ["H1:X1"], (), "", clamping=False).against


def test_of_a_diode_no_ohms_are_told_but_how_it_is_tested() -> None:
    text = (
        'panel "Bench"\nedge E1 24 V DC, fused 4 A, 0V grounded\ndiode D1\nlamp H1 24 V DC 1 W\n'
        'circuit "Lamp"\n  E1:+ --1-- D1:A-K --2-- H1 --0-- E1:0V\n'
    )
    (told,) = ohm_readings(panel_of(text), ["D1:A", "D1:K"], ()).open_questions
    assert told.startswith("D1: no ohms tell; one end lifted, on the meter's diode range")
    (nothing,) = ohm_readings(panel_of(text), ["E1:PE"], ()).open_questions
    assert "name two terminals" in nothing
