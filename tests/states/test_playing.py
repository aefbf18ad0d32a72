"""A machine played through: against one that looks at every relay again after every move."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

import pytest

from netcheck.facts.as_built import build
from netcheck.states.machine import Machine, Mover
from netcheck.states.playing import MOST_MOVES, Playing
from tests.benchmarks.ladders import ladder
from tests.report.sheets.panels import greenhouse


def looked_at_one_by_one(
    machine: Machine, values: Mapping[int, bool], moved: Mapping[str, int]
) -> tuple[dict[int, bool], tuple[str, ...]] | None:
    """The rule itself: the first relay that must move does, then the first timer that may."""
    now = dict(values)
    for name, position in moved.items():
        for place, bit in enumerate(machine.switches[name].bits):
            now[bit] = bool(position >> place & 1)
    order: list[str] = []
    for _ in range(MOST_MOVES):
        mover = next(_willing(machine, now), None)
        if mover is None:
            return now, tuple(order)
        now[mover.state] ^= True
        order.append(mover.name)
    return None


def _willing(machine: Machine, now: Mapping[int, bool]) -> Iterator[Mover]:
    def wants(mover: Mover, *, by_itself: bool) -> bool:
        motion = machine.motions[mover.name]
        rise, fall = motion.must_rise, motion.must_fall
        if by_itself:
            rise, fall = motion.may_rise, motion.may_fall
        return machine.logic.evaluate(fall if now[mover.state] else rise, now)

    yield from (one for one in machine.movers.values() if wants(one, by_itself=False))
    timed = (one for one in machine.movers.values() if one.timed)
    yield from (one for one in timed if wants(one, by_itself=True))


@pytest.mark.parametrize("seed", range(4))
def test_what_is_looked_at_again_is_enough(seed: int) -> None:
    panel = greenhouse().panel if seed % 2 else ladder(30).panel()
    machine = build(panel).wide.machine
    playing, random = Playing(machine), Random(seed)
    variables = [bit for one in machine.switches.values() for bit in one.bits]
    variables += [one.state for one in machine.movers.values()]
    values = dict.fromkeys(variables, False)
    for _ in range(60):
        names = random.sample(list(machine.switches), random.randrange(3))
        moved = {name: random.choice(sorted(machine.switches[name].resting)) for name in names}
        expected = looked_at_one_by_one(machine, values, moved)
        actual = playing.after(values, moved)
        assert expected == actual
        values = expected[0] if expected else dict.fromkeys(variables, False)
