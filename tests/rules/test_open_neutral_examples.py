"""Published examples of a neutral that is lost, each as a panel, solved with the wire open.

`published/examples/examples.jsonl` names the sources; the ids stand beside each check.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.shared_neutrals import SharedNeutrals
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.solve.steady import Steady, solve_state
from tests.annotated import Texts


def case_of(text: str) -> Case:
    panel, mistakes = build_panel("p", gather("p", Texts({"p": text})))
    assert not mistakes
    return Case(panel)


def with_open_neutral(text: str, *loads: str) -> list[float]:
    """Volts at each load with the wire numbered `N` open and everything else on."""
    case = case_of(text)
    solved: SolvedStates = case.conclude(SolvedStates)
    lost = frozenset(wire.index for wire in case.panel.wires if wire.number == "N")
    assert lost
    steady: Steady = solve_state(
        case.panel, solved.stiff, lambda part: True, lambda index: True, without=lost
    )
    parts = [case.panel.parts[case.panel.devices[name].parts[0]] for name in loads]
    return [volts_across(steady, part) for part in parts]


def test_a_kilowatt_and_200_w_on_100_200_v_share_33_and_167_v() -> None:
    # b09: 1000 W and 200 W at 100 V.
    text = """
panel "Single-phase three-wire"
source MAINS 100/200 V AC 60 Hz, three-wire, 5 kA available, neutral bonded here
terminal XN
heater E1 1000 W 100 V AC
heater E2 200 W 100 V AC
circuit "Both sides"
  MAINS:L1 -- E1 -- XN -- E2:1
  E2:2 -- MAINS:L2
  XN --N-- MAINS:N
"""
    assert with_open_neutral(text, "E1", "E2") == pytest.approx([33.33, 166.67], rel=1e-3)
    lost = case_of(text).conclude(SharedNeutrals).lost
    assert not lost  # it is the neutral of the whole source


@pytest.mark.parametrize(
    ("side_r", "volts"), [(110, (190, 190)), (55, (126.7, 253.3)), (36.67, (95, 285))]
)
def test_two_phases_of_380_v_without_their_neutral_share_by_their_ohms(
    side_r: float, volts: tuple[float, float]
) -> None:
    # b16: side S is 110 ohm; within 1 %.
    text = f"""
panel "Two phases"
practice IEC 60204-1
source MAINS 380Y/220 V AC 50 Hz, four-wire, 5 kA available, neutral bonded here
terminal XN
resistor R1 {side_r} ohm
resistor R2 110 ohm
circuit "R and S"
  MAINS:L1 -- R1 -- XN -- R2:1
  R2:2 -- MAINS:L2
  XN --N-- MAINS:N
"""
    assert with_open_neutral(text, "R1", "R2") == pytest.approx(volts, rel=1e-2)


def test_what_stands_across_both_halves_keeps_its_volts() -> None:
    # b17: 40 ohm and 400 ohm on the halves of 125/250 V, 8 ohm across both; within 0.5 %.
    text = """
panel "Edison's three wires"
source MAINS 125/250 V AC 60 Hz, three-wire, 5 kA available, neutral bonded here
terminal XN
resistor R1 40 ohm
resistor R2 400 ohm
resistor R3 8 ohm
circuit "Halves"
  MAINS:L1 -- R1 -- XN -- R2:1
  R2:2 -- MAINS:L2
  XN --N-- MAINS:N
  R1:1 -- R3 -- R2:2
"""
    expected = [22.7, 227.3, 250]
    assert with_open_neutral(text, "R1", "R2", "R3") == pytest.approx(expected, rel=5e-3)
