"""Conditions of conduction against a walk through every state, and against networkx."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import reduce
from itertools import permutations
from random import Random

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.network.conduction import NO_ISLAND, Conduction, ConductionPath, Edge
from netcheck.states.expressions import Logic
from tests.network.truth_tables import Gates, TruthTables


@dataclass(frozen=True)
class Circuit:
    vertex_count: int
    edges: list[Edge]
    rails: list[int]
    tables: TruthTables

    def conduction(self) -> Conduction:
        return Conduction(self.vertex_count, self.edges, self.rails, self.tables)

    def steps(self, assignment: int) -> list[tuple[int, int]]:
        """The directed steps that can be walked in one state."""
        holds = self.tables.holds
        forward = [(e.u, e.v) for e in self.edges if holds(e.forward, assignment)]
        return forward + [(e.v, e.u) for e in self.edges if holds(e.backward, assignment)]


@st.composite
def circuits(draw: st.DrawFn, directed: bool = True) -> Circuit:
    vertex_count = draw(st.integers(1, 8))
    tables = TruthTables(draw(st.integers(1, 5)))
    literals = [0, 1, *tables.variables, *map(tables.negate, tables.variables)]
    vertex = st.integers(0, vertex_count - 1)
    literal = st.sampled_from(literals)
    edges = []
    for label, (u, v) in enumerate(draw(st.lists(st.tuples(vertex, vertex), max_size=12))):
        forward = backward = draw(literal)
        if directed and draw(st.booleans()):
            backward = draw(st.just(0) | literal)
        edges.append(Edge(u, v, forward, backward, label))
    rails = draw(st.lists(vertex, unique=True, min_size=1, max_size=4))
    return Circuit(vertex_count, edges, rails, tables)


def walked(circuit: Circuit, start: int, end: int, assignment: int) -> bool:
    """Whether a plain walk comes from start to end and steps on no rail between."""
    reached, fresh = {start}, [start]
    while fresh:
        vertex = fresh.pop()
        if vertex != start and vertex in circuit.rails:
            continue
        new = {v for u, v in circuit.steps(assignment) if u == vertex} - reached
        reached |= new
        fresh.extend(new)
    return end in reached


def brute_force(circuit: Circuit, start: int, end: int) -> int:
    return circuit.tables.from_cases(
        [walked(circuit, start, end, i) for i in range(circuit.tables.assignment_count)]
    )


def by_networkx(circuit: Circuit, start: int, end: int) -> int:
    cases = []
    for assignment in range(circuit.tables.assignment_count):
        graph = nx.DiGraph(circuit.steps(assignment))
        graph.add_nodes_from(range(circuit.vertex_count))
        graph.remove_nodes_from(set(circuit.rails) - {start, end})
        cases.append(nx.has_path(graph, start, end))
    return circuit.tables.from_cases(cases)


Oracle = Callable[[Circuit, int, int], int]


def assert_every_answer_is(oracle: Oracle, circuit: Circuit) -> None:
    conduction = circuit.conduction()
    for rail in circuit.rails:
        for vertex in range(circuit.vertex_count):
            assert oracle(circuit, rail, vertex) == conduction.from_rail(vertex, rail)
            assert oracle(circuit, vertex, rail) == conduction.to_rail(vertex, rail)
    for start, end in permutations(circuit.rails, 2):
        assert oracle(circuit, start, end) == conduction.rail_join(start, end)


@given(circuits())
@settings(max_examples=200)
def test_every_condition_is_what_a_walk_through_every_state_finds(circuit: Circuit) -> None:
    assert_every_answer_is(brute_force, circuit)


@given(circuits())
@settings(max_examples=30)
def test_every_condition_is_what_networkx_finds(circuit: Circuit) -> None:
    assert_every_answer_is(by_networkx, circuit)


@given(circuits(directed=False))
def test_without_one_way_parts_both_directions_are_one_condition(circuit: Circuit) -> None:
    conduction = circuit.conduction()
    for rail in circuit.rails:
        for vertex in range(circuit.vertex_count):
            assert brute_force(circuit, rail, vertex) == conduction.from_rail(vertex, rail)
            assert conduction.to_rail(vertex, rail) == conduction.from_rail(vertex, rail)


@given(circuits(), st.randoms(use_true_random=False))
def test_answers_do_not_depend_on_what_was_asked_before(circuit: Circuit, random: Random) -> None:
    questions = [(v, r) for v in range(circuit.vertex_count) for r in circuit.rails]
    first = circuit.conduction()
    expected = {(v, r): first.from_rail(v, r) for v, r in questions}
    random.shuffle(questions)
    second = circuit.conduction()
    assert expected == {(v, r): second.from_rail(v, r) for v, r in questions}


@given(circuits())
def test_islands_are_what_is_left_without_the_rails(circuit: Circuit) -> None:
    conduction = circuit.conduction()
    able = [e for e in circuit.edges if (e.forward, e.backward) != (0, 0)]
    graph = nx.Graph([(e.u, e.v) for e in able])
    graph.add_nodes_from(range(circuit.vertex_count))
    without = graph.copy()
    without.remove_nodes_from(circuit.rails)
    for part in nx.connected_components(without):
        assert 1 == len({conduction.island(vertex) for vertex in part})
        touching = {r for r in circuit.rails if part & set(graph[r])}
        assert {tuple(sorted(touching))} == {conduction.rails_at(vertex) for vertex in part}
    parts = nx.number_connected_components(without)
    numbers = {conduction.island(v) for v in without}
    assert parts == len(numbers)
    for rail in circuit.rails:
        assert NO_ISLAND == conduction.island(rail)
        assert (rail,) == conduction.rails_at(rail)


@given(circuits())
def test_rails_not_listed_as_a_pair_never_join(circuit: Circuit) -> None:
    conduction = circuit.conduction()
    pairs = conduction.rail_pairs()
    assert sorted(set(pairs)) == pairs
    for start, end in permutations(circuit.rails, 2):
        if (min(start, end), max(start, end)) not in pairs:
            assert 0 == conduction.rail_join(start, end)


@given(circuits(), st.data())
def test_a_path_is_found_in_a_state_just_when_the_condition_holds(
    circuit: Circuit, data: st.DataObject
) -> None:
    conduction = circuit.conduction()
    assignment = data.draw(st.integers(0, circuit.tables.assignment_count - 1))
    rail = data.draw(st.sampled_from(circuit.rails))
    vertex = data.draw(st.integers(0, circuit.vertex_count - 1))
    holds = circuit.tables.holds
    path = conduction.path_where(rail, vertex, lambda condition: holds(condition, assignment))
    assert holds(conduction.from_rail(vertex, rail), assignment) == (path is not None)
    if path is not None:
        assert_can_be_walked(circuit, path, assignment)
        assert not set(path.vertices[1:-1]) & set(circuit.rails)


def assert_can_be_walked(circuit: Circuit, path: ConductionPath, assignment: int) -> None:
    assert len(path.labels) == len(path.vertices) - 1
    for u, v, label in zip(path.vertices, path.vertices[1:], path.labels, strict=False):
        edge = circuit.edges[label]
        steps = {(edge.u, edge.v): edge.forward, (edge.v, edge.u): edge.backward}
        if edge.u != edge.v:
            assert circuit.tables.holds(steps[u, v], assignment)


@given(circuits(), st.data())
def test_a_path_is_the_earliest_of_the_shortest(circuit: Circuit, data: st.DataObject) -> None:
    closed = data.draw(st.sets(st.integers(0, 11)))
    vertex = st.integers(0, circuit.vertex_count - 1)
    start, end = data.draw(vertex), data.draw(vertex)
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(circuit.vertex_count))
    for edge in circuit.edges:
        if edge.label in closed and edge.forward != 0:
            graph.add_edge(edge.u, edge.v, key=edge.label)
        if edge.label in closed and edge.backward != 0:
            graph.add_edge(edge.v, edge.u, key=edge.label)
    path = circuit.conduction().conduction_path(start, end, closed.__contains__, through_rails=True)
    if start == end:
        assert ConductionPath((start,), ()) == path
    else:
        listed = [
            tuple(key for _, _, key in p) for p in nx.all_simple_edge_paths(graph, start, end)
        ]
        expected = min(listed, key=lambda labels: (len(labels), labels), default=None)
        assert expected == (path and path.labels)


@given(st.randoms(use_true_random=False), st.integers(10, 50), st.sampled_from([0.8, 1.1, 1.5]))
@settings(max_examples=40)
def test_conditions_made_of_gates_hold_in_larger_circuits(
    random: Random, vertex_count: int, edges_a_vertex: float
) -> None:
    logic = Logic()
    variables = [logic.variable(f"S{i}") for i in range(int(vertex_count * edges_a_vertex))]
    literals = [0, 1, *variables, *variables, *map(logic.negate, variables)]
    edges = []
    for label in range(len(variables)):
        u = random.randrange(vertex_count)
        v = min(vertex_count - 1, u + random.randrange(1, 5))
        forward = random.choice(literals)
        edges.append(Edge(u, v, forward, random.choice([0, forward, forward, forward]), label))
    rails = random.sample(range(vertex_count), 3)
    conduction = Conduction(vertex_count, edges, rails, logic)
    state = {variable: random.random() < 0.7 for variable in variables}
    graph = nx.DiGraph()
    graph.add_nodes_from(range(vertex_count))
    graph.add_edges_from((e.u, e.v) for e in edges if logic.evaluate(e.forward, state))
    graph.add_edges_from((e.v, e.u) for e in edges if logic.evaluate(e.backward, state))
    for rail in rails:
        for vertex in range(vertex_count):
            past = graph.copy()
            past.remove_nodes_from(set(rails) - {rail, vertex})
            reached = logic.evaluate(conduction.from_rail(vertex, rail), state)
            returned = logic.evaluate(conduction.to_rail(vertex, rail), state)
            assert nx.has_path(past, rail, vertex) == reached
            assert nx.has_path(past, vertex, rail) == returned


def contact(u: int, v: int, condition: int, label: int = 0) -> Edge:
    return Edge(u, v, condition, condition, label)


def test_a_seal_in_holds_the_coil_only_while_stop_is_not_pressed() -> None:
    # The three-wire start and stop circuit of motor control (common practice, no source).
    tables = TruthTables(3)
    stop_released, start, relay = tables.variables
    control, after_stop, coil = range(3)
    edges = [
        contact(control, after_stop, stop_released),
        contact(after_stop, coil, start),
        contact(after_stop, coil, relay),
    ]
    expected = tables.both(stop_released, tables.either(start, relay))
    assert expected == Conduction(3, edges, [control], tables).from_rail(coil, control)


def test_a_bridge_contact_conducts_both_ways() -> None:
    # The four ways across, listed by hand: through two arms, or through three by the bridge.
    tables = TruthTables(5)
    a, b, c, d, e = tables.variables
    edges = [
        contact(0, 1, a),
        contact(1, 3, b),
        contact(0, 2, c),
        contact(2, 3, d),
        contact(1, 2, e),
    ]
    ways = [tables.both(a, b), tables.both(c, d)]
    ways += [tables.both(tables.both(a, e), d), tables.both(tables.both(c, e), b)]
    expected = reduce(tables.either, ways)
    assert expected == Conduction(4, edges, [0, 3], tables).rail_join(0, 3)
    assert expected == Conduction(4, edges, [3, 0], tables).rail_join(3, 0)


def test_a_diode_across_a_bridge_conducts_one_way() -> None:
    tables = TruthTables(4)
    a, b, c, d = tables.variables
    edges = [
        contact(0, 1, a),
        contact(1, 3, b),
        contact(0, 2, c),
        contact(2, 3, d),
        Edge(1, 2, 1, 0, label=4),
    ]
    conduction = Conduction(4, edges, [0, 3], tables)
    straight = tables.either(tables.both(a, b), tables.both(c, d))
    assert tables.either(straight, tables.both(a, d)) == conduction.rail_join(0, 3)
    assert tables.either(straight, tables.both(c, b)) == conduction.rail_join(3, 0)


@pytest.mark.parametrize("ring", list(permutations(range(4))))
def test_a_ring_of_diodes_leads_all_the_way_round(ring: tuple[int, ...]) -> None:
    edges = [Edge(u, v, 1, 0, 0) for u, v in zip(ring, ring[1:] + ring[:1], strict=True)]
    conduction = Conduction(4, edges, [0], TruthTables(0))
    assert [1] * 4 == [conduction.from_rail(vertex, 0) for vertex in range(4)]
    assert [1] * 4 == [conduction.to_rail(vertex, 0) for vertex in range(4)]


def test_a_rail_ends_the_path() -> None:
    tables = TruthTables(2)
    a, b = tables.variables
    conduction = Conduction(4, [contact(0, 1, a), contact(1, 2, b)], [0, 1], tables)
    assert 0 == conduction.from_rail(2, 0)
    assert b == conduction.from_rail(2, 1)
    assert a == conduction.rail_join(0, 1)


def test_a_vertex_with_nothing_on_it_is_reached_from_no_rail() -> None:
    conduction = Conduction(3, [], [0, 1], TruthTables(0))
    assert 0 == conduction.from_rail(2, 0)
    assert () == conduction.rails_at(2)
    assert 1 == conduction.from_rail(0, 0)
    assert 0 == conduction.rail_join(0, 1)
    assert [] == conduction.rail_pairs()


def test_a_question_about_what_is_no_rail_is_refused() -> None:
    conduction = Conduction(3, [], [0, 1], TruthTables(0))
    with pytest.raises(ValueError, match="vertex 2 is not a rail"):
        conduction.from_rail(0, 2)
    with pytest.raises(ValueError, match="vertex 2 is not a rail"):
        conduction.to_rail(0, 2)
    with pytest.raises(ValueError, match="vertex 2 is not a rail"):
        conduction.rail_join(0, 2)
    with pytest.raises(ValueError, match="rail 1 is asked to join itself"):
        conduction.rail_join(1, 1)


def test_a_question_cut_short_can_be_asked_again() -> None:
    class OutOfBudget(Exception):
        pass

    class Budget(TruthTables):
        left = 3

        def both(self, a: int, b: int, /) -> int:
            self.left -= 1
            if self.left < 0:
                raise OutOfBudget
            return super().both(a, b)

    tables = Budget(4)
    edges = [contact(i, i + 1, literal) for i, literal in enumerate(tables.variables)]
    conduction = Conduction(5, edges, [0], tables)
    with pytest.raises(OutOfBudget):
        conduction.from_rail(4, 0)
    tables.left = 100
    assert tables.from_cases([i == 15 for i in range(16)]) == conduction.from_rail(4, 0)


def test_a_witness_takes_the_direct_way_and_keeps_off_other_rails() -> None:
    edges = [contact(0, 1, 1, 10), contact(1, 3, 1, 11), contact(0, 2, 1, 12), contact(2, 4, 1, 13)]
    edges.append(contact(4, 3, 1, 14))
    conduction = Conduction(5, edges, [0, 1], TruthTables(0))
    past_rail = conduction.conduction_path(0, 3, lambda label: True, through_rails=True)
    assert ConductionPath((0, 1, 3), (10, 11)) == past_rail
    expected = ConductionPath((0, 2, 4, 3), (12, 13, 14))
    assert expected == conduction.conduction_path(0, 3, lambda label: True)
    assert conduction.conduction_path(0, 3, lambda label: label != 13) is None


def test_a_chain_of_20_000_contacts_needs_no_recursion() -> None:
    count = 20_000
    edges = [contact(i, i + 1, i + 2, i) for i in range(count - 1)]
    gates = Gates(count + 2)
    conduction = Conduction(count, edges, [0, count - 1], gates)
    assert conduction.from_rail(count - 2, 0) == conduction.to_rail(count - 2, 0)
    conduction.rail_join(0, count - 1)
    assert count - 2 == gates.count
    path = conduction.conduction_path(0, count - 1, lambda label: True)
    assert path is not None
    assert tuple(range(count - 1)) == path.labels


def rungs(count: int) -> tuple[int, list[Edge], list[int]]:
    """Start and stop rungs behind one master contact, every tenth tied to the next.

    Vertex 0 is the rail, 1 the bus behind the master contact, then two a rung.
    """
    edges = [contact(0, 1, 2)]
    literal = 3
    for i in range(count):
        after_stop, coil = 2 + 2 * i, 3 + 2 * i
        for u, v in [(1, after_stop), (after_stop, coil), (after_stop, coil)]:
            edges.append(contact(u, v, literal))
            literal += 1
        if i % 10 == 9:
            edges.append(contact(coil, after_stop - 2, literal))
            literal += 1
    return literal, edges, [3 + 2 * i for i in range(count)]


def gates_for(count: int) -> int:
    literal, edges, coils = rungs(count)
    gates = Gates(literal)
    conduction = Conduction(2 + 2 * count, edges, [0], gates)
    for coil in coils:
        conduction.from_rail(coil, 0)
    return gates.count


def test_gates_for_all_loads_of_one_island_grow_in_step_with_its_rungs() -> None:
    # One island throughout: each rung hangs on the bus behind the master contact.
    assert gates_for(3_000) == 10 * gates_for(300)


def test_a_long_mesh_that_is_one_block_grows_in_step_with_its_length() -> None:
    # Two lines of contacts tied at every step: no cut vertex anywhere.
    def gates_made(steps: int) -> int:
        ends = [(2 * i + side, 2 * i + side + 2) for i in range(steps) for side in (0, 1)]
        ends += [(2 * i, 2 * i + 1) for i in range(steps + 1)]
        edges = [contact(u, v, k + 2) for k, (u, v) in enumerate(ends)]
        gates = Gates(len(edges) + 2)
        conduction = Conduction(2 * steps + 2, edges, [0], gates)
        for vertex in range(2 * steps + 2):
            conduction.from_rail(vertex, 0)
        return gates.count

    once, twice, thrice = gates_made(500), gates_made(1_000), gates_made(1_500)
    assert abs((thrice - twice) - (twice - once)) <= once // 100
    assert twice <= 2.05 * once


def test_a_grid_of_contacts_ten_by_ten_stays_small() -> None:
    side = 10
    ends = [(i, i + 1) for i in range(side * side) if i % side != side - 1]
    ends += [(i, i + side) for i in range(side * (side - 1))]
    edges = [contact(u, v, k + 2) for k, (u, v) in enumerate(ends)]
    gates = Gates(len(edges) + 2)
    corner = side * side - 1
    Conduction(side * side, edges, [0, corner], gates).rail_join(0, corner)
    # A mesh never wider than twice the side: fewer than 2 x 100 x (2 x 10)^2 gates.
    assert gates.count < 80_000
