from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.states.expressions import FALSE, TRUE, Logic, negate
from netcheck.states.truth_table import Tables, lowest

NAMES = ("a", "b", "c", "d")

# An expression in words of its own: a name, or an operation and what it joins.
plain = st.recursive(
    st.sampled_from([*NAMES, "true", "false"]),
    lambda inner: st.one_of(
        st.tuples(st.sampled_from(["and", "or"]), inner, inner),
        st.tuples(st.just("not"), inner),
        st.tuples(st.just("choose"), inner, inner, inner),
    ),
    max_leaves=12,
)


def build(logic: Logic, expression: object) -> int:
    match expression:
        case "true":
            return TRUE
        case "false":
            return FALSE
        case str(name):
            return logic.variable(name)
        case ("and", a, b):
            return logic.both(build(logic, a), build(logic, b))
        case ("or", a, b):
            return logic.either(build(logic, a), build(logic, b))
        case ("not", a):
            return logic.negate(build(logic, a))
        case ("choose", c, a, b):
            return logic.choose(build(logic, c), build(logic, a), build(logic, b))
    raise AssertionError(expression)


def value(expression: object, given_values: dict[str, bool]) -> bool:
    match expression:
        case "true" | "false":
            return expression == "true"
        case str(name):
            return given_values[name]
        case ("and", a, b):
            return value(a, given_values) and value(b, given_values)
        case ("or", a, b):
            return value(a, given_values) or value(b, given_values)
        case ("not", a):
            return not value(a, given_values)
        case ("choose", c, a, b):
            return value(a, given_values) if value(c, given_values) else value(b, given_values)
    raise AssertionError(expression)


def every_assignment() -> list[dict[str, bool]]:
    return [dict(zip(NAMES, v, strict=True)) for v in product([False, True], repeat=len(NAMES))]


def by_literal(logic: Logic, values: dict[str, bool]) -> dict[int, bool]:
    return {logic.variable(name): v for name, v in values.items()}


@given(plain)
def test_an_expression_has_the_value_its_words_have(expression: object) -> None:
    logic = Logic()
    literal = build(logic, expression)
    for values in every_assignment():
        assert value(expression, values) == logic.evaluate(literal, by_literal(logic, values))


@given(plain)
def test_a_truth_table_lists_the_values_of_its_expression(expression: object) -> None:
    logic = Logic()
    variables = [logic.variable(name) for name in NAMES]
    table = Tables(logic, variables).of(build(logic, expression))
    for number in range(16):
        values = {name: bool(number >> place & 1) for place, name in enumerate(NAMES)}
        assert value(expression, values) == bool(table >> number & 1)


@given(plain, plain)
def test_substituting_is_evaluating_with_the_replacement_s_value(
    expression: object, replacement: object
) -> None:
    logic = Logic()
    literal, new = build(logic, expression), build(logic, replacement)
    replaced = logic.substitute(literal, {logic.variable("a"): new})
    for values in every_assignment():
        expected = value(expression, {**values, "a": value(replacement, values)})
        assert expected == logic.evaluate(replaced, by_literal(logic, values))


@given(plain)
def test_an_expression_depends_on_nothing_outside_its_support(expression: object) -> None:
    logic = Logic()
    literal = build(logic, expression)
    support = logic.support(literal)
    for values in every_assignment():
        for name in NAMES:
            if logic.variable(name) not in support:
                changed = {**values, name: not values[name]}
                assert value(expression, values) == value(expression, changed)


@given(plain)
def test_a_variable_met_only_plain_never_makes_its_expression_false(expression: object) -> None:
    logic = Logic()
    signs = logic.polarities(build(logic, expression))
    for name in NAMES:
        for values in every_assignment():
            out = value(expression, {**values, name: False})
            into = value(expression, {**values, name: True})
            if out != into:
                assert into in signs[logic.variable(name)]


def test_simple_identities_are_seen() -> None:
    logic = Logic()
    a, b = logic.variable("a"), logic.variable("b")
    ab = logic.both(a, b)
    assert (FALSE, TRUE) == (logic.both(a, negate(a)), logic.either(a, negate(a)))
    assert (a, a, FALSE) == (logic.both(a, a), logic.both(a, TRUE), logic.both(a, FALSE))
    assert (ab, ab, FALSE) == (logic.both(b, a), logic.both(a, ab), logic.both(negate(a), ab))
    assert logic.both(a, negate(b)) == logic.both(a, negate(ab))
    assert (TRUE, FALSE) == (logic.all_of([]), logic.any_of([]))


def test_a_variable_is_made_once_and_keeps_its_name() -> None:
    logic = Logic()
    a = logic.variable("K1")
    assert a == logic.variable("K1")
    assert "K1" == logic.name_of(negate(a))
    with pytest.raises(KeyError):
        logic.name_of(logic.both(a, logic.variable("K2")))


def test_a_chain_of_a_hundred_thousand_gates_needs_no_recursion() -> None:
    logic = Logic()
    literal = TRUE
    variables = [logic.variable(f"S{number}") for number in range(100)]
    for number in range(100_000):
        literal = negate(logic.both(literal, variables[number % 100] ^ (number // 100 & 1)))
    assert frozenset(variables) == logic.support(literal)
    assert logic.evaluate(literal, dict.fromkeys(variables, False)) in (False, True)
    assert literal == logic.substitute(literal, {variables[0]: variables[0]})


def test_the_lowest_state_of_a_set_is_found() -> None:
    assert [0, 3, 1000] == [lowest(1), lowest(0b1011000), lowest(1 << 1000 | 1 << 2000)]
