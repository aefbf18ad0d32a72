"""Two supplies said to be redundant whose inputs hang on the same breakers and fuses.

Asked of a supply that is said to be `redundant with` another: what trips for the one takes
the other's feed away, where either has no breaker or fuse of its own ahead.

It keeps silent on supplies that are not said to be redundant, and where each input has a
breaker or fuse of its own behind what they share.  That one alone cannot carry the load is
`supply overloaded`, for all that either may feed counts for both.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device
from netcheck.rule import rule
from netcheck.telling import listed

PROTECTS = frozenset(("breaker", "fuse"))


@rule(
    family=Family.SUPPLY,
    severity=Severity.QUERY,
    summary="two redundant supplies hang on one breaker or fuse",
    why="the second supply is there for the day the first fails, and goes down with it",
    source="separate feeds of redundant supplies: trade articles, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    pairs: dict[frozenset[str], tuple[Device, Device]] = {}
    for one in panel.devices.values():
        twin = panel.devices.get(str(one.values.get("redundant_with", "")))
        if twin is not None and twin is not one:
            pairs.setdefault(frozenset((one.name, twin.name)), (one, twin))
    for one, twin in pairs.values():
        ahead = {device.name: _ahead(view, device) for device in (one, twin)}
        shared = [name for name in ahead[one.name] if name in ahead[twin.name]]
        bare = [device for device in (one, twin) if set(ahead[device.name]) <= set(shared)]
        if shared and bare:
            yield _finding(view, (one, twin), shared, bare)


def _ahead(view: View, supply: Device) -> list[str]:
    """The breakers and fuses through which a supply draws, in the order of the text."""
    panel, paths = view.panel, view[CurrentPaths]
    inputs = {index for source in supply.sources for index in panel.sources[source].inputs}
    own = {
        number
        for number, load in enumerate(paths.loads)
        if any(part.index in inputs for part in load.parts)
    }
    protective = [part for part in panel.parts if panel.devices[part.device].kind in PROTECTS]
    through = [part.device for part in protective if own & set(paths.loads_through(part))]
    return list(dict.fromkeys(through))


def _finding(
    view: View, pair: tuple[Device, Device], shared: list[str], bare: list[Device]
) -> Finding:
    panel = view.panel
    names = [device.name for device in pair]
    return Finding(
        f"{listed(names)} are not redundant: both hang on {listed(shared)}",
        Place(panel.devices[shared[-1]].span, "takes both down"),
        devices=(*names, *shared),
        condition=" ".join(shared),
        related=tuple(Place(device.span, "has none of its own") for device in bare),
        help="feed each of them through a breaker or fuse of its own",
    )
