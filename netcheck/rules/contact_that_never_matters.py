"""A contact that changes nothing, open or closed, in any reachable state.

Exactly: with the contact taken out there is no reachable state, passing ones included, in
which its ends are apart while current would flow if they were joined, be it through other loads.
So neither opening it for good nor bridging it for good changes any load.  It is bridged by
a wire, or by contacts that are closed whenever it could carry a current.  Contacts in series
that one wire bridges together are one finding.

Redundancy is no such thing: of contacts doubled in series or side by side, of two channels,
of an interlock behind an interlock, each would matter if the other failed to open or
close, and bridging or opening it for good does change something.  A contact read by a
controller has a load, the input.

It keeps silent on spares, where an end is not wired, on contacts beside a load that is dead or
cannot be switched off (that cause is told elsewhere), in a series that is never closed
together, on those that no current ever comes to in a panel with an open path, on a bridged
feedback way of a safety relay (`feedback that a wire closes`), and beside what is no load yet
reads or stores: voltmeters, capacitors, ground.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.bridged_chains import BridgedChain, BridgedChains
from netcheck.facts.idle_contacts import IdleContact, IdleContacts
from netcheck.facts.load_feeds import LoadFeeds, Verdict
from netcheck.facts.open_ends import OpenEnds
from netcheck.facts.open_paths import OpenPaths
from netcheck.facts.safety_contactors import SafetyContactors
from netcheck.facts.series_contacts import SeriesContacts
from netcheck.facts.ways_off import WaysOff
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.nodes import find_nodes
from netcheck.network.traces import Passed, name_of, told
from netcheck.rule import rule
from netcheck.telling import in_words, listed, span_of, wires_on


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.QUERY,
    summary="a contact that changes no load, whether it is open or closed",
    why="often a wire landed one terminal off, or a safeguard that is in truth bypassed",
    source="a contact is there to switch something: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(
        BridgedChains,
        IdleContacts,
        LoadFeeds,
        OpenEnds,
        OpenPaths,
        SafetyContactors,
        SeriesContacts,
        WaysOff,
    ),
)
def find(view: View) -> Iterator[Outcome]:
    found, undecided = view[IdleContacts].found, view[IdleContacts].undecided
    chains = view[BridgedChains]
    for chain in chains.found:
        if not _on_a_feedback_way(view, chain):
            yield _bridged(view.panel, chain)
    for contact in found:
        if not chains.holds(contact.part) and not _is_told_elsewhere(view, contact):
            yield _finding(view.panel, contact)
    for part, reason in undecided:
        yield NotDecided(
            f"whether `{part.label}` ever matters: {reason}",
            Place(span_of(view.panel, part)),
            (part.device,),
        )
    left = view[IdleContacts].left
    if left:
        yield NotDecided(
            f"whether {len(left)} more contacts ever matter: not looked at after so many",
            Place(span_of(view.panel, left[0])),
            (left[0].device,),
        )


def _on_a_feedback_way(view: View, chain: BridgedChain) -> bool:
    """Whether what bridges it closes the feedback way of a safety relay too."""
    nodes = find_nodes(view.panel)
    ways = view[SafetyContactors].bridged.values()
    closed = {nodes.of[end] for way in ways for passed in way for end in (passed.start, passed.end)}
    return any(nodes.of[end] in closed for end in chain.ends)


def _bridged(panel: Panel, chain: BridgedChain) -> Finding:
    labels = [part.label for part in chain.contacts]
    cause = chain.cause
    by = panel.wire_name(cause) if cause is not None else "a strip"
    return Finding(
        f"{listed(labels)} never matter, open or closed: {by} bridges them",
        Place(cause.span if cause is not None else span_of(panel, chain.contacts[-1]), "bridges"),
        devices=tuple(dict.fromkeys(part.device for part in chain.contacts)),
        wires=() if cause is None else (panel.called(cause),),
        condition=f"{' '.join(labels)} switch nothing",
        related=tuple(Place(span_of(panel, part), "switches nothing") for part in chain.contacts),
        help="look for a wire landed one terminal off; take the contacts out or mark them `spare`",
    )


def _is_told_elsewhere(view: View, contact: IdleContact) -> bool:
    """Whether what makes it idle is another rule's finding."""
    part, ends = contact.part, {contact.part.a, contact.part.b}
    for on in view[WaysOff].always_on:
        beside = {end for passed in on.path for end in (passed.start, passed.end)}
        if not beside.isdisjoint(ends) or any(one.index in contact.near for one in on.load.parts):
            return True
    feeds = [view[LoadFeeds].of(load) for load in contact.near]
    if any(feed is not None and feed.verdict is not Verdict.ENERGISED for feed in feeds):
        return True
    if any(_passes(series.path, part) for series in view[SeriesContacts].never_closed):
        return True
    broken = view[OpenPaths].found or view[OpenPaths].undecided or view[OpenEnds].ends
    return bool(broken) and not contact.around


def _passes(path: tuple[Passed, ...], part: Part) -> bool:
    return any(isinstance(one.by, Part) and one.by.index == part.index for one in path)


def _finding(panel: Panel, contact: IdleContact) -> Finding:
    part, around = contact.part, contact.around
    contacts = [
        one.by for one in around if isinstance(one.by, Part) and one.by.conducts is Conducts.CONTACT
    ]
    return Finding(
        f"`{part.label}` never matters, open or closed: {_why(panel, contact, contacts)}",
        Place(span_of(panel, part), "switches nothing"),
        devices=tuple(dict.fromkeys((part.device, *(one.device for one in contacts)))),
        wires=() if contacts else wires_on(panel, around),
        condition=f"{part.label} switches nothing",
        related=tuple(
            Place(span_of(panel, one), "closed whenever this contact could carry current")
            for one in dict.fromkeys(contacts)
        ),
        path=told(panel, list(around)),
        help="look for a wire landed one terminal off; take the contact out or mark it `spare`",
    )


def _why(panel: Panel, contact: IdleContact, contacts: list[Part]) -> str:
    if contacts:
        names = in_words(f"`{one.label}`" for one in dict.fromkeys(contacts))
        are = "is" if len(contacts) == 1 else "are"
        return f"{names} around it {are} closed whenever it could carry current"
    wires = [one.by for one in contact.around if isinstance(one.by, Wire)]
    if not wires:
        return "no current ever comes to it"
    bridges = [f"wire {wire.number}" if wire.number else name_of(panel, wire) for wire in wires]
    bridges = list(dict.fromkeys(bridges))
    return f"{in_words(bridges)} {'bridge' if len(bridges) > 1 else 'bridges'} it"
