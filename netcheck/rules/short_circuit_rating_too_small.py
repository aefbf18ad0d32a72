"""Something in a power circuit does not withstand the short-circuit current that can flow there.

The assembly is rated by its weakest part.  It speaks of each part that says a short-circuit
rating, alone or behind the device ahead of it, below what is available there; and of a
nameplate that claims more than its weakest part withstands, or than a breaker or fuse that the
service reaches interrupts, or less than is available where the panel is fed.  Where no part
says what it withstands or interrupts, a nameplate's claim is not checked.

It keeps silent on parts that say no rating, which are taken to be chosen for it, and behind
supplies that limit their current.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.fault_currents import FaultCurrents
from netcheck.facts.short_circuit_ratings import ShortCircuitRatings, Withstand
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.rule import rule

MOST_PARTS = 8


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DEFECT,
    summary="a part does not withstand the short-circuit current that can flow at its place",
    why="it bursts or welds while the device ahead is still opening",
    source="NEC 110.10, 409.22; UL 508A SB4: the weakest part counts; read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(ShortCircuitRatings, FaultCurrents),
)
def find(view: View) -> Iterator[Outcome]:
    panel, parts = view.panel, view[ShortCircuitRatings].parts
    for one in parts:
        if one.too_small:
            yield _finding(one)
    claimed_a = _claimed_a(panel)
    if claimed_a is not None:
        yield from _nameplate(view, claimed_a, parts)


def _finding(one: Withstand) -> Finding:
    withstands, available = figures_apart("A", one.withstand_a, one.available_a)
    has = f"withstands {withstands}"
    if not one.withstand_a:
        has = f"has a short-circuit rating only behind `{one.device.values['combination_by']}`"
    return Finding(
        f"`{one.device.name}` {has}, and up to {available} can flow there in a short circuit",
        Place(one.device.span, withstands),
        devices=(one.device.name, one.ahead),
        condition="short-circuit rating",
        working=(
            Working(f"{one.device.name} withstands", one.withstand_a, "A", one.said),
            Working(f"available at {one.ahead}", one.available_a, "A", "ahead of it, at most"),
        ),
        help="one that withstands it, or a device ahead that it is tested with",
    )


def _claimed_a(panel: Panel) -> float | None:
    said = dict(panel.settings.nameplate).get("withstand_a")
    return float(said) if isinstance(said, (int, float)) else None


def _nameplate(view: View, claimed_a: float, parts: tuple[Withstand, ...]) -> Iterator[Outcome]:
    panel = view.panel
    rated = [(one.withstand_a, "withstands", one.device, one.said) for one in parts]
    rated += [
        (interrupts_a, "interrupts", device, "as described")
        for device in _first_reached(view)
        if (interrupts_a := device.number("interrupting_a"))
    ]
    rated.sort(key=lambda one: one[0])
    worksheet = tuple(
        Working(f"{device.name} {does}", amperes, "A", said)
        for amperes, does, device, said in rated[:MOST_PARTS]
    )
    if not rated:
        claim = f"the nameplate claims {figure(claimed_a, 'A')}"
        reason = f"{claim}, and no part says what it withstands or interrupts"
        yield NotChecked(
            reason, Place(panel.settings.span or panel.devices[panel.sources[0].device].span)
        )
    elif rated[0][0] < claimed_a:
        weakest_a, does, device, _ = rated[0]
        least, claimed = figures_apart("A", weakest_a, claimed_a)
        yield Finding(
            f"the nameplate claims {claimed}, and its weakest part, `{device.name}`, "
            f"{does} {least}",
            Place(device.span, "the weakest part"),
            devices=(device.name,),
            condition="nameplate",
            working=(*worksheet, Working("nameplate", claimed_a, "A", "as described")),
            help=f"claim {least} on the nameplate, or fit a part that {does} more",
        )
    for source in panel.sources:
        if source.mechanism and source.available_a and source.available_a > claimed_a:
            device = panel.devices[source.device]
            claimed, available = figure(claimed_a, "A"), figure(source.available_a, "A")
            yield Finding(
                f"the panel withstands {claimed} by its nameplate, and `{source.device}` has "
                f"{available} available",
                Place(device.span, available),
                devices=(source.device,),
                condition="nameplate at the source",
                working=(*worksheet, Working("nameplate", claimed_a, "A", "as described")),
                help="feed it from where less is available, or rate it for what there is",
            )


def _first_reached(view: View) -> Iterator[Device]:
    """Breakers and fuses that a source from outside reaches, but for those rated in series."""
    sources = view.panel.sources
    for fault in view[FaultCurrents].devices:
        outside = any(sources[index].mechanism for index in fault.sources)
        if outside and not fault.device.values.get("combination_by"):
            yield fault.device
