"""Sums of products over positions, against every state of made-up machines."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from netcheck.states.expressions import TRUE
from netcheck.states.machine import Machine
from netcheck.states.terms import Product, Terms
from tests.second_opinion.random_machines import draw_expression, machines

SOME = settings(max_examples=60, suppress_health_check=list(HealthCheck))

State = dict[str, int]


def states(machine: Machine) -> Iterator[State]:
    """Every state with each switch where it can rest."""
    places = {name: sorted(switch.resting) for name, switch in machine.switches.items()}
    places |= {name: [0, 1] for name in machine.movers}
    for chosen in product(*places.values()):
        yield dict(zip(places, chosen, strict=True))


def values(machine: Machine, state: State) -> dict[int, bool]:
    found = {mover.state: bool(state[name]) for name, mover in machine.movers.items()}
    for name, switch in machine.switches.items():
        found |= {bit: bool(state[name] >> place & 1) for place, bit in enumerate(switch.bits)}
    return found


def holds(products: tuple[Product, ...], state: State) -> bool:
    return any(all(state[term.name] in term.positions for term in each) for each in products)


@st.composite
def questions(draw: st.DrawFn) -> tuple[Machine, int, int]:
    machine = draw(machines(most_states=200))
    care = draw_expression(draw, machine) if draw(st.booleans()) else TRUE
    return machine, draw_expression(draw, machine), care


@SOME
@given(questions())
def test_a_sum_is_right_wherever_it_matters_and_no_product_or_term_is_idle(
    question: tuple[Machine, int, int],
) -> None:
    machine, wanted, cared = question
    order = [bit for switch in machine.switches.values() for bit in switch.bits]
    order += [mover.state for mover in machine.movers.values()]
    terms = Terms(machine, order, lambda name: int(name.startswith("S")))
    f, care = terms.of(wanted), terms.of(cared)
    care = terms.store.both(care, terms.resting([*machine.switches, *machine.movers]))
    products = terms.products(f, care, 1_000)
    logic = machine.logic
    matter = [s for s in states(machine) if logic.evaluate(cared, values(machine, s))]
    true = [logic.evaluate(wanted, values(machine, s)) for s in matter]

    def is_right(told: tuple[Product, ...]) -> bool:
        return [holds(told, s) for s in matter] == true

    assert is_right(products)
    for number, each in enumerate(products):
        others = (*products[:number], *products[number + 1 :])
        assert not is_right(others)
        for term in each:
            shorter = tuple(other for other in each if other != term)
            assert not is_right((*others, shorter))


@SOME
@given(st.data())
def test_what_is_told_by_its_form_is_what_would_be_worked_out(data: st.DataObject) -> None:
    """Many questions to one machine, each also to terms that were asked nothing before."""
    machine = data.draw(machines(most_states=200))
    order = [bit for switch in machine.switches.values() for bit in switch.bits]
    order += [mover.state for mover in machine.movers.values()]

    def made() -> Terms:
        return Terms(machine, order, lambda name: int(name.startswith("S")))

    asked = made()
    literals = [mover.state ^ sign for mover in machine.movers.values() for sign in (0, 1)]
    literals += [
        bit ^ sign for switch in machine.switches.values() for bit in switch.bits for sign in (0, 1)
    ]
    pairs = [machine.logic.both(one, other) for one in literals for other in literals]
    for wanted in [*pairs, *(pair ^ 1 for pair in pairs)]:
        fresh = made()
        answers = [
            terms.products(f := terms.of(wanted), terms.resting(terms.names(f)), 1_000)
            for terms in (asked, fresh)
        ]
        assert answers[0] == answers[1]
