"""A fault behind a small device may open the larger one ahead, and everything on that.

By their ratings alone: a device behind one of the same rating or a smaller one never opens
first with certainty, nor does a fuse behind a fuse of less than 1.6 times its rating
(IEC 60269, one class of fuses).  Breakers in series are selective only up to some current,
which their curves tell and ratings do not.

It keeps silent where only one device stands behind the other, for then nothing else is
lost; on edges and supplies, whose device is elsewhere; and across transformers.
"""

from collections.abc import Iterator, Mapping

from netcheck.case import View
from netcheck.facts.protection import Protection
from netcheck.facts.sections import NO_SECTION, ProtectivePole, Sections
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Device, device_of
from netcheck.rule import rule

FUSES = 1.6


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.QUERY,
    summary="a fault on one branch may open the device ahead of several",
    why="all that the device ahead feeds stops for a fault in one place",
    source="selectivity by ratings: 1.6 between fuses of one class (IEC 60269), from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Protection, Sections),
)
def find(view: View) -> Iterator[Outcome]:
    poles = {
        (pole.device.name, section): pole
        for pole in view[Sections].poles
        for section in (pole.section_a, pole.section_b)
    }
    behind: dict[str, dict[str, tuple[ProtectivePole, ProtectivePole]]] = {}
    for pole in view[Sections].poles:
        ahead = _ahead(view[Protection], pole, poles)
        if ahead is not None:
            behind.setdefault(ahead.device.name, {})[pole.device.name] = ahead, pole
    for branches in behind.values():
        if len(branches) < 2:
            continue
        for ahead, pole in branches.values():
            if _may_open_first(ahead, pole):
                yield _finding(ahead, pole)


def _ahead(
    protection: Protection, pole: ProtectivePole, poles: Mapping[tuple[str, int], ProtectivePole]
) -> ProtectivePole | None:
    """The pole of the device just ahead, where one is.  `poles` are by device and section."""
    for section, own in ((pole.section_a, pole.part.a), (pole.section_b, pole.part.b)):
        found = protection.worst(own) if section != NO_SECTION else None
        name = device_of(found.entry) if found is not None else ""
        if name and name != pole.device.name:
            return poles.get((name, section))
    return None


def _may_open_first(ahead: ProtectivePole, pole: ProtectivePole) -> bool:
    if not ahead.rating_a or not pole.rating_a:
        return False
    least = FUSES if ahead.fuse and pole.fuse else 1.0 + 1e-6
    return ahead.rating_a < pole.rating_a * least


def _finding(ahead: ProtectivePole, pole: ProtectivePole) -> Finding:
    first, second = ahead.device, pole.device
    larger, smaller = (figure(one.rating_a or 0.0, "A") for one in (ahead, pole))
    return Finding(
        f"`{first.name}` of {larger} may open before `{second.name}` of {smaller} behind it does",
        Place(second.span, smaller),
        related=(Place(first.span, "ahead, and of others too"),),
        devices=(second.name, first.name),
        condition=f"behind {first.name}",
        working=(
            Working(f"{first.name} is rated for", ahead.rating_a or 0.0, "A", "as described"),
            Working(f"{second.name} is rated for", pole.rating_a or 0.0, "A", "as described"),
        ),
        help=_help(first),
    )


def _help(first: Device) -> str:
    return f"a smaller device on the branch, or a larger `{first.name}` if its wire allows one"
