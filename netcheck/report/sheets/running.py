"""States in which the loads that stops are to stop run, as many of them together as can be."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.bench.energising import Energising, energise
from netcheck.bench.standing import Standing, stand
from netcheck.facts.load_feeds import LoadFeed
from netcheck.facts.unstopped_loads import UnstoppedLoads
from netcheck.record import record
from netcheck.report.sheets.bench import Bench

MOST_LOADS = 60
MOST_STATES = 6


@record
class Running:
    """From power-up by these steps to a state in which these loads run."""

    steps: tuple[str, ...]
    standing: Standing
    loads: tuple[LoadFeed, ...]


@record
class RunningStates:
    """`never` are loads that were not brought to run, with the reason."""

    states: tuple[Running, ...]
    never: tuple[str, ...]


def stopped_loads(bench: Bench) -> tuple[LoadFeed, ...]:
    """All that some stop is to stop, in the order of the text."""
    found = bench.fact(UnstoppedLoads)
    loads = {load.name: load for one in found.stopped for load in one.loads}
    loads |= {one.load.name: one.load for one in found.loads}
    place = {name: number for number, name in enumerate(bench.panel.devices)}
    return tuple(sorted(loads.values(), key=lambda load: place[load.device]))


def running_states(bench: Bench) -> RunningStates:
    waiting = list(stopped_loads(bench))
    left = [f"{load.name}: one of many, not looked at" for load in waiting[MOST_LOADS:]]
    waiting = waiting[:MOST_LOADS]
    states: list[Running] = []
    while waiting and len(states) < MOST_STATES:
        running, why_not = _together(stand(bench.panel), waiting)
        if running is None:
            left += [f"{load.name}: {why_not.get(load.name, '')}" for load in waiting]
            break
        states.append(running)
        waiting = [load for load in waiting if load not in running.loads]
    else:
        left += [f"{load.name}: it runs in a state of its own, not shown" for load in waiting]
    return RunningStates(tuple(states), tuple(left))


def _together(here: Standing, loads: list[LoadFeed]) -> tuple[Running | None, dict[str, str]]:
    """One load after the other is brought to run, those before it kept running."""
    steps: tuple[str, ...] = ()
    running: list[LoadFeed] = []
    why_not: dict[str, str] = {}
    for load in loads:
        found = energise(here, load.parts[0])
        if found.then is None:
            why_not[load.name] = found.why_not
        elif not running or (found.from_here and _all_on(found, running)):
            here, steps = found.then, (*steps, *found.steps)
            running.append(load)
    return (Running(steps, here, tuple(running)) if running else None), why_not


def _all_on(found: Energising, loads: list[LoadFeed]) -> bool:
    return found.then is not None and all(_on(found.then, loads))


def _on(standing: Standing, loads: list[LoadFeed]) -> Iterator[bool]:
    states = standing.states
    return (any(standing.holds(states.energised(part)) for part in load.parts) for load in loads)
