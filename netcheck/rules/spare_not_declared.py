"""A contact, contactor pole, input or output with nothing wired to it, and not marked spare.

One finding for each device.  It keeps silent on the unused throw of a change-over
contact whose other throw is used, on poles of breakers, fuses, disconnects and
overloads, on cable cores, on devices in no circuit (`device in no circuit`), on an output
where a load's path breaks (`load never energised`), and on all that is marked spare.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.open_ends import OpenEnds
from netcheck.facts.open_paths import OpenPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Part, mark_of
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.QUERY,
    summary="a contact, pole, input or output is used nowhere and is not marked spare",
    why="what was forgotten and what is spare look the same until the text says which",
    source="spares are declared: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpenEnds, OpenPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    told = {end for path in view[OpenPaths].found for end in (path.broken.last, path.broken.first)}
    for name, parts in view[OpenEnds].unused.items():
        names = [_named(panel, part) for part in parts if told.isdisjoint((part.a, part.b))]
        if not names:
            continue
        verb = "is not used and not" if len(names) == 1 else "are not used and not"
        yield Finding(
            f"{listed(names, most=6)} {verb} marked spare",
            Place(panel.devices[name].span, "used only in part"),
            devices=(name,),
            condition=" ".join(names),
            help="wire what was forgotten, or write `spare` after the rest",
        )


def _named(panel: Panel, part: Part) -> str:
    """`K1 13-14`; an input or output by its own mark."""
    if part.conducts is Conducts.CONTACT and len(panel.parts_at.get(part.a, ())) == 1:
        if len(panel.parts_at.get(part.b, ())) == 1:
            return part.label
        return f"{part.device} {mark_of(part.a)}"
    if part.conducts is Conducts.CONTACT and len(panel.parts_at.get(part.b, ())) == 1:
        return f"{part.device} {mark_of(part.b)}"
    return part.label if part.conducts is Conducts.CONTACT else f"{part.device} {mark_of(part.a)}"
