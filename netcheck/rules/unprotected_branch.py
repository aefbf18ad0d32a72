"""An ungrounded conductor that in some way of feeding it has no device that opens in time.

Both poles of a floating supply are ungrounded.  Every pole of every source is followed
through all that can close, back-feed and transformers included.  A supply's current limit
protects what carries it; a fuse larger than that limit never opens.  A device on one side
of a two-wire transformer protects the other through the ratio (NEC 240.4(F)).

It keeps silent on what the trade allows: service and battery leads that end in devices,
secondary conductors of 10 ft, or 25 ft to one device (240.21(C)), class 2, and all that a
device stands ahead of, however large (`oversized protection`).
"""

from collections.abc import Container, Iterator

from netcheck.case import View
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.protection import Holds
from netcheck.facts.sections import Sections
from netcheck.facts.wire_groups import by_cause, called, others_in_words, unsaid
from netcheck.facts.wire_protection import Fault, WireFault, WireProtection
from netcheck.figure import figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.devices import Part
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DANGER,
    summary="nothing opens before an ungrounded conductor is damaged",
    why="a short-circuit or an overload burns the conductor, for no device sees it",
    source="NEC 240.4, 240.21; 240.15(A), 240.20(A) and IEC 60204-1 7.2 from memory",
    kind=ReferenceKind.STANDARD,
    requires=(WireProtection, BeyondWires, CurrentPaths, Sections),
)
def find(view: View) -> Iterator[Outcome]:
    panel, faults = view.panel, view[WireProtection].faults
    bare = [one for one in faults if one.fault is Fault.UNPROTECTED]
    undeclared = view[Sections].undeclared
    sure = [one for one in bare if one.ahead.source not in undeclared]
    branches = _branches(view, sure)
    wires = {one.wire.index for one in branches}
    for group in by_cause(branches, lambda one: _marks(view, one, wires)):
        answer = next((one.fed.answer for one in group if one.fed), None)
        if isinstance(answer, Undecided):
            name = panel.wire_name(group[0].wire)
            reason = f"whether `{name}` is fed past every device: {answer.reason}"
            yield NotDecided(reason, Place(group[0].wire.span))
        else:
            yield _finding(view, group)
    for source in dict.fromkeys(one.ahead.source for one in bare if one not in sure):
        name = panel.sources[source].device
        reason = f"{name} does not say how it is grounded: which conductors need protection?"
        yield NotChecked(reason, Place(panel.devices[name].span), (name,))
    unknown = [one for one in faults if one.fault is Fault.UNKNOWN]
    for who, reason in dict.fromkeys((one.who, one.missing) for one in unknown if one.who):
        yield NotChecked(reason, Place(panel.devices[who].span), (who,))
    yield from unsaid(panel, ((one.wire, one.missing) for one in unknown if not one.who))


def _branches(view: View, faults: list[WireFault]) -> list[WireFault]:
    """Without the wires that also lead to devices, where the branch beyond them is named."""
    beyond, before = view[BeyondWires].of, view[BeyondWires].before
    bare = {one.wire.index for one in faults}
    explained: set[int] = set()
    for one in faults:
        if not beyond[one.wire.index].devices:
            at = before.get(one.wire.index)
            while at in bare and at not in explained and at is not None:
                explained.add(at)
                at = before.get(at)
    return [
        one
        for one in faults
        if not (beyond[one.wire.index].devices and one.wire.index in explained)
    ]


def _marks(
    view: View, fault: WireFault, faulty: Container[int | None]
) -> Iterator[tuple[str, int | None]]:
    """One cause with the wire that leads to it, and with the other lines of its loads."""
    yield ("wire", fault.wire.index)
    ahead_of_it = view[BeyondWires].before.get(fault.wire.index)
    if ahead_of_it in faulty:
        yield ("wire", ahead_of_it)
    section = view[Sections].of[fault.wire.a]
    if all(section not in (pole.section_a, pole.section_b) for pole in view[Sections].poles):
        yield ("no device anywhere in section", section)
    if not view[BeyondWires].of[fault.wire.index].devices:
        for load in view[CurrentPaths].loads_on(fault.wire.index):
            yield ("load", load)


def _finding(view: View, group: list[WireFault]) -> Finding:
    panel, first = view.panel, group[0]
    assert first.fed is not None
    assert isinstance(first.fed.answer, Reached)
    witness = tell(panel, first.fed.answer)
    wires = [one.wire for one in group]
    words, help = _words(view, first)
    source = panel.sources[first.ahead.source]
    return Finding(
        f"nothing opens before `{panel.wire_name(first.wire)}`{others_in_words(len(group) - 1)} "
        f"{'is' if len(group) == 1 else 'are'} damaged: {words}",
        Place(first.wire.span, "no device protects this"),
        devices=tuple(dict.fromkeys((source.device, first.ahead.by))),
        wires=called(panel, wires),
        condition=f"{first.wire.a} to {first.wire.b} from {first.ahead.pole}",
        related=tuple(Place(wire.span, "nor this") for wire in wires[1:]),
        live=f"{source.volts:g} V {source.kind} from {source.device}",
        state=witness.state,
        steps=witness.steps,
        path=told(panel, list(first.fed.path), first.wire),
        working=first.limit.steady.working if first.limit else (),
        assumed=first.limit.assumed if first.limit else (),
        help=help,
    )


def _words(view: View, fault: WireFault) -> tuple[str, str]:
    """Why nothing opens, and what to do."""
    ahead = fault.ahead
    if fault.limit is None or ahead.holds is Holds.NOTHING:
        return (
            f"`{ahead.pole}` feeds it with no breaker or fuse between",
            "put a breaker or fuse where it is fed, in each ungrounded conductor",
        )
    given, carried = figures_apart("A", ahead.amperes, fault.limit.steady.current_a)
    if ahead.holds is Holds.LIMIT:
        idle = [by for by in _devices_on(view, fault) if by != ahead.by]
        never = f", too little to open `{idle[0]}`" if idle else ""
        return (
            f"`{ahead.by}` gives up to {given}{never}, and it may carry {carried}",
            f"fit a device of no more than {carried}, well below the limit of `{ahead.by}`, "
            f"or a conductor that carries {given}",
        )
    transformer = view.panel.sources[ahead.source].device
    return (
        f"`{ahead.by}` lets {given} through `{transformer}`, and it may carry {carried}",
        f"protect it on its own side of `{transformer}`, at no more than {carried}",
    )


def _devices_on(view: View, fault: WireFault) -> list[str]:
    poles = view[Sections].pole_of
    path = fault.fed.path if fault.fed else ()
    return [
        passed.by.device
        for passed in path
        if isinstance(passed.by, Part) and passed.by.index in poles
    ]
