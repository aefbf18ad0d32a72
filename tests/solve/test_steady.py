"""Whole panels solved in numbers: published circuits, and laws that need no source."""

from __future__ import annotations

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
