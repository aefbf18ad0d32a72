"""A short circuit at a load does not give the device ahead enough current to open at once.

The current is the voltage over the impedance of the source and of the wire out and home,
or what the supply gives at most.  It is held against what surely opens the device: what
the text says (`opens at once above`), the upper limit of its trip curve, five times the
rating of a breaker of which nothing is said, three times that of a fuse.

Devices for which one supply gives too little are one finding.  It keeps silent where no
source says what short-circuit current it can give, and where a supply can give no more than
the wire carries.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.far_faults import FarFault, FarFaults
from netcheck.facts.wire_groups import unsaid
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.QUERY,
    summary="a short circuit far out does not open the device ahead at once",
    why="the wire heats and the supply sags for as long as the device takes to open",
    source="IEC 60204-1 automatic disconnection; trip curves of IEC 60898, from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(FarFaults,),
)
def find(view: View) -> Iterator[Outcome]:
    limited: dict[str, list[FarFault]] = {}
    for fault in view[FarFaults].faults:
        if fault.limited and isinstance(fault.answer, Reached):
            limited.setdefault(fault.source.device, []).append(fault)
    together = {name: faults for name, faults in limited.items() if len(faults) > 1}
    for name, faults in together.items():
        yield _of_one_supply(view, name, faults)
    for fault in view[FarFaults].faults:
        if fault.source.device in together and fault in together[fault.source.device]:
            continue
        place = Place(fault.device.span, f"{fault.rating_a:g} A")
        if isinstance(fault.answer, Undecided):
            reason = f"what a short circuit at `{fault.load.name}` gives: {fault.answer.reason}"
            yield NotDecided(reason, place, (fault.device.name,))
        else:
            yield _finding(view, fault, fault.answer, place)
    yield from unsaid(view.panel, view[FarFaults].missing)


def _finding(view: View, fault: FarFault, answer: Reached, place: Place) -> Finding:
    current, needed = figures_apart("A", fault.current_a, fault.needed_a)
    witness = tell(view.panel, answer)
    source = fault.source.device
    held = f"`{source}` gives no more" if fault.limited else "the wire lets no more through"
    return Finding(
        f"a short circuit at `{fault.load.name}` draws {current}, and `{fault.device.name}` "
        f"opens at once above {needed}: {held}",
        place,
        related=(Place(view.panel.devices[fault.load.device].span, "a short circuit here"),),
        devices=(fault.device.name, fault.load.device, source),
        condition=fault.load.name,
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(fault)),
        help="a smaller device or a quicker one, or a larger wire"
        if not fault.limited
        else "a smaller device, a quicker one, or electronic protection of each branch",
    )


def _of_one_supply(view: View, supply: str, faults: list[FarFault]) -> Finding:
    """A supply that gives too little for several devices behind it."""
    panel, most = view.panel, max(fault.current_a for fault in faults)
    names = [fault.device.name for fault in faults]
    return Finding(
        f"`{supply}` gives no more than {figure(most, 'A')} into a short circuit, too little for "
        f"{listed(names)} to open at once",
        Place(panel.devices[supply].span, "gives no more"),
        devices=(supply, *names),
        related=tuple(
            Place(one.device.span, f"opens at once above {figure(one.needed_a, 'A')}")
            for one in faults
        ),
        working=tuple(step for fault in faults for step in _working(fault)),
        help="smaller devices, quicker ones, or electronic protection of each branch",
    )


def _working(fault: FarFault) -> Iterator[Working]:
    if fault.source.available_a is not None:
        available_a = fault.source.available_a
        yield Working(f"available at {fault.source.device}", available_a, "A", "as described")
    how = "at the supply's limit" if fault.limited else "solved with the load bridged"
    yield Working(f"short circuit at {fault.load.name}", fault.current_a, "A", how)
    what = f"{fault.device.name} opens at once above"
    if fault.device.number("instantaneous_a"):
        yield Working(what, fault.needed_a, "A", "as described")
    else:
        multiple = f"{fault.multiple:g} x {fault.rating_a:g} A"
        yield Working(what, fault.needed_a, "A", multiple, False)
