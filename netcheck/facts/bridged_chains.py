"""Contacts one after another that never matter, for a wire joins both ends of the whole chain."""

from __future__ import annotations

from collections import Counter

from netcheck.case import View, concludes
from netcheck.facts.idle_contacts import IdleContacts
from netcheck.facts.strip_places import joined_by_wire
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.record import record


@record
class BridgedChain:
    """Its contacts in the order of the text, the terminals at its ends, and the wire last
    written without which they would be apart; None where a strip alone joins them."""

    contacts: tuple[Part, ...]
    ends: tuple[str, ...]
    cause: Wire | None


@record
class BridgedChains:
    found: tuple[BridgedChain, ...]

    def holds(self, part: Part) -> bool:
        return any(part.index == one.index for chain in self.found for one in chain.contacts)


@concludes(IdleContacts)
def find_bridged_chains(view: View) -> BridgedChains:
    panel = view.panel
    idle = [contact.part for contact in view[IdleContacts].found]
    if len(idle) < 2:
        return BridgedChains(())
    places = joined_by_wire(panel)
    groups: Unions[str] = Unions()
    for part in idle:
        groups.join(places.find(part.a), places.find(part.b))
    by_group: dict[str, list[Part]] = {}
    for part in idle:
        by_group.setdefault(groups.find(places.find(part.a)), []).append(part)
    chains = [_chain(panel, places, parts) for parts in by_group.values() if len(parts) > 1]
    return BridgedChains(tuple(chain for chain in chains if chain is not None))


def _chain(panel: Panel, places: Unions[str], parts: list[Part]) -> BridgedChain | None:
    """These contacts as a chain in a ring, which nothing else joins but at one place."""
    own = {part.index for part in parts}
    meeting = Counter(places.find(end) for part in parts for end in (part.a, part.b))
    if min(meeting.values()) < 2:  # a dead end is no ring
        return None
    beside = {
        place
        for end, at in panel.parts_at.items()
        if (place := places.find(end)) in meeting
        and any(part.index not in own and part.role != "bridge" for part in at)
    }
    if len(beside) != 1:
        return None
    ends = tuple(end for part in parts for end in (part.a, part.b) if places.find(end) in beside)
    return BridgedChain(tuple(parts), ends, _cause(panel, ends))


def _cause(panel: Panel, ends: tuple[str, ...]) -> Wire | None:
    for wire in sorted(panel.wires, key=lambda one: (one.span.line, one.span.column), reverse=True):
        apart = joined_by_wire(panel, wire)
        if not all(apart.joined(ends[0], end) for end in ends):
            return wire
    return None
