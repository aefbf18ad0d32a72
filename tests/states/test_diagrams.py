"""Diagrams against truth tables, which are made another way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.states.diagrams import Diagrams, OutOfBudget
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.truth_table import Tables

COUNT = 5


class Pair:
    """The same expressions as diagrams and as tables, over five variables."""

    def __init__(self) -> None:
        self.logic = Logic()
        self.variables = [self.logic.variable(f"x{number}") for number in range(COUNT)]
        self.tables = Tables(self.logic, self.variables)
        # Another order than the tables', so that neither leans on the other's.
        self.order = [self.variables[k] for k in (3, 0, 4, 1, 2)]
        self.store = Diagrams(self.order)

    def written(self, table: int) -> int:
        """The diagram of a table, through an expression of ours."""
        return self.store.of(self.logic, self.tables.written(table))

    def table(self, diagram: int) -> int:
        """Its value in each of the 32 states."""
        found = 0
        for state in range(1 << COUNT):
            values = {v: bool(state >> k & 1) for k, v in enumerate(self.variables)}
            found |= self.store.value(diagram, values) << state
        return found


FULL = (1 << (1 << COUNT)) - 1
functions = st.integers(0, FULL)
places = st.integers(0, COUNT - 1)
some_places = st.sets(places)


@given(functions)
def test_a_diagram_is_the_function_it_was_made_of(table: int) -> None:
    pair = Pair()
    assert table == pair.table(pair.written(table))
    assert FULL ^ table == pair.table(pair.written(table) ^ 1)


@given(functions, functions)
def test_equal_functions_are_the_same_number(one: int, other: int) -> None:
    pair = Pair()
    assert (one == other) == (pair.written(one) == pair.written(other))


@given(functions, functions, functions)
def test_and_or_choice_and_equality_are_those_of_the_tables(f: int, g: int, h: int) -> None:
    pair = Pair()
    store = pair.store
    a, b, c = (pair.written(table) for table in (f, g, h))
    assert f & g == pair.table(store.both(a, b))
    assert f | g == pair.table(store.either(a, b))
    assert f & g | (FULL ^ f) & h == pair.table(store.choose(a, b, c))
    assert FULL ^ f ^ g == pair.table(store.equal(a, b))
    assert f & g & h == pair.table(store.all_of([a, b, c]))
    assert f | g | h == pair.table(store.any_of([a, b, c]))
    assert (f & ~g == 0) == store.implies(a, b)


def somewhere(pair: Pair, table: int, wanted: set[int]) -> int:
    """True where flipping the wanted variables any way makes the table true."""
    for place in wanted:
        table |= pair.tables.flipped(table, place)
    return table


@given(functions, functions, some_places)
def test_variables_taken_away_leave_what_some_or_all_values_give(
    f: int, g: int, wanted: set[int]
) -> None:
    pair = Pair()
    gone = [pair.variables[place] for place in wanted]
    a, b = pair.written(f), pair.written(g)
    assert somewhere(pair, f, wanted) == pair.table(pair.store.exists(a, gone))
    assert FULL ^ somewhere(pair, FULL ^ f, wanted) == pair.table(pair.store.for_all(a, gone))
    assert somewhere(pair, f & g, wanted) == pair.table(pair.store.both_exists(a, b, gone))


@given(functions, st.dictionaries(places, functions))
def test_functions_take_the_place_of_variables_all_at_once(f: int, instead: dict[int, int]) -> None:
    pair = Pair()
    put = {pair.variables[place]: pair.written(table) for place, table in instead.items()}
    expected = 0
    for state in range(1 << COUNT):
        seen = state
        for place, table in instead.items():
            seen = seen & ~(1 << place) | (table >> state & 1) << place
        expected |= (f >> seen & 1) << state
    assert expected == pair.table(pair.store.composed(pair.written(f), put))


@given(functions, st.permutations(range(COUNT)))
def test_variables_change_their_names_all_at_once(f: int, names: list[int]) -> None:
    pair = Pair()
    renamed = pair.store.renamed(
        pair.written(f), {pair.variables[k]: pair.variables[names[k]] for k in range(COUNT)}
    )
    expected = 0
    for state in range(1 << COUNT):
        seen = sum((state >> names[k] & 1) << k for k in range(COUNT))
        expected |= (f >> seen & 1) << state
    assert expected == pair.table(renamed)


@given(functions, st.dictionaries(places, st.booleans()))
def test_given_values_are_held_fixed(f: int, values: dict[int, bool]) -> None:
    pair = Pair()
    fixed = pair.store.given(pair.written(f), {pair.variables[k]: v for k, v in values.items()})
    assert not pair.store.support(fixed) & {pair.variables[k] for k in values}
    within = FULL
    for place, value in values.items():
        within &= pair.tables.masks[place] if value else ~pair.tables.masks[place]
    assert f & within == pair.table(fixed) & within


@given(functions, functions)
def test_what_is_simplified_is_the_same_wherever_it_matters(f: int, care: int) -> None:
    pair = Pair()
    a, b = pair.written(f), pair.written(care)
    simple = pair.store.simplified(a, b)
    assert f & care == pair.table(simple) & care
    assert pair.store.support(simple) <= pair.store.support(a)


@given(functions)
def test_settings_that_make_it_true_are_counted(f: int) -> None:
    pair = Pair()
    diagram = pair.written(f)
    assert f.bit_count() == pair.store.count(diagram)
    least = pair.store.support(diagram)
    assert f.bit_count() == pair.store.count(diagram, least) << COUNT - len(least)


@given(functions)
def test_an_example_makes_it_true(f: int) -> None:
    pair = Pair()
    found = pair.store.example(pair.written(f))
    assert (f == 0) == (found is None)
    if found is not None:
        values = {variable: found.get(variable, False) for variable in pair.variables}
        assert pair.store.value(pair.written(f), values)


@given(functions, functions)
def test_a_sum_of_products_lies_between_its_bounds_and_needs_every_product(
    one: int, other: int
) -> None:
    pair = Pair()
    lower, upper = one & other, one | other
    products = pair.store.sum_of_products(pair.written(lower), pair.written(upper), 100)
    tables = [pair.table(pair.store.product(product)) for product in products]
    covered = [sum_of(tables[:k] + tables[k + 1 :]) for k in range(len(tables))]
    assert lower & ~sum_of(tables) == 0
    assert sum_of(tables) & ~upper == 0
    assert all(lower & ~others for others in covered)


def sum_of(tables: list[int]) -> int:
    found = 0
    for table in tables:
        found |= table
    return found


@given(st.lists(st.tuples(places, st.booleans())))
def test_a_product_is_true_where_all_its_literals_are(literals: list[tuple[int, bool]]) -> None:
    pair = Pair()
    product = pair.store.product(pair.variables[k] ^ negated for k, negated in literals)
    expected = FULL
    for place, negated in literals:
        expected &= ~pair.tables.masks[place] if negated else pair.tables.masks[place]
    assert expected == pair.table(product)


@given(functions)
def test_a_product_is_known_for_one(f: int) -> None:
    pair = Pair()
    found = pair.store.as_product(pair.written(f))
    products = pair.store.sum_of_products(pair.written(f), pair.written(f), 100)
    assert (products[0] if len(products) == 1 else None) == found


@given(st.dictionaries(places, st.booleans()))
def test_a_product_has_its_literals_back(values: dict[int, bool]) -> None:
    pair = Pair()
    literals = {pair.variables[k] ^ negated for k, negated in values.items()}
    assert literals == set(pair.store.as_product(pair.store.product(literals)) or ())


def test_a_variable_stands_in_the_order_once_and_is_no_negation() -> None:
    for order in ([2, 2], [3]):
        with pytest.raises(ValueError, match="each once"):
            Diagrams(order)


def test_bounds_the_wrong_way_round_are_refused() -> None:
    store = Diagrams([2])
    with pytest.raises(ValueError, match="between"):
        store.sum_of_products(TRUE, FALSE, 10)


def test_what_depends_on_more_than_is_counted_is_refused() -> None:
    store = Diagrams([2, 4])
    with pytest.raises(ValueError, match="not counted"):
        store.count(store.variable(2), [4])


def test_a_chain_of_thousands_of_contacts_overflows_no_stack() -> None:
    order = [2 * number for number in range(1, 5_001)]
    store = Diagrams(order)
    chain = store.product(order)
    assert 5_000 == store.size(chain)
    assert 1 == store.count(chain)
    without_first = store.exists(chain, order[:1])
    assert store.implies(chain, without_first)
    assert (tuple(order),) == store.sum_of_products(chain, chain, 10)
    moved = store.composed(chain, {order[-1]: store.variable(order[0]) ^ 1})
    assert FALSE == moved
    assert TRUE == store.simplified(chain, chain)


def test_work_past_the_budget_is_given_up() -> None:
    order = [2 * number for number in range(1, 21)]
    store = Diagrams(order, budget=300)
    with pytest.raises(OutOfBudget):
        # Pairs far apart in the order: the smallest function that is large in it.
        store.any_of(store.product((order[k], order[k + 10])) for k in range(10))


def test_more_products_than_asked_for_are_given_up() -> None:
    order = [2 * number for number in range(1, 7)]
    store = Diagrams(order)
    odd = FALSE
    for variable in order:
        odd = store.equal(odd, store.variable(variable)) ^ 1
    assert 32 == len(store.sum_of_products(odd, odd, 32))
    with pytest.raises(OutOfBudget):
        store.sum_of_products(odd, odd, 31)


@given(functions, st.dictionaries(places, st.booleans()))
def test_an_example_agrees_with_what_is_given_or_there_is_none(
    f: int, told: dict[int, bool]
) -> None:
    pair = Pair()
    given_values = {pair.variables[place]: value for place, value in told.items()}
    diagram = pair.written(f)
    found = pair.store.example(diagram, given_values)
    assert (pair.store.given(diagram, given_values) == FALSE) == (found is None)
    if found is not None:
        assert given_values.items() <= found.items()
        assert pair.store.value(diagram, found)


@given(functions, functions, functions)
def test_what_is_kept_stays_the_same_and_what_is_made_afterwards_is_right(
    f: int, g: int, h: int
) -> None:
    pair = Pair()
    store = pair.store
    kept, waste = pair.written(f), pair.written(g)
    assert g == pair.table(waste)
    store.keep([kept])
    assert f == pair.table(kept)
    assert kept == pair.written(f)
    again = pair.written(h)
    assert h == pair.table(again)
    assert f & h == pair.table(store.both(kept, again))


small_functions = st.integers(0, (1 << 8) - 1)


@given(
    st.lists(small_functions, min_size=2, max_size=2),
    st.lists(small_functions, min_size=2, max_size=2),
    st.lists(st.integers(0, 2 * COUNT - 1), min_size=3, max_size=3, unique=True).map(sorted),
)
def test_diagrams_have_one_shape_exactly_if_they_are_alike_but_for_their_variables(
    ones: list[int], others: list[int], places: list[int]
) -> None:
    """Three variables, and any other three in the same order."""
    store = Diagrams(range(0, 4 * COUNT, 2))

    def written(table: int, variables: list[int]) -> int:
        wanted = [state for state in range(8) if table >> state & 1]
        return store.any_of(
            store.product(v ^ 1 ^ (state >> k & 1) for k, v in enumerate(variables))
            for state in wanted
        )

    first, second = [0, 2, 4], [2 * place for place in places]
    one = store.shape([written(table, first) for table in ones], first)
    other = store.shape([written(table, second) for table in others], second)
    assert (one == other) == (ones == others)
