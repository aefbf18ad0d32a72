"""Random circuits, written as panel texts, solved here and by two libraries that know none of it.

numpy solves the full matrix of the modified nodal analysis, put together here from the
circuit as it was drawn up and not from the panel; power-grid-model, a library for power
flow in public networks, solves those that are three-phase, and those on DC as what they
are for one phase.  The wires' ohms are the tables', which are held to their published copies.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from power_grid_model import (
    CalculationMethod,
    ComponentType,
    DatasetType,
    LoadGenType,
    PowerGridModel,
    initialize_array,
)

from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.solve.steady import Steady, solve_state
from tests.facts.panels import panel_of

AVAILABLE_A = 500.0
ROUNDED_POLES = 1e-5
"""Poles are kept to the millivolt."""
FACTOR = st.sampled_from([1.0, 0.95, 0.85, 0.7, 0.5, 0.3])


@record
class System:
    """A source as it is written, its poles with their volts, and what loads on it are rated."""

    text: str
    poles: Mapping[str, complex]
    rating: str


def turned(volts: float, degrees: float) -> complex:
    return cmath.rect(volts, math.radians(degrees))


DIRECT = System("battery B1 24 V DC, 500 A available, ungrounded", {"+": 24, "-": 0}, "24 V DC")
SPLIT = System(
    "source B1 120/240 V AC 60 Hz, three-wire, 500 A available, neutral bonded here",
    {"L1": 120, "L2": -120, "N": 0},
    "120 V AC",
)
WYE = System(
    "source B1 208Y/120 V AC 60 Hz, four-wire, 500 A available, neutral bonded here",
    {"L1": turned(120, 0), "L2": turned(120, -120), "L3": turned(120, 120), "N": 0},
    "120 V AC",
)


@record
class Circuit:
    """Junctions hang on poles or each other; loads between any two of both; lengths in metres.

    A load is its ohm and its power factor: a heater if that is 1, else a lamp on a ballast.
    """

    feeders: tuple[tuple[str, str, int], ...]
    loads: tuple[tuple[str, str, int, float, int], ...]

    def text(self, system: System) -> str:
        lines = ['panel "Random"', "wire kind default: 12 AWG copper MTW 90 degC", system.text]
        lines += [f"terminal {junction}" for _, junction, _ in self.feeders]
        lines += [
            described(n, ohm, factor, system.rating)
            for n, (_, _, ohm, factor, _) in enumerate(self.loads)
        ]
        lines.append('circuit "Random"')
        for n, (end, junction, length) in enumerate(self.feeders):
            lines.append(f"  {end} --F{n}-- ({length} m) {junction}")
        for n, (a, b, _, _, length) in enumerate(self.loads):
            lines.append(f"  {a} --A{n}-- ({length} m) HTR{n}:1-2 --B{n}-- ({length} m) {b}")
        return "\n".join(lines) + "\n"


def described(name: str | int, ohm: float, factor: float, rating: str) -> str:
    if factor == 1:
        return f"heater HTR{name} {ohm} ohm {rating}"
    volts = float(rating.split()[0])
    return f"lamp HTR{name} {rating} {volts / ohm:.9f} A power factor {factor}, poles 1-2"


def ohm_of(ohm: float, factor: float) -> complex:
    return cmath.rect(ohm, math.acos(factor))


@st.composite
def circuits(draw: st.DrawFn, system: System) -> Circuit:
    points = [f"B1:{pole}" for pole in system.poles]
    feeders = []
    for n in range(draw(st.integers(0, 4))):
        feeders.append((draw(st.sampled_from(points)), f"X{n}", draw(st.integers(1, 300))))
        points.append(f"X{n}")
    pair = st.lists(st.sampled_from(points), min_size=2, max_size=2, unique=True)
    loads = []
    for _ in range(draw(st.integers(1, 6))):
        a, b = draw(pair)
        factor = 1.0 if system is DIRECT else draw(FACTOR)
        loads.append((a, b, draw(st.integers(1, 500)), factor, draw(st.integers(1, 300))))
    return Circuit(tuple(feeders), tuple(loads))


def solved(text: str, *, stiff: bool = False) -> tuple[Panel, Steady, Mapping[str, complex]]:
    """With the ohms of each numbered wire; without reactance where there is only DC.

    With `stiff`, the source gives what is asked of it.
    """
    panel = panel_of(text)
    ratings = Case(panel).conclude(ComponentValues).ratings
    used = replace(ratings, source_ohm={}) if stiff else ratings
    steady = solve_state(panel, used, lambda part: True, lambda index: True)
    ohms = {wire.number: ratings.wire_ohm[wire.index] for wire in panel.wires}
    if panel.sources[0].kind == "DC":
        ohms = {number: complex(ohm.real) for number, ohm in ohms.items()}
    return panel, steady, ohms


def across(panel: Panel, steady: Steady, name: str) -> complex:
    part = panel.parts[panel.devices[name].parts[0]]
    volts = steady.volts(part.a, part.b)
    assert volts is not None
    return sum(volts.values(), 0j)


def by_matrix(
    system: System, circuit: Circuit, wire_ohm: Mapping[str, complex]
) -> dict[str, complex]:
    """Volts by load, from the full matrix: a row for each node, one for each ideal source."""
    branches: list[tuple[str, str, complex]] = []
    strength = max(map(abs, system.poles.values())) / AVAILABLE_A
    for pole, volts in system.poles.items():
        if volts:
            branches.append((f"inside {pole}", f"B1:{pole}", strength))
    for n, (end, junction, _) in enumerate(circuit.feeders):
        branches.append((end, junction, wire_ohm[f"F{n}"]))
    for n, (a, b, ohm, factor, _) in enumerate(circuit.loads):
        branches.append((a, f"HTR{n}:1", wire_ohm[f"A{n}"]))
        branches.append((f"HTR{n}:1", f"HTR{n}:2", ohm_of(ohm, factor)))
        branches.append((f"HTR{n}:2", b, wire_ohm[f"B{n}"]))
    home = next(f"B1:{pole}" for pole, volts in system.poles.items() if not volts)
    nodes = sorted({end for a, b, _ in branches for end in (a, b)} | {home})
    driven = [(pole, volts) for pole, volts in system.poles.items() if volts]
    place = {node: index for index, node in enumerate(nodes)}
    size = len(nodes) + len(driven) + 1
    matrix, right = np.zeros((size, size), complex), np.zeros(size, complex)
    for start, end, impedance in branches:
        i, j, siemens = place[start], place[end], 1 / impedance
        matrix[i, i] += siemens
        matrix[j, j] += siemens
        matrix[i, j] -= siemens
        matrix[j, i] -= siemens
    held = [(f"inside {pole}", volts) for pole, volts in driven] + [(home, 0)]
    for row, (node, volts) in enumerate(held, len(nodes)):
        matrix[row, place[node]] = matrix[place[node], row] = 1
        right[row] = volts
    found = np.linalg.solve(matrix, right)
    return {
        f"HTR{n}": complex(found[place[f"HTR{n}:1"]] - found[place[f"HTR{n}:2"]])
        for n in range(len(circuit.loads))
    }


@pytest.mark.parametrize("system", [DIRECT, SPLIT, WYE], ids=["DC", "split-phase", "wye"])
def test_a_full_matrix_gives_the_same_volts(system: System) -> None:
    @settings(max_examples=60, deadline=None)
    @given(circuits(system))
    def agrees(circuit: Circuit) -> None:
        panel, steady, wire_ohm = solved(circuit.text(system))
        for name, volts in by_matrix(system, circuit, wire_ohm).items():
            assert across(panel, steady, name) == pytest.approx(volts, rel=ROUNDED_POLES, abs=1e-4)

    agrees()


# ---- power flow ------------------------------------------------------------------------------


def by_power_flow(
    volts: float, phases: list[list[complex]], feeder: complex, branch: list[complex]
) -> list[list[float]]:
    """Volts to neutral by load and phase, of loads on one junction behind a feeder.

    `phases` are the ohms of each load in its three phases, lagging if they have reactance.
    The library knows three-phase networks only, with voltages line to line and loads in watts.
    """
    line_to_line = volts * math.sqrt(3)
    nodes = initialize_array(DatasetType.input, ComponentType.node, 2 + len(phases))
    nodes["id"] = np.arange(len(nodes))
    nodes["u_rated"] = line_to_line
    lines = initialize_array(DatasetType.input, ComponentType.line, 1 + len(phases))
    lines["id"] = 100 + np.arange(len(lines))
    lines["from_node"] = [0] + [1] * len(phases)
    lines["to_node"] = 1 + np.arange(len(lines))
    lines["from_status"] = lines["to_status"] = 1
    ohms = np.array([feeder, *branch])
    for key, value in (("r", ohms.real), ("x", ohms.imag)):
        lines[f"{key}1"] = lines[f"{key}0"] = value
    lines["c1"] = lines["tan1"] = lines["c0"] = lines["tan0"] = 0.0
    loads = initialize_array(DatasetType.input, ComponentType.asym_load, len(phases))
    loads["id"] = 200 + np.arange(len(loads))
    loads["node"] = 2 + np.arange(len(loads))
    loads["status"] = 1
    loads["type"] = LoadGenType.const_impedance
    powers = volts**2 / np.conj(np.array(phases, complex))
    loads["p_specified"], loads["q_specified"] = powers.real, powers.imag
    source = initialize_array(DatasetType.input, ComponentType.source, 1)
    source["id"], source["node"], source["status"], source["u_ref"] = [300], [0], [1], [1.0]
    source["sk"] = [1e15]
    model = PowerGridModel({"node": nodes, "line": lines, "asym_load": loads, "source": source})
    found = model.calculate_power_flow(
        symmetric=False, calculation_method=CalculationMethod.linear, error_tolerance=1e-10
    )
    return [[float(value) for value in row] for row in found["node"]["u"][2:]]


LENGTH = st.integers(10, 300)
LOAD = st.tuples(st.integers(2, 300), FACTOR)


@settings(max_examples=40, deadline=None)
@given(LENGTH, st.lists(st.tuples(LENGTH, st.tuples(LOAD, LOAD, LOAD)), min_size=1, max_size=4))
def test_power_flow_gives_the_same_volts_on_an_unbalanced_wye(
    feeder_m: int, loads: list[tuple[int, tuple[tuple[int, float], ...]]]
) -> None:
    """The neutral is next to without resistance here; the library has it without any."""
    lines = ['panel "Random"', "wire kind default: 12 AWG copper MTW 90 degC", WYE.text]
    lines += [f"terminal X{phase}" for phase in (1, 2, 3)]
    lines += [
        described(f"{n}{phase}", *one, "120 V AC")
        for n, (_, three) in enumerate(loads)
        for phase, one in enumerate(three, 1)
    ]
    lines.append('circuit "Random"')
    lines += [f"  B1:L{phase} --F{phase}-- ({feeder_m} m) X{phase}" for phase in (1, 2, 3)]
    lines += [
        f"  X{phase} --A{n}{phase}-- ({length} m) HTR{n}{phase}:1-2 --N{n}{phase}-- (0.001 m) B1:N"
        for n, (length, _) in enumerate(loads)
        for phase in (1, 2, 3)
    ]
    panel, steady, ohm = solved("\n".join(lines) + "\n", stiff=True)
    ways = [ohm[f"A{n}1"] for n in range(len(loads))]
    three = [[ohm_of(*one) for one in load] for _, load in loads]
    expected = by_power_flow(120, three, ohm["F1"], ways)
    for n, row in enumerate(expected):
        for phase, volts in enumerate(row, 1):
            got = abs(across(panel, steady, f"HTR{n}{phase}"))
            assert got == pytest.approx(volts, rel=ROUNDED_POLES)


@settings(max_examples=40, deadline=None)
@given(LENGTH, st.lists(st.tuples(LENGTH, st.integers(2, 300)), min_size=1, max_size=5))
def test_power_flow_gives_the_same_volts_on_dc(feeder_m: int, loads: list[tuple[int, int]]) -> None:
    """Resistance alone: each phase of a balanced network is the circuit, home for nothing."""
    feeders = (("B1:+", "X0", feeder_m),)
    circuit = Circuit(feeders, tuple(("X0", "B1:-", ohm, 1.0, length) for length, ohm in loads))
    panel, steady, ohm = solved(circuit.text(DIRECT), stiff=True)
    ways = [ohm[f"A{n}"] + ohm[f"B{n}"] for n in range(len(loads))]
    expected = by_power_flow(24, [[complex(one)] * 3 for _, one in loads], ohm["F0"], ways)
    for n, row in enumerate(expected):
        got = abs(across(panel, steady, f"HTR{n}"))
        assert got == pytest.approx(row[0], rel=1e-6)
