"""Putting in what must be so changes no answer: held to every assignment tried in turn."""

from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.reduction import reduced
from netcheck.states.solver import satisfiable

STEPS = st.lists(st.tuples(st.integers(0), st.integers(0), st.booleans()), max_size=12)


def made(names: int, steps: list[tuple[int, int, bool]]) -> tuple[Logic, list[int]]:
    """Variables, and gates on top of them; each step joins two of what is there."""
    logic = Logic()
    nodes = [logic.variable(f"v{number}") for number in range(names)]
    for a, b, negated in steps:
        literals = [node ^ sign for node in nodes for sign in (0, 1)]
        nodes.append(logic.both(literals[a % len(literals)], literals[b % len(literals)]) ^ negated)
    return logic, nodes


def can_all_be_true(logic: Logic, literals: list[int], names: int) -> bool:
    variables = [logic.variable(f"v{number}") for number in range(names)]
    return any(
        all(
            logic.evaluate(literal, dict(zip(variables, values, strict=True)))
            for literal in literals
        )
        for values in product((False, True), repeat=names)
    )


@given(st.integers(1, 5), STEPS, st.lists(st.tuples(st.integers(0), st.booleans()), max_size=5))
def test_a_reduced_question_has_the_answer_of_the_whole(
    names: int, steps: list[tuple[int, int, bool]], asked: list[tuple[int, bool]]
) -> None:
    logic, nodes = made(names, steps)
    literals = [nodes[place % len(nodes)] ^ sign for place, sign in asked]
    expected = can_all_be_true(logic, literals, names)
    assert expected == can_all_be_true(logic, reduced(logic, literals), names)
    assert expected == satisfiable(logic, literals)


def test_what_stands_alone_is_put_in_until_nothing_is_left() -> None:
    logic = Logic()
    a, b, c = (logic.variable(name) for name in "abc")
    assert [FALSE] == reduced(logic, [a, logic.either(a ^ 1, b), logic.either(b ^ 1, a ^ 1)])
    assert [] == reduced(logic, [a, logic.either(a ^ 1, b), logic.either(b ^ 1, c)])
    assert [] == reduced(logic, [TRUE])


def test_what_can_only_help_is_put_in() -> None:
    logic = Logic()
    a, b, c = (logic.variable(name) for name in "abc")
    either = logic.either(b, c)
    assert [] == reduced(logic, [logic.either(a, either), logic.either(a, either ^ 1)])
