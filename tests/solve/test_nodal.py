import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.solve.nodal import Branch, SourcesInConflict, Undetermined, Winding, solve


def test_two_resistors_divide_a_voltage_by_ohms_law() -> None:
    found = solve([Branch("s", "0", 0, 24), Branch("s", "m", 8), Branch("m", "0", 16)])
    assert found.volts("m", "0") == pytest.approx(16)
    assert found.current_a(1) == pytest.approx(1)
    assert found.current_a(0) == pytest.approx(-1)


def test_two_batteries_in_series_add() -> None:
    found = solve([Branch("a", "b", 0, 12), Branch("b", "c", 0, 12), Branch("a", "c", 48)])
    assert found.volts("a", "c") == pytest.approx(24)
    assert found.current_a(1) == pytest.approx(-0.5)


def test_an_open_neutral_puts_two_loads_in_series_across_both_legs() -> None:
    # 240 V over 12 ohm and 24 ohm: 80 V and 160 V (Ohm's law).
    legs = [Branch("L1", "N", 0.01, 120), Branch("L2", "N", 0.01, -120)]
    found = solve([*legs, Branch("L1", "x", 12), Branch("L2", "x", 24)])
    a, b = found.volts("L1", "x"), found.volts("x", "L2")
    assert a is not None
    assert b is not None
    assert abs(a) == pytest.approx(80, rel=1e-3)
    assert abs(b) == pytest.approx(160, rel=1e-3)


def test_a_lagging_load_has_its_phase() -> None:
    found = solve([Branch("L", "N", 0, 120), Branch("L", "N", 3 + 4j)])
    current = found.current_a(1)
    assert current is not None
    assert abs(current) == pytest.approx(24)
    assert math.degrees(math.atan2(current.imag, current.real)) == pytest.approx(-53.13, abs=0.01)


def test_a_transformer_fed_on_either_side_has_the_voltage_of_its_ratio_on_the_other() -> None:
    forward = solve([Branch("p", "q", 0, 480)], [Winding("p", "q", "s", "t", 0.25, 0.1)])
    assert forward.volts("s", "t") == pytest.approx(120)
    backward = solve([Branch("s", "t", 0, 120)], [Winding("p", "q", "s", "t", 0.25, 0.1)])
    assert backward.volts("p", "q") == pytest.approx(480)


def test_a_transformer_takes_in_what_it_gives_by_its_ratio() -> None:
    found = solve(
        [Branch("p", "q", 0, 480), Branch("s", "t", 12)], [Winding("p", "q", "s", "t", 0.25, 1e-6)]
    )
    assert found.winding_a(0) == pytest.approx(10, rel=1e-5)
    assert found.current_a(0) == pytest.approx(-2.5, rel=1e-5)


def test_the_secondary_of_an_isolating_transformer_floats() -> None:
    found = solve([Branch("p", "q", 0, 480)], [Winding("p", "q", "s", "t", 0.25, 0.1)])
    assert found.volts("p", "s") is None


def test_what_hangs_on_nothing_is_said_to_be_undetermined() -> None:
    with pytest.raises(Undetermined):
        solve([Branch("x", "y", 0, 24)], [Winding("p", "q", "s", "t", 0.25, 0.1)])


def test_ideal_sources_of_different_voltage_side_by_side_are_in_conflict() -> None:
    with pytest.raises(SourcesInConflict):
        solve([Branch("a", "b", 0, 24), Branch("a", "b", 0, 12)])


def test_a_load_whose_ends_are_one_node_takes_nothing_and_changes_nothing() -> None:
    around = [Branch("s", "0", 0, 24), Branch("s", "a", 12), Branch("a", "0", 12)]
    found = solve([*around, Branch("a", "a", 5)])
    assert found.volts("a", "0") == pytest.approx(12)
    assert found.current_a(3) == pytest.approx(0)


def test_how_ideal_wires_side_by_side_share_is_not_told() -> None:
    branches = [
        Branch("s", "0", 0, 24),
        Branch("s", "a", 0),
        Branch("s", "a", 0),
        Branch("a", "0", 12),
    ]
    found = solve(branches)
    assert found.current_a(0) == pytest.approx(-2)
    assert [found.current_a(1), found.current_a(2)] == [None, None]


Networks = st.lists(
    st.tuples(
        st.integers(0, 6),
        st.integers(0, 6),
        st.sampled_from([1, 2, 5, 1000, 1_000_000, Fraction(1, 1000)]),
        st.sampled_from([0, 0, 0, 24, -12, 120]),
    ).filter(lambda one: one[0] != one[1]),
    min_size=1,
    max_size=14,
)


@settings(max_examples=300, deadline=None)
@given(Networks)
def test_it_agrees_with_exact_fractions(
    network: list[tuple[int, int, int | Fraction, int]],
) -> None:
    # A milliohm beside a megohm costs nine of sixteen digits: a tenth of a millivolt is left.
    found = solve([Branch(a, b, float(ohm), volts) for a, b, ohm, volts in network])
    exact = exact_potentials(network)
    for a, b, _, _ in network:
        assert found.volts(a, b) == pytest.approx(float(exact[a] - exact[b]), rel=1e-6, abs=1e-4)


@settings(max_examples=200, deadline=None)
@given(Networks, st.lists(st.tuples(st.integers(0, 6), st.integers(7, 12)), max_size=5))
def test_currents_add_to_nought_at_every_node(
    network: list[tuple[int, int, int | Fraction, int]], ideal: list[tuple[int, int]]
) -> None:
    branches = [Branch(a, b, float(ohm), volts) for a, b, ohm, volts in network]
    branches += [Branch(a, b, 0) for a, b in ideal]
    branches += [Branch(b, a, 10.0, 5) for a, b in ideal]
    found = solve(branches)
    sums: dict[object, complex] = {}
    unknown: set[object] = set()
    for index, branch in enumerate(branches):
        current = found.current_a(index)
        if current is None:
            unknown.update((branch.a, branch.b))
            continue
        sums[branch.a] = sums.get(branch.a, 0) + current
        sums[branch.b] = sums.get(branch.b, 0) - current
    for node, amperes in sums.items():
        if node not in unknown:
            assert abs(amperes) == pytest.approx(0, abs=1e-3)


def exact_potentials(
    network: list[tuple[int, int, int | Fraction, int]],
) -> dict[int, Fraction]:
    """The same by Gauss-Jordan elimination in fractions, on the whole matrix."""
    nodes = sorted({node for a, b, _, _ in network for node in (a, b)})
    place = {node: index for index, node in enumerate(nodes)}
    size = len(nodes)
    matrix = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for a, b, ohm, volts in network:
        g = 1 / Fraction(ohm)
        i, j = place[a], place[b]
        for row, column, sign in ((i, i, 1), (j, j, 1), (i, j, -1), (j, i, -1)):
            matrix[row][column] += sign * g
        matrix[i][size] += g * volts
        matrix[j][size] -= g * volts
    potentials = [Fraction(0)] * size
    pivots: list[tuple[int, int]] = []
    row = 0
    for column in range(size):
        best = next((r for r in range(row, size) if matrix[r][column]), None)
        if best is None:
            continue
        matrix[row], matrix[best] = matrix[best], matrix[row]
        head = matrix[row][column]
        matrix[row] = [value / head for value in matrix[row]]
        for other in range(size):
            if other != row and matrix[other][column]:
                factor = matrix[other][column]
                matrix[other] = [
                    mine - factor * theirs
                    for mine, theirs in zip(matrix[other], matrix[row], strict=True)
                ]
        pivots.append((row, column))
        row += 1
    for at, column in pivots:
        potentials[column] = matrix[at][size]
    return {node: potentials[place[node]] for node in nodes}
