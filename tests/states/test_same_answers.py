"""The same panel gets the same answers in every process, with the same steps to each state."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

PROGRAM = """
from netcheck.case import Case
from netcheck.facts.shorts import Shorts
from netcheck.states.answers import Budget
from netcheck.states.behaviour import Behaviour
from netcheck.network.nodes import find_nodes
from netcheck.states.proof import Prover
from tests.benchmarks.knotted import chain, interlocked, no_locality
from tests.benchmarks.ladders import ladder

EACH_WAY = [
    Budget(),
    Budget(whole_variables=99, table_variables=-1, rounds=((50_000_000, 0),)),
    Budget(whole_variables=99, table_variables=-1, rounds=((0, 3_000_000),)),
]
for machine, bad in (chain(12), interlocked(9), no_locality(16)):
    for budget in EACH_WAY:
        for same_instant in (False, True):
            print(Prover(machine, budget).can_happen(bad, same_instant=same_instant))
panel = ladder(16).panel()
behaviour = Behaviour(panel, find_nodes(panel))
for mover in behaviour.machine.movers.values():
    for budget in EACH_WAY[:2]:
        print(Prover(behaviour.machine, budget).can_happen(mover.state, at="settled"))
for short in Case(panel).conclude(Shorts).found:
    print(short.witness, [passed.by.index for passed in short.path], short.cause.index)
"""


def printed(seed: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        cwd=Path(__file__).parents[2],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_answers_do_not_depend_on_how_a_process_orders_its_sets() -> None:
    first = printed("0")
    assert 50 <= len(first.splitlines())
    assert first == printed("4711")
