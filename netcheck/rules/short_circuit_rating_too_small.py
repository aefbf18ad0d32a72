"""Something in a power circuit does not withstand the short-circuit current that can flow there.

The assembly is rated by its weakest part.  It speaks of each part that says a short-circuit
rating, alone or behind the device ahead of it, below what is available there; and of a
nameplate that claims more than its weakest part withstands, or less than is available where
the panel is fed.

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
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
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
    weakest = min(parts, key=lambda one: one.withstand_a, default=None)
    worksheet = tuple(
        Working(f"{one.device.name} withstands", one.withstand_a, "A", one.said)
        for one in sorted(parts, key=lambda one: one.withstand_a)[:MOST_PARTS]
    )
    if weakest is not None and weakest.withstand_a < claimed_a:
        least, claimed = figures_apart("A", weakest.withstand_a, claimed_a)
        yield Finding(
            f"the nameplate claims {claimed}, and its weakest part, `{weakest.device.name}`, "
            f"withstands {least}",
            Place(weakest.device.span, "the weakest part"),
            devices=(weakest.device.name,),
            condition="nameplate",
            working=(*worksheet, Working("nameplate", claimed_a, "A", "as described")),
            help=f"claim {least} on the nameplate, or fit a part that withstands more",
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
