"""Loads that can be fed only through other loads, so that they share one voltage.

In some reachable state such a load has a path from each of its ends to poles of
different potential, but in no reachable state one without another load in it, at
whatever voltage.  A resistor without a voltage of its own is made to stand in series
and is never such a load, but another load may stand in series with it.  The windings of
one three-phase load do not count as loads in series with each other.

How the voltage divides is known where the loads make one chain, with no other load near,
and they are all alike or of constant resistance (heaters, resistors, coils on DC).
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.model.devices import Load, Part
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.answers import Never, Reached, Undecided
from netcheck.states.behaviour import Feed, kind_of, magnitude
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.feeds_through_loads import Neighbourhoods
from netcheck.states.truth_table import Tables
from netcheck.states.witness import Witness, assignment, tell

MOST_TABLE_VARIABLES = 12
"""Up to so many, a condition that never holds is seen from its truth table."""

TOO_MUCH = "more loads hang together than are followed one by one"


@record
class LoadsInSeries:
    """Loads that share a voltage, in path order, with the feed of the first one found.

    `share_v` gives what each gets, by index, where that is known; else `reason` says why not.
    Path and witness are missing where it was not even decided whether they are fed at all, and
    the feed where it was not looked at.
    """

    loads: tuple[Part, ...]
    feed: Feed | None
    path: tuple[Passed, ...] = ()
    witness: Witness | None = None
    share_v: Mapping[int, float] = {}
    reason: str = ""


@record
class SeriesLoads:
    strings: tuple[LoadsInSeries, ...]
    parts: frozenset[int]
    """Indexes of all loads that only others feed: what else is said of feeding omits them."""


@concludes(Behaviour, CertainBehaviour)
def find_series_loads(view: View) -> SeriesLoads:
    behaviour, certain = view[Behaviour], view[CertainBehaviour].behaviour
    near = Neighbourhoods(behaviour)
    strings: list[LoadsInSeries] = []
    parts: set[int] = set()
    told: set[int] = set()
    left: list[Part] = []
    for load in view.panel.parts:
        if load.load is None or load.spare or _is_made_for_series(load.load):
            continue
        if near.too_much:
            own = _has_a_feed_of_its_own(certain, behaviour, load)
            if near.hangs_between_rails(load) and not own:
                left.append(load)
            continue
        feeds = tuple(near.feeds(load))
        if not _needs_another_load(behaviour, load, feeds):
            continue
        if _has_a_feed_of_its_own(certain, behaviour, load):
            continue
        string = _string(behaviour, load, feeds, near)
        if string is None:
            continue
        parts.add(load.index)
        members = {member.index for member in string.loads}
        if told.isdisjoint(members):
            strings.append(string)
        told |= members
    if left:
        parts.update(load.index for load in left)
        strings.append(LoadsInSeries(tuple(left), None, reason=TOO_MUCH))
    return SeriesLoads(tuple(strings), frozenset(parts))


def _is_made_for_series(load: Load) -> bool:
    return load.works == "resistor" and load.volts is None


def _needs_another_load(behaviour: Behaviour, load: Part, feeds: tuple[Feed, ...]) -> bool:
    """Whether, by the look of the conditions, it is ever fed but not by a feed of its own."""
    logic = behaviour.logic
    own = logic.any_of([feed.condition for feed in behaviour.feeds(load)])
    only = logic.both(logic.any_of([feed.condition for feed in feeds]), own ^ 1)
    variables = sorted(logic.support(only))
    if only == FALSE or len(variables) > MOST_TABLE_VARIABLES:
        return only != FALSE
    return Tables(logic, variables).of(only) != 0


def _has_a_feed_of_its_own(certain: Behaviour, wide: Behaviour, load: Part) -> bool:
    """Whether it is or may be fed without another load in the path."""
    for behaviour in dict.fromkeys((certain, wide)):
        own = behaviour.logic.any_of([feed.condition for feed in behaviour.feeds(load)])
        if own != FALSE and not isinstance(behaviour.prover.can_happen(own), Never):
            return True
    return False


def _string(
    behaviour: Behaviour, load: Part, feeds: tuple[Feed, ...], near: Neighbourhoods
) -> LoadsInSeries | None:
    condition = behaviour.logic.any_of([feed.condition for feed in feeds])
    answer = behaviour.prover.can_happen(condition)
    if isinstance(answer, Undecided):
        return LoadsInSeries((load,), feeds[0], reason=answer.reason)
    if not isinstance(answer, Reached):
        return None
    values = assignment(behaviour, answer)
    others = frozenset(part.index for part in near.around(load) if part.load is not None)
    for feed in feeds:
        if behaviour.logic.evaluate(feed.condition, values):
            poles_a, poles_b = poles_at(behaviour, feed.rail_a), poles_at(behaviour, feed.rail_b)
            circuit = Circuit(load, poles_a, poles_b, feed.volts)
            path = feed_path(behaviour, circuit, values, through_loads=others)
            if path is not None:
                witness = tell(behaviour.panel, answer)
                return _told(feed, path, witness, others | {load.index})
    return None


def _told(
    feed: Feed, path: tuple[Passed, ...], witness: Witness, near: frozenset[int]
) -> LoadsInSeries:
    loads = tuple(
        passed.by for passed in path if isinstance(passed.by, Part) and passed.by.load is not None
    )
    if near != {load.index for load in loads}:
        reason = "other loads stand beside them"
        return LoadsInSeries(loads, feed, path, witness, {}, reason)
    ohms = _ohms(loads, kind_of(feed.volts))
    if ohms is None:
        reason = "their resistance at this voltage is not known"
        return LoadsInSeries(loads, feed, path, witness, {}, reason)
    total_ohm, volts = sum(ohms), magnitude(feed.volts)
    shares = {load.index: volts * ohm / total_ohm for load, ohm in zip(loads, ohms, strict=True)}
    return LoadsInSeries(loads, feed, path, witness, shares)


def _ohms(loads: tuple[Part, ...], kind: str) -> list[float] | None:
    """The loads' resistances where they hold at any voltage; equal ones where all are alike."""
    made = [load.load for load in loads if load.load is not None]
    if all(one == made[0] for one in made):
        return [1.0] * len(made)
    ohms = [_resistance_ohm(one, kind) for one in made]
    return [ohm for ohm in ohms if ohm is not None] if None not in ohms else None


def _resistance_ohm(load: Load, kind: str) -> float | None:
    """Of what keeps its resistance: heaters, resistors, and on DC the coils made for it."""
    constant = load.works in ("heater", "resistor") or (
        load.works in ("coil", "valve") and kind == load.kind == "DC"
    )
    if not constant:
        return None
    if load.resistance_ohm is not None:
        return load.resistance_ohm
    return load.volts / load.current_a if load.volts and load.current_a else None
