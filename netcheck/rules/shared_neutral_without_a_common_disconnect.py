"""Circuits that share a neutral cannot be switched off together where they begin.

Whoever opens one leg and takes the neutral apart meets the other leg through its loads.  It
speaks where loads of different legs share a neutral conductor, and the devices that protect
their legs are neither one device nor tied by their handles.

It keeps silent on the neutral of the whole source, where a leg is protected by the source
itself, and in IEC practice.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.protection import Protection
from netcheck.facts.shared_neutrals import SharedNeutrals
from netcheck.facts.wire_groups import called
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DEFECT,
    summary="circuits that share a neutral have no common means of switching off",
    why="with one leg off, the open neutral is live through the loads of the other",
    source="NEC 210.4(B); read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(SharedNeutrals, Protection),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    if panel.settings.practice.iec:
        return
    found: dict[frozenset[str], Wire] = {}
    for wire, loads in view[SharedNeutrals].groups:
        ahead = [view[Protection].worst(hot) for _, hot in loads]
        names = frozenset(device_of(one.entry) for one in ahead if one is not None)
        devices = [panel.devices[name] for name in names]
        if not any(device.sources for device in devices) and not _as_one(devices):
            found.setdefault(names, wire)
    for names, wire in found.items():
        if not any(names < others for others in found):
            yield _finding(
                panel, [one for one in panel.devices.values() if one.name in names], wire
            )


def _finding(panel: Panel, devices: list[Device], wire: Wire) -> Finding:
    names = [device.name for device in devices]
    return Finding(
        f"{listed(names)} do not open together, and the circuits behind them share "
        f"`{panel.wire_name(wire)}` as their neutral",
        Place(devices[-1].span, "opens by itself"),
        related=(
            *(Place(device.span, "and this one") for device in devices[:-1]),
            Place(wire.span, "neutral of both"),
        ),
        devices=tuple(names),
        wires=called(panel, [wire]),
        condition="common disconnect",
        help=_help(devices),
    )


def _as_one(devices: list[Device]) -> bool:
    """Whether handles tie them all, one to another."""
    joined: Unions[str] = Unions()
    for device in devices:
        tied = device.values.get("tied")
        joined.find(device.name)
        if isinstance(tied, str):
            joined.join(device.name, tied)
    return len({joined.find(device.name) for device in devices}) < 2


def _help(devices: list[Device]) -> str:
    if all(device.kind == "breaker" for device in devices):
        return "one breaker with a pole for each leg, or handles that are tied"
    return "a disconnect that opens all legs ahead of the fuses, or a neutral for each circuit"
