"""Voltages and currents of published examples, solved on panels that rebuild their circuits.

`published/circuits/` holds a panel for each, its source on its first line; the figures are
those of `published/examples/examples.jsonl`, within the tolerance given there.  Sources are
ideal, as in the examples.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from netcheck.case import Case
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.build import build_panel
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.solve.steady import Across, Steady, solve_state
from tests.annotated import Texts

CIRCUITS = Path(__file__).parent / "published" / "circuits"
EXACT = 1e-9
TENTH_OF_A_PER_CENT = 1e-3


class Meter:
    """Reads a panel with everything closed and every source present."""

    def __init__(self, name: str, *extra: Across) -> None:
        text = (CIRCUITS / f"{name}.panel").read_text("utf-8")
        self.panel, mistakes = build_panel(name, gather(name, Texts({name: text})))
        assert not mistakes
        solved: SolvedStates = Case(self.panel).conclude(SolvedStates)
        self.steady: Steady = solve_state(
            self.panel, solved.stiff, lambda part: True, lambda index: True, extra
        )

    def volts(self, *names: str) -> list[float]:
        """Across each of these devices."""
        return [volts_across(self.steady, part) for part in _parts(self.panel, names)]

    def amperes(self, *names: str) -> list[float]:
        """Through each of these devices."""
        found = []
        for part in _parts(self.panel, names):
            currents = self.steady.part_a(part.index).values()
            found.append(sum(abs(current) for current in currents if current is not None))
        return found

    def given_a(self, pole: str) -> float:
        """What the first source gives at a pole."""
        return sum(abs(a) for a in self.steady.source_a(0, pole).values() if a is not None)

    def between(self, a: str, b: str) -> float:
        volts = self.steady.volts(a, b)
        assert volts is not None
        return sum(abs(value) for value in volts.values())


def _parts(panel: Panel, names: tuple[str, ...]) -> list[Part]:
    return [panel.parts[panel.devices[name].parts[0]] for name in names]


def about(*values: float, within: float = EXACT) -> object:
    return pytest.approx(list(values), rel=within, abs=1e-9)


def test_a01_resistors_in_series_share_the_voltage_as_their_ohms() -> None:
    meter = Meter("a01-series")
    assert meter.volts("R1", "R2", "R3") == about(1.5, 5, 2.5)
    assert meter.amperes("R1") == about(0.5e-3)


def test_a02_resistors_side_by_side_add_their_currents() -> None:
    meter = Meter("a02-parallel")
    assert meter.amperes("R1", "R2", "R3") == about(0.9e-3, 4.5e-3, 9e-3)
    assert meter.given_a("+") == pytest.approx(14.4e-3)


def test_a03_and_a04_a_jumper_hands_its_share_to_the_others() -> None:
    meter = Meter("a03-series")
    assert meter.amperes("R1") == about(20e-3)
    assert meter.volts("R1", "R2", "R3") == about(2, 6, 1)
    meter = Meter("a04-jumper-across-r2")
    assert meter.amperes("R1") == about(60e-3)
    assert meter.volts("R1", "R2", "R3") == about(6, 0, 3)


def test_a05_the_whole_voltage_stands_across_the_open() -> None:
    meter = Meter("a05-open-in-series", Across("X1:1", "X2:1", 1e12))
    assert meter.volts("R1", "R3") == about(0, 0)
    assert meter.between("X1:1", "X2:1") == pytest.approx(9)


def test_a06_three_branches() -> None:
    meter = Meter("a06-parallel")
    assert meter.amperes("R1", "R2", "R3") == about(100e-3, 200e-3, 50e-3)
    assert meter.given_a("+") == pytest.approx(350e-3)


def test_a10_a_short_in_one_of_four_moves_all_the_others() -> None:
    """The numbers are computed on the circuit of a09; the source gives directions."""
    meter = Meter("a10-r2-shorted")
    assert meter.given_a("+") == pytest.approx(188.57e-3, rel=TENTH_OF_A_PER_CENT)
    assert meter.volts("R1", "R4") == about(0, 24)


def test_a11_and_a12_drops_are_in_proportion() -> None:
    assert Meter("a11-series").volts("R1", "R2", "R3") == about(10, 20, 15)
    meter = Meter("a12-series")
    assert meter.amperes("R1") == about(8e-3)
    assert meter.volts("R1", "R2", "R3") == about(40, 80, 60)


def test_a14_currents_rise_with_the_voltage() -> None:
    low, high = Meter("a14-parallel-on-6-v"), Meter("a14-parallel-on-24-v")
    assert low.amperes("R1", "R2", "R3") == about(6e-3, 2e-3, 3e-3)
    assert high.amperes("R1", "R2", "R3") == about(24e-3, 8e-3, 12e-3)


def test_a16_what_each_battery_does_alone_adds_up() -> None:
    assert Meter("a16-28-v-alone").volts("R2") == about(4)
    assert Meter("a16-7-v-alone").volts("R2") == about(4)


def test_a17_a_ten_megohm_meter_reads_far_too_little_on_hundreds_of_megohms() -> None:
    assert Meter("a17-high-resistances").volts("R2") == about(12, within=1e-6)
    meter = Meter("a17-high-resistances", Across("R2:1", "R2:2", 10e6))
    assert meter.volts("R2", "R1") == about(0.8889, 23.1111, within=TENTH_OF_A_PER_CENT)


def test_a18_points_of_one_wire_read_the_same() -> None:
    meter = Meter("a18-common-points")
    assert meter.given_a("+") == pytest.approx(2)


def test_a21_current_divides_against_the_ohms() -> None:
    assert Meter("a21-divider").amperes("R2") == about(400e-3)


def test_b01_and_b02_twice_the_voltage_is_half_the_current() -> None:
    meter = Meter("b01-both-on-120-v")
    assert meter.amperes("E1", "E2") == about(83.33, 83.33, within=TENTH_OF_A_PER_CENT)
    assert meter.given_a("L") == pytest.approx(166.67, rel=TENTH_OF_A_PER_CENT)
    meter = Meter("b02-both-on-240-v")
    assert meter.amperes("E1", "E2") == about(41.67, 41.67, within=TENTH_OF_A_PER_CENT)


@pytest.mark.parametrize(
    ("name", "hot_a"), [("b03-10-kw-a-side", 83.33), ("b04-15-kw-a-side", 125)]
)
def test_b03_and_b04_equal_halves_leave_nothing_in_the_neutral(name: str, hot_a: float) -> None:
    meter = Meter(name)
    assert [meter.given_a("L1"), meter.given_a("L2")] == about(
        hot_a, hot_a, within=TENTH_OF_A_PER_CENT
    )
    assert meter.given_a("N") == pytest.approx(0, abs=1e-9)
    assert meter.between("MAINS:L1", "MAINS:L2") == pytest.approx(240)


def test_b06_a_balanced_wye() -> None:
    meter = Meter("b06-balanced-wye")
    assert meter.between("MAINS:L1", "MAINS:L2") == pytest.approx(207.8, rel=TENTH_OF_A_PER_CENT)
    assert meter.given_a("L1") == pytest.approx(83.33, rel=TENTH_OF_A_PER_CENT)
    assert meter.given_a("N") == pytest.approx(0, abs=1e-2)


def test_b07_a_delta_on_two_lines_has_two_elements_in_series() -> None:
    meter = Meter("b07-delta-with-a-winding-lost")
    assert meter.volts("R1", "R2", "R3") == about(208, 104, 104, within=5e-3)


def test_b10_and_b12_balanced_loads_lose_volts_in_the_hots_alone() -> None:
    meter = Meter("b10-three-wires-of-0.2-ohm")
    assert meter.volts("E1", "RN") == about(102, 0)
    assert Meter("b12-three-wires-of-0.1-ohm").volts("E1") == about(104)


def test_b14_a_grounded_neutral_is_at_no_volts_and_each_hot_at_half() -> None:
    meter = Meter("b14-earthed-neutral")
    assert meter.between("MAINS:L1", "MAINS:L2") == pytest.approx(200)
    assert meter.between("MAINS:N", "MAINS:PE") == pytest.approx(0, abs=1e-9)
    assert meter.between("MAINS:L2", "MAINS:PE") == pytest.approx(100)


@pytest.mark.parametrize(
    ("name", "amperes"),
    [
        ("b15-one-lamp", (1, 1, 0)),
        ("b15-equal-lamps", (1, 0, 1)),
        ("b15-unequal-lamps", (2, 1, 1)),
    ],
)
def test_b15_the_neutral_carries_the_difference(name: str, amperes: tuple[float, ...]) -> None:
    meter = Meter(name)
    assert [meter.given_a(pole) for pole in ("L1", "N", "L2")] == about(*amperes, within=1e-6)
