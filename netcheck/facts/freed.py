"""The same panel with every relay able to move and every supply able to run.

A load that nothing energises is either broken itself or waits for a coil or supply
that is.  Here each coil that is never energised, or only through other loads, moves its
contacts all the same, and each supply whose input is not energised as it should be is live
when it likes: what stays dead here has a cause of its own.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, certain_of
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, Verdict
from netcheck.model.devices import Drive, Mechanism, SourcePart
from netcheck.network.nodes import find_nodes
from netcheck.record import record, replace


@record
class Freed:
    """`waits_for` gives, for each mechanism that was freed, the dead load it belongs to."""

    behaviour: Behaviour
    certain: Behaviour
    waits_for: Mapping[str, LoadFeed]


@concludes(Behaviour, CertainBehaviour, LoadFeeds)
def free(view: View) -> Freed:
    panel, dead = view.panel, _dead_parts(view[LoadFeeds])
    waits_for: dict[str, LoadFeed] = {}
    mechanisms = {
        name: _freed_mechanism(mechanism, dead, waits_for)
        for name, mechanism in panel.mechanisms.items()
    }
    sources = tuple(_freed_source(source, dead, waits_for, mechanisms) for source in panel.sources)
    if not waits_for:
        return Freed(view[Behaviour], view[CertainBehaviour].behaviour, {})
    freed = replace(panel, mechanisms=mechanisms, sources=sources)
    behaviour = Behaviour(freed, find_nodes(freed), verdicts=view[Behaviour].verdicts)
    return Freed(behaviour, certain_of(behaviour), waits_for)


def _dead_parts(feeds: LoadFeeds) -> dict[int, LoadFeed]:
    """Loads that are not energised as they should be, by the indexes of their parts."""
    return {
        part.index: load
        for load in feeds.loads
        if load.verdict is not Verdict.ENERGISED
        for part in load.parts
    }


def _freed_mechanism(
    mechanism: Mechanism, dead: Mapping[int, LoadFeed], waits_for: dict[str, LoadFeed]
) -> Mechanism:
    """A latching relay is in anyway if it stood so at power-up; one that is held never moves."""
    if not mechanism.moved_by_coil or mechanism.drive is Drive.LATCH:
        return mechanism
    if mechanism.held is not None:
        return mechanism
    load = dead.get(mechanism.coils[0])
    if load is None or load.verdict not in (Verdict.NEVER, Verdict.IN_SERIES):
        return mechanism
    waits_for[mechanism.name] = load
    return replace(mechanism, drive=Drive.OUTPUT, coils=(), start=frozenset((0, 1)))


def _freed_source(
    source: SourcePart,
    dead: Mapping[int, LoadFeed],
    waits_for: dict[str, LoadFeed],
    mechanisms: dict[str, Mechanism],
) -> SourcePart:
    load = next((dead[part] for part in source.inputs if part in dead), None)
    if load is None or source.mechanism:
        return source
    name = f"{source.device} output"
    waits_for[name] = load
    both = frozenset((0, 1))
    mechanisms[name] = Mechanism(
        name, source.device, Drive.SOURCE, ("dead", "live"), ("", ""), both, both
    )
    return replace(source, mechanism=name)
