"""Something that is marked spare and is wired into a circuit.

It speaks of a contact, pole, input, output or load that says `spare`, or whose device does,
where both its ends are joined to other devices, be it through terminals; and of a terminal of
a strip that is said to be spare and holds two wires or more.

It keeps silent where a spare is wired at one end only, or out to terminals at which nothing
else is landed: so spares are kept at hand.  A cable core that is said to be spare and is drawn
is a mistake in the text.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.strip_places import joined_by_wire
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Device, Part, device_of
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed, named, span_of
from netcheck.text import Span


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="something that is marked spare is in use",
    why="what is spare is passed over by every other check, and taken by whoever needs one next",
    source="spares are declared: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    devices = panel.devices.values()
    if not any(_spares(panel, one) or one.values.get("spare_terminals") for one in devices):
        return
    places = _places(panel)
    for device in panel.devices.values():
        yield from _terminals(panel, device)
        used = [part for part in _spares(panel, device) if _in_use(panel, places, part)]
        if not used:
            continue
        whole = "spare" in device.marks
        names = [device.name] if whole else [named(panel, part) for part in used]
        verb = "are" if len(names) > 1 else "is"
        yield Finding(
            f"{listed(names)} {verb} marked spare and {verb} in use",
            Place(_span(panel, used[0]), "in use"),
            devices=(device.name,),
            condition=" ".join(names),
            related=(Place(device.span, "marked spare"),),
            help="leave out `spare` where it is in use now",
        )


def _terminals(panel: Panel, device: Device) -> Iterator[Finding]:
    """Those of a strip through which a circuit goes on; one with a single wire is kept at hand."""
    spare = device.values.get("spare_terminals")
    marks = spare if isinstance(spare, tuple) else ()
    ends = [f"{device.name}:{mark}" for mark in marks]
    used = [end for end in ends if len(panel.wires_at.get(end, ())) > 1]
    if used:
        verb = "are" if len(used) > 1 else "is"
        yield Finding(
            f"{listed(used)} {verb} marked spare and {verb} in use",
            Place(panel.wires_at[used[0]][-1].span, "in use"),
            devices=(device.name,),
            condition=" ".join(used),
            related=(Place(device.span, "said to be spare"),),
            help="leave out of `spare terminals` what is in use now",
        )


def _spares(panel: Panel, device: Device) -> list[Part]:
    """What of a device is marked spare, without what only joins or grounds it."""
    if device.values.get("terminal"):
        return []
    whole = "spare" in device.marks
    parts = (panel.parts[index] for index in device.parts)
    return [
        part
        for part in parts
        if (whole or part.spare) and part.conducts is not Conducts.BOND and not part.inside
    ]


def _places(panel: Panel) -> dict[str, set[str]]:
    """For each terminal those of devices that it is joined to by wires and strips."""
    found: dict[str, set[str]] = {}
    for group in joined_by_wire(panel).groups():
        ends = {end for end in group if not panel.devices[device_of(end)].values.get("terminal")}
        found.update((end, ends) for end in group)
    return found


def _in_use(panel: Panel, places: dict[str, set[str]], part: Part) -> bool:
    return all(places.get(end, set()) - {end} for end in (part.a, part.b))


def _span(panel: Panel, part: Part) -> Span:
    """Where a circuit line passes it, else the wire that comes to its own end."""
    wires = panel.wires_at.get(min((part.a, part.b), key=lambda end: len(panel.parts_at[end])), ())
    if wires and part.index not in panel.chain_spans:
        return wires[-1].span
    return span_of(panel, part)
