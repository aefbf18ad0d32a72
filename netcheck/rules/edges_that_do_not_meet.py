"""An edge that leads to another panel of the same text, where none comes back to meet it.

It speaks where an edge says `from` or `to` the title or name of a panel that this text
describes too, and that panel has no edge which names the first one the other way, or only
such ones of another voltage or kind.

It keeps silent on edges to panels described elsewhere: what they claim is on trust.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.rule import rule

OTHER = {"from": "to", "to": "from"}


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="an edge leads to a panel described here, and no edge of that panel meets it",
    why="the two panels were changed apart: what one sends, the other does not expect",
    source="cross references resolve: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    if len(panel.titles) < 2:
        return
    edges = [device for device in panel.devices.values() if device.kind == "edge"]
    told: set[str] = set()
    for edge in edges:
        for way in OTHER:
            there = _panel_called(panel, str(edge.values.get(way, "")))
            here = _panel_of(panel, edge)
            if there is None or there == here or edge.name in told:
                continue
            partners = [
                other
                for other in edges
                if _panel_of(panel, other) == there
                and _panel_called(panel, str(other.values.get(OTHER[way], ""))) == here
            ]
            if not any(_rated(panel, other) == _rated(panel, edge) for other in partners):
                told |= {edge.name, *(other.name for other in partners)}
                yield _finding(panel, edge, way, partners)


def _panel_called(panel: Panel, words: str) -> str | None:
    """The name of the panel that these words mean, by its title or its name."""
    names = [name for name, title in panel.titles.items() if words and words in (title, name)]
    return names[0] if names else None


def _panel_of(panel: Panel, device: Device) -> str:
    first = device.name.partition(".")[0]
    return first if first in panel.titles and "." in device.name else ""


def _rated(panel: Panel, edge: Device) -> tuple[float, str]:
    """Its volts and their kind, be it a source or a load."""
    if edge.sources:
        source = panel.sources[edge.sources[0]]
        return source.volts, source.kind
    load = panel.parts[edge.parts[0]].load
    return (load.volts or 0.0, load.kind) if load is not None else (0.0, "")


def _finding(panel: Panel, edge: Device, way: str, partners: list[Device]) -> Finding:
    where = edge.values[way]
    leads = "comes from" if way == "from" else "leads to"
    if partners:
        volts, kind = _rated(panel, edge)
        theirs_v, theirs = _rated(panel, partners[0])
        message = (
            f"`{edge.name}` {leads} `{where}` with {volts:g} V {kind}, and `{partners[0].name}` "
            f"there has {theirs_v:g} V {theirs}"
        )
    else:
        message = f"`{edge.name}` {leads} `{where}`, and no edge there meets it"
    return Finding(
        message,
        Place(edge.span, f"{leads} `{where}`"),
        devices=(edge.name, *(other.name for other in partners)),
        related=tuple(Place(other.span, "which should meet it") for other in partners),
        help="make the two agree, or draw the field cable between the panels",
    )
