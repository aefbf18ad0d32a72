"""Loads that can be fed only through other loads, so that they share one voltage.

In some reachable state such a load has a path from each of its ends to poles of
different potential, but in no reachable state one without another load in it, at
whatever voltage.  A resistor without a voltage of its own is made to stand in series
and is never such a load, but another load may stand in series with it.  The windings of
one three-phase load do not count as loads in series with each other.

How the voltage divides is known where the loads make one chain, with no other load near,
and they are all alike or of constant resistance (heaters, resistors, coils on DC).  Else
their neighbourhood is solved from least to most; and however a chain divides its voltage,
its loads cannot all have enough of it where together they need more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.model.devices import Load, Part
from netcheck.network.traces import Passed
from netcheck.record import record, replace
from netcheck.states.answers import Never, Reached, Undecided
from netcheck.states.behaviour import Feed, kind_of, magnitude
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.feeds_through_loads import Neighbourhoods
from netcheck.states.truth_table import Tables
from netcheck.states.witness import Witness, assignment, tell

if TYPE_CHECKING:
    from netcheck.solve.near_loads import Spread

MOST_TABLE_VARIABLES = 12
"""Up to so many, a condition that never holds is seen from its truth table."""

ROUNDING_V = 1e-6
TOO_MUCH = "more loads hang together than are followed one by one"


@record
class LoadsInSeries:
    """Loads that share a voltage, in path order, with the feed of the first one found.

    `shares` gives what each gets, by index, where that is known; `too_much_v` is what they need
    together at least, where that alone is more than there is; else `reason` says why neither
    is known.  Path and witness are missing where it was not even decided whether they are fed
    at all, and the feed where it was not looked at.
    """

    loads: tuple[Part, ...]
    feed: Feed | None
    path: tuple[Passed, ...] = ()
    witness: Witness | None = None
    shares: Mapping[int, Spread] = {}
    too_much_v: float = 0.0
    reason: str = ""

    @property
    def suits(self) -> bool | None:
        """Whether each gets what it is made for; None where that is not known."""
        if self.too_much_v:
            return False
        judged = [_suits(part, self.shares[part.index]) for part in self.loads if self.shares]
        if False in judged:
            return False
        return True if judged and None not in judged else None


def _suits(part: Part, share: Spread) -> bool | None:
    load = part.load
    if load is None or load.volts is None:
        return True
    low_v, high_v = load.volts * load.low - ROUNDING_V, load.volts * load.high + ROUNDING_V
    if share.most_v < low_v or share.least_v > high_v:
        return False
    return True if low_v <= share.least_v and share.most_v <= high_v else None


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
                return _told(behaviour, feed, path, answer, others | {load.index})
    return None


def _told(
    behaviour: Behaviour,
    feed: Feed,
    path: tuple[Passed, ...],
    answer: Reached,
    near: frozenset[int],
) -> LoadsInSeries:
    loads = tuple(
        passed.by for passed in path if isinstance(passed.by, Part) and passed.by.load is not None
    )
    found = LoadsInSeries(loads, feed, path, tell(behaviour.panel, answer))
    chain = near == {load.index for load in loads}
    ohms = _ohms(loads, kind_of(feed.volts)) if chain else None
    if ohms is not None:
        from netcheck.solve.near_loads import Spread

        total_ohm, volts = sum(ohms), magnitude(feed.volts)
        shares = {
            load.index: Spread(volts * ohm / total_ohm, volts * ohm / total_ohm)
            for load, ohm in zip(loads, ohms, strict=True)
        }
        return replace(found, shares=shares)
    solved = _solved(behaviour, loads, answer)
    if solved is not None:
        found = replace(found, shares=solved)
    if found.suits is None and _divides_plainly(behaviour, loads, chain):
        found = replace(found, too_much_v=_needed_beyond(loads, feed))
    if found.suits is None:
        beside = "other loads stand beside them" if not chain else ""
        unknown = "their resistance at this voltage is not known"
        found = replace(found, reason=beside or unknown)
    return found


def _solved(
    behaviour: Behaviour, loads: tuple[Part, ...], answer: Reached
) -> dict[int, Spread] | None:
    from netcheck.solve.near_loads import NearLoads

    near_loads, values = NearLoads(behaviour), assignment(behaviour, answer)
    logic = behaviour.logic
    near = near_loads.around(loads[0])
    if near is None or not {load.index for load in loads} <= {part.index for part in near.parts}:
        return None
    if not all(logic.evaluate(behaviour.live(index), values) for index in near.sources):
        return None
    return near_loads.spreads(near, lambda part: logic.evaluate(behaviour.closed(part), values))


def _divides_plainly(behaviour: Behaviour, loads: tuple[Part, ...], chain: bool) -> bool:
    """Whether what the loads get adds up to no more than there is (or, on AC, by their angles,
    to a known part more): a chain, or two loads between the poles of one DC source."""
    from netcheck.solve.near_loads import NearLoads

    near = None if chain or len(loads) != 2 else NearLoads(behaviour).around(loads[0])
    if near is None:
        return chain
    sources = [behaviour.panel.sources[index] for index in near.sources]
    return near.basis == "DC" and len(sources) == 1 and len(sources[0].poles) == 2


def _needed_beyond(loads: tuple[Part, ...], feed: Feed) -> float:
    """What the loads need together at least, V, where that is more than they can share."""
    made = [part.load for part in loads if part.load is not None]
    needed_v = sum(load.volts * load.low for load in made if load.volts)
    at_most = magnitude(feed.volts) * (1.0 if kind_of(feed.volts) == "DC" else math.sqrt(2))
    return needed_v if needed_v > at_most + ROUNDING_V else 0.0


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
