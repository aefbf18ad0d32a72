"""What a proof rests on is shown afresh; a wrong one is never believed."""

from __future__ import annotations

import pytest

import netcheck.states.induction as induction
from netcheck.states.answers import Budget, Never
from netcheck.states.cone import Slicer
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.ic3 import Invariant, ProofError, check, prove
from netcheck.states.machine import Machine
from netcheck.states.proof import Prover
from netcheck.states.question import Question
from netcheck.states.solver import Meter
from netcheck.states.system import System
from tests.benchmarks.knotted import interlocked

PROVED = Budget(whole_variables=99, table_variables=-1, rounds=((50_000_000, 0),))


def meter() -> Meter:
    return Meter(50_000_000)


def asked(machine: Machine, bad: int) -> System:
    cone = Slicer(machine).cone([bad])
    return System(Question(machine, cone, bad, "any instant", frozenset()), "any moment")


def two_of_six() -> tuple[System, Invariant]:
    """Six relays that keep one another out, and why no two of them are in."""
    system = asked(*interlocked(6))
    found = prove(system, meter())
    assert isinstance(found, Invariant)
    return system, found


def test_an_invariant_as_it_was_found_stands() -> None:
    system, invariant = two_of_six()
    assert invariant.cubes
    check(system, invariant, meter())


def test_an_invariant_that_says_nothing_allows_the_bad_state() -> None:
    system, _ = two_of_six()
    with pytest.raises(ProofError, match="allows a bad state"):
        check(system, Invariant(()), meter())


def test_no_part_of_an_invariant_can_be_left_out() -> None:
    system, invariant = two_of_six()
    for cube in invariant.cubes:
        rest = Invariant(tuple(other for other in invariant.cubes if other != cube))
        with pytest.raises(ProofError):
            check(system, rest, meter())


def test_an_invariant_that_excludes_a_start_is_refused() -> None:
    """A latching relay, once in, stays in: of all states after the first it may be said."""
    machine = Machine()
    relay, other = machine.mover("K1"), machine.mover("K2")
    machine.attach_latching(relay, TRUE, FALSE)
    system = asked(machine, machine.logic.both(relay.state, other.state))
    check(system, Invariant(((other.state,),)), meter())
    with pytest.raises(ProofError, match="a start is outside"):
        check(system, Invariant(((other.state,), (relay.state ^ 1,))), meter())


def test_an_invariant_that_a_step_leaves_is_refused() -> None:
    """A relay can be in: to say that it never is keeps the bad states out, and is wrong."""
    system, invariant = two_of_six()
    with pytest.raises(ProofError, match="a step leaves"):
        check(system, Invariant((*invariant.cubes, (system.variables[0],))), meter())


def test_a_wrong_proof_breaks_the_answer_and_is_no_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    machine, bad = interlocked(4)
    assert isinstance(Prover(machine, PROVED).can_happen(bad), Never)
    one_in = machine.movers["K0"].state
    monkeypatch.setattr(induction, "prove", lambda system, meter: Invariant(()))
    with pytest.raises(ProofError):
        Prover(machine, PROVED).can_happen(one_in)
