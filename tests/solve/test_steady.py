"""Whole panels solved in numbers: published circuits, and laws that need no source."""

from __future__ import annotations

import math

import pytest

from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.solve.ratings import Draw, Holds, Ratings
from netcheck.solve.steady import Across, Steady, solve_state
from tests.annotated import Texts


def solved(text: str, *closed: str, extra: tuple[Across, ...] = ()) -> Steady:
    """Contacts named in `closed` (`S1 13-14`) are closed, sources all present."""
    panel, mistakes = build_panel("p", gather("p", Texts({"p": text})))
    assert not mistakes
    ratings = Case(panel).conclude(ComponentValues).ratings
    return solve_state(panel, ratings, lambda p: p.label in closed, lambda s: True, extra)


def volts(steady: Steady, a: str, b: str) -> float:
    found = steady.volts(a, b)
    assert found is not None
    return sum(abs(value) for value in found.values())


LOOP = """
panel "Three resistors in series"
battery B1 9 V DC, ungrounded
resistor R1 3 kohm
resistor R2 10 kohm
resistor R3 5 kohm
circuit "Loop"
  B1:+ -- R1 -- R2 -- R3 -- B1:-
"""


def test_resistors_in_series_share_a_voltage() -> None:
    # Lessons In Electric Circuits (T. R. Kuphaldt), Vol. I DC, simple series circuits.
    steady = solved(LOOP)
    assert [volts(steady, f"R{n}:1", f"R{n}:2") for n in (1, 2, 3)] == pytest.approx([1.5, 5, 2.5])


def test_a_meter_of_ten_megohms_loads_what_it_measures() -> None:
    # 24 V over two resistors of 250 Mohm: 12 V without the meter, 0.8889 V with it.
    text = """
panel "High resistances"
battery B1 24 V DC, ungrounded
resistor R1 250 Mohm
resistor R2 250 Mohm
circuit "Loop"
  B1:+ -- R1 -- R2 -- B1:-
"""
    assert volts(solved(text), "R2:1", "R2:2") == pytest.approx(12)
    meter = Across("R2:1", "R2:2", 10e6)
    assert volts(solved(text, extra=(meter,)), "R2:1", "R2:2") == pytest.approx(0.8889, rel=1e-3)


ONE_BEHIND_ANOTHER = """
panel "A load behind a resistance"
battery B1 24 V DC, ungrounded
resistor R1 {ohm} ohm
resistor R2 1000 ohm
circuit "Loop"
  B1:+ -- R1 -- R2 -- B1:-
"""


@pytest.mark.parametrize(("holds", "falls_with"), [("current", 1), ("power", 2)])
def test_what_holds_its_current_or_power_settles_behind_any_resistance(
    holds: Holds, falls_with: int
) -> None:
    """Below the least share of its volts it keeps the ohm it has there, so that there is a state
    for it to settle in: no source but that a continuous curve meets the line of a resistance."""
    for ohm in range(0, 1500, 10):
        text = ONE_BEHIND_ANOTHER.format(ohm=ohm or 0.001)
        panel, mistakes = build_panel("p", gather("p", Texts({"p": text})))
        assert not mistakes
        (r1, r2) = (panel.parts[panel.devices[name].parts[0]] for name in ("R1", "R2"))
        draws = {r1.index: Draw(ohm or 0.001, 24), r2.index: Draw(1000, 24, holds)}
        steady = solve_state(panel, Ratings(draws=draws), lambda p: True, lambda s: True)
        across = volts(steady, r2.a, r2.b)
        taken = across / (1000 * max(across / 24, 0.7) ** falls_with)
        assert (24 - across) / (ohm or 0.001) == pytest.approx(taken, rel=1e-4, abs=1e-3)


OPEN_NEUTRAL = """
panel "Open neutral"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
heater E1 1200 W 120 V AC
heater E2 240 W 120 V AC
terminal X1
circuit "Both halves"
  MAINS:L1 -- E1 -- X1 -- E2:2
  E2:1 -- MAINS:L2
"""


def test_an_open_neutral_leaves_two_heaters_in_series() -> None:
    # 12 ohm and 60 ohm across 240 V: 40 V and 200 V (Ohm's law; the source's 12 milliohm aside).
    steady = solved(OPEN_NEUTRAL)
    assert volts(steady, "E1:1", "E1:2") == pytest.approx(40, rel=1e-3)
    assert volts(steady, "E2:1", "E2:2") == pytest.approx(200, rel=1e-3)


SUPPLY = """
panel "Supply"
source MAINS 120 V AC 60 Hz, two-wire, 5 kA available, neutral bonded upstream
supply PS1 120 V AC to 24 V DC, 5 A, isolated, 0V grounded
button S1 normally open 13-14
heater E1 60 W 24 V DC
heater E2 240 W 24 V DC
circuit "Feed"
  MAINS:L -- PS1:L-N -- MAINS:N
circuit "Loads"
  PS1:+ -- E1 -- PS1:0V
  PS1:+ -- S1 -- E2 -- PS1:0V
"""


def test_a_supply_takes_in_what_it_gives_over_its_efficiency() -> None:
    steady = solved(SUPPLY)
    assert volts(steady, "E1:1", "E1:2") == pytest.approx(24, rel=5e-3)  # its regulation
    taken = steady.source_a(0, "L")["AC MAINS"]
    assert taken is not None
    assert abs(taken) == pytest.approx(60 / 0.85 / 120, rel=1e-2)


def test_an_overloaded_supply_limits_its_current() -> None:
    # 300 W of heaters at 24 V ask for 12.5 A: the voltage falls until 5 A flow.
    steady = solved(SUPPLY, "S1 13-14")
    given = steady.source_a(1, "+")["DC"]
    assert given is not None
    assert abs(given) == pytest.approx(5, rel=1e-4)
    assert volts(steady, "E1:1", "E1:2") == pytest.approx(24 * 5 / 12.5, rel=1e-4)


def test_two_supplies_side_by_side_give_both_their_limits_into_a_short_circuit() -> None:
    text = SUPPLY.replace(
        "button S1", "supply PS2 120 V AC to 24 V DC, 5 A, isolated, 0V floating\nbutton S1"
    )
    text += """
circuit "Second supply"
  MAINS:L -- PS2:L-N -- MAINS:N
  PS2:+ -- PS1:+
  PS2:0V -- PS1:0V
"""
    steady = solved(text, extra=(Across("E1:1", "E1:2", 1e-3),))
    given = [steady.source_a(index, "+")["DC"] for index in (1, 2)]
    assert [abs(one) for one in given if one is not None] == pytest.approx([5, 5], rel=1e-3)


DRIVE = """
panel "Pump on a drive"
source MAINS 120/240 V AC 60 Hz, three-wire, 5 kA available, neutral bonded upstream
drive VFD1 240 V AC single-phase 18 A, gives 7.5 A
motor M1 2 hp 230 V AC 60 Hz three-phase, 6.8 A full load
circuit "Power"
  MAINS:L1 -- VFD1:L1
  MAINS:L2 -- VFD1:L2
  VFD1:T1 -- M1:T1
  VFD1:T2 -- M1:T2
  VFD1:T3 -- M1:T3
"""


def test_a_drive_gives_its_rated_amperes_in_each_line() -> None:
    """Of a three-phase drive or motor the rated current is that of a line (NEMA MG 1)."""
    steady = solved(DRIVE, "VFD1 run")
    given = [steady.source_a(1, pole)["AC VFD1"] for pole in ("T1", "T2", "T3")]
    assert [abs(one) for one in given if one] == pytest.approx([6.8] * 3, rel=1e-2)
    assert volts(steady, "M1:T1", "M1:T2") == pytest.approx(240, rel=2e-2)


def test_a_drive_takes_in_the_power_of_three_phases() -> None:
    """Root of three times volts times amperes, over what its ratings make its efficiency."""
    steady = solved(DRIVE, "VFD1 run")
    taken = steady.source_a(0, "L1")["AC MAINS"]
    assert taken is not None
    gives_w, efficiency = 3**0.5 * 238 * 6.8, 3**0.5 * 240 * 7.5 / (240 * 18)
    assert abs(taken) == pytest.approx(gives_w / efficiency / 240, rel=2e-2)


@pytest.mark.parametrize(("closed", "gives_v"), [((), 0), (("S1 13-14",), 240)])
def test_a_drive_gives_nothing_while_its_torque_is_off(
    closed: tuple[str, ...], gives_v: float
) -> None:
    """Safe torque off: without its inputs' 24 V nothing reaches the motor (IEC 61800-5-2)."""
    text = DRIVE.replace(
        "gives 7.5 A", "gives 7.5 A; safe torque off STO1 STO2 to 0V, 24 V DC, 5 mA"
    )
    text += """
supply PS1 120 V AC to 24 V DC, 2.5 A, isolated, 0V grounded
button S1 normally open 13-14
circuit "Torque"
  MAINS:L1 -- PS1:L-N -- MAINS:N
  PS1:+ -- S1 -- VFD1:STO1
  S1:14 -- VFD1:STO2
  VFD1:0V -- PS1:0V
"""
    steady = solved(text, *closed)
    assert volts(steady, "VFD1:T1", "VFD1:T2") == pytest.approx(gives_v, rel=2e-2, abs=0.1)


def test_a_transformer_fed_on_its_secondary_is_live_on_its_primary() -> None:
    text = """
panel "Back-feed"
source G1 120 V AC 60 Hz, two-wire, 1 kA available, neutral bonded here
transformer T1 240 V AC to 120 V AC, 500 VA, ungrounded
heater E1 100 W 240 V AC
circuit "Fed the wrong way"
  G1:L -- T1:X1
  T1:X2 -- G1:N
  T1:H1 -- E1 -- T1:H2
"""
    assert volts(solved(text), "T1:H1", "T1:H2") == pytest.approx(240, rel=0.02)


def test_a_diode_the_wrong_way_round_carries_nothing() -> None:
    text = """
panel "Diodes"
battery B1 24 V DC, ungrounded
diode D1 1 A
diode D2 1 A
resistor R1 24 ohm
resistor R2 24 ohm
circuit "Forwards and backwards"
  B1:+ -- D1:A-K -- R1 -- B1:-
  B1:+ -- D2:K-A -- R2 -- B1:-
"""
    steady = solved(text)
    assert volts(steady, "R1:1", "R1:2") == pytest.approx(24)
    assert volts(steady, "R2:1", "R2:2") == pytest.approx(0, abs=1e-6)


def test_what_nothing_joins_floats() -> None:
    text = LOOP.replace('circuit "Loop"', 'battery B2 9 V DC, ungrounded\ncircuit "Loop"')
    assert solved(text).volts("B1:+", "B2:+") is None


def test_a_long_thin_wire_drops_volts_out_and_back() -> None:
    # 18 AWG uncoated stranded copper, 7.95 ohm/kft at 75 degC (NEC chapter 9 table 8), 1,000 ft
    # out and back, 24 ohm: 24 V * 24 / (24 + 15.9).
    text = """
panel "Far valve"
battery B1 24 V DC, ungrounded
resistor R1 24 ohm
wire kind default: 18 AWG copper, 1000 ft
circuit "Loop"
  B1:+ -- R1 -- B1:-
"""
    assert volts(solved(text), "R1:1", "R1:2") == pytest.approx(24 * 24 / (24 + 15.9), rel=1e-3)


HALF_WAVE = """
panel "A diode before a heater"
source T1 120 V AC 60 Hz, two-wire, 1 kA available, ungrounded
diode D1 30 A
heater E1 600 W 120 V AC
circuit "Loop"
  T1:L -- D1:A-K -- E1 -- T1:N
"""
BRIDGE = """
panel "A bridge"
source T1 120 V AC 60 Hz, two-wire, 1 kA available, ungrounded
device U1 "Bridge of four diodes" terminals 1 2 3 4; one-way 1-3 2-3 4-1 4-2
resistor R1 24 ohm
circuit "Both halves"
  T1:L -- U1:1
  T1:N -- U1:2
  U1:3 -- R1 -- U1:4
"""


@pytest.mark.parametrize(
    ("text", "load", "dc_v", "ac_v"),
    [(HALF_WAVE, "E1", 0.45 * 120, 60), (BRIDGE, "R1", 0.9 * 120, 0)],
)
def test_what_diodes_make_of_ac(text: str, load: str, dc_v: float, ac_v: float) -> None:
    """Mean of a half wave 0.318, of both halves 0.637 of the peak, 0.45 and 0.9 of what a meter
    shows of the sine (Lessons In Electric Circuits, Vol. III Semiconductors, rectifier circuits;
    from memory).  The fundamental of a half wave is half the sine, of both none (Fourier)."""
    across = solved(text).volts(f"{load}:1", f"{load}:2")
    assert across is not None
    assert across["DC"].real == pytest.approx(dc_v, rel=5e-3)
    assert abs(across["AC T1"]) == pytest.approx(ac_v, rel=2e-2, abs=1e-3)


HELD_BACK = """
panel "A diode between DC and AC"
source T1 {ac_v} V AC 60 Hz, two-wire, 1 kA available, ungrounded
battery B1 24 V DC, ungrounded
diode D1 1 A
resistor R1 1 kohm
circuit "Loop"
  T1:L -- R1 -- D1:A-K -- B1:+
  B1:- -- T1:N
"""


def clipped(ac_v: float, dc_v: float) -> tuple[float, float]:
    """Mean and fundamental of what of a sine is above some DC, by adding up moments."""
    count = 20_000
    waves = [math.sin(math.tau * at / count) for at in range(count)]
    above = [max(math.sqrt(2) * ac_v * wave - dc_v, 0) for wave in waves]
    mean = sum(above) / count
    both = zip(above, waves, strict=True)
    return mean, math.sqrt(2) * sum(one * wave for one, wave in both) / count


@pytest.mark.parametrize("ac_v", [5, 12, 16.9, 17, 20, 26, 27, 40, 60, 120])
def test_a_diode_that_dc_holds_back_lets_through_about_what_is_above_it(ac_v: float) -> None:
    """A biased clipper: a diode behind 24 V DC conducts once the wave rises above that (the same,
    clipper circuits).  Below 17 V AC, whose peak is 24 V, that is exact; from there on a whole half
    is taken or none of it, which errs by root two over pi of the DC at most."""
    across = solved(HELD_BACK.format(ac_v=ac_v)).volts("R1:1", "R1:2")
    assert across is not None
    dc_v, fundamental_v = clipped(ac_v, 24)
    off = max(abs(across["DC"] - dc_v), abs(abs(across["AC T1"]) - fundamental_v))
    assert off < (1e-4 if ac_v < 17 else 24 * math.sqrt(2) / math.pi)
    assert across["DC"].real > -1e-4, "nothing flows backwards"


BACK_TO_BACK = """
panel "Two coils with a line on the common of one"
source MAINS 120 V AC 60 Hz, two-wire, 5 kA available, neutral bonded here
relay K1 coil 24 V DC 3 W with diode
relay K2 coil 24 V DC 3 W with diode
circuit "Their first ends joined"
  MAINS:L -- K1:A2
  K1:A1 -- K2:A1
  K2:A2 -- MAINS:N
"""


def test_diodes_that_face_each_other_are_no_short_on_ac() -> None:
    """In each half one of the two blocks, and the coil across it takes the wave (Kirchhoff)."""
    steady = solved(BACK_TO_BACK)
    for coil in ("K1", "K2"):
        across = steady.volts(f"{coil}:A1", f"{coil}:A2")
        assert across is not None
        assert across["DC"].real == pytest.approx(54, rel=1e-2)
        assert abs(across["AC MAINS"]) == pytest.approx(60, rel=1e-2)
    (given,) = [a for basis, a in steady.source_a(0, "L").items() if basis != "DC"]
    assert given is not None
    assert abs(given) == pytest.approx(120 / (24**2 / 3), rel=1e-2)


CONTROL = """
panel "Control beside a line"
source MAINS 120 V AC 60 Hz, two-wire, 5 kA available, neutral bonded here
source OTHER 120 V AC 60 Hz, two-wire, 5 kA available, neutral bonded upstream
supply PS1 120 V AC to 24 V DC, 2.5 A, limits at 3 A, isolated, 0V grounded
terminal X1
relay K1 coil 24 V DC 3 W with diode
heater E1 1200 W 120 V AC
circuit "Supply"
  OTHER:L -- PS1:L-N -- OTHER:N
  MAINS:PE -- PS1:PE
circuit "Coil"
  PS1:+ -- X1 -- K1:A1-A2 -- PS1:0V
circuit "What ties the two"
  {tie}
"""


def diode_a(steady: Steady, panel: str) -> dict[str, complex | None]:
    built, _ = build_panel("p", gather("p", Texts({"p": panel})))
    (diode,) = [part for part in built.parts if part.role == "diode"]
    return steady.part_a(diode.index)


def test_the_diode_of_a_coil_that_is_in_takes_no_ac_of_a_line_that_leaks_into_its_feed() -> None:
    """10 A from the line come home through the supply's own ohms, some tenths of a volt AC, on top
    of 24 V that hold the diode back: a diode with 24 V against it conducts nothing (the same)."""
    text = CONTROL.format(tie="MAINS:L -- E1 -- X1")
    steady = solved(text)
    across = steady.volts("K1:A1", "K1:A2")
    assert across is not None
    assert abs(across["AC MAINS"]) > 0.01, "there is some to take"
    assert across["DC"].real == pytest.approx(24, rel=0.1)
    assert all(abs(a or 0) < 1e-6 for a in diode_a(steady, text).values())


def test_a_line_on_a_dc_coil_drives_a_short_s_current_and_no_supply_limits_that() -> None:
    """What a supply limits is its own current: what comes from elsewhere passes its output, a
    capacitor, unasked.  Common practice, no source."""
    text = CONTROL.format(tie="MAINS:L -- K1:A2").replace("K1:A1-A2 -- PS1:0V", "K1:A1")
    carried = diode_a(solved(text), text)["AC MAINS"]
    assert carried is not None
    assert abs(carried) > 100
