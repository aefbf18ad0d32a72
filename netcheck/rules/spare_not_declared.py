"""A contact, pole, input, output or cable core that is used nowhere and not marked spare.

One finding for each device or cable.  It keeps silent on the unused throw of a change-over
contact whose other throw is used, on poles of breakers, fuses, disconnects and
overloads, on devices in no circuit (`device in no circuit`), on an output
where a load's path breaks (`load never energised`), on cables that do not say how many
cores they have, and on all that is marked spare.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.open_ends import OpenEnds
from netcheck.facts.open_paths import OpenPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.model.wires import Cable
from netcheck.rule import rule
from netcheck.telling import in_words, listed, named

MOST_NAMED = 8


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.QUERY,
    summary="a contact, pole, input, output or core is used nowhere and is not marked spare",
    why="what was forgotten and what is spare look the same until the text says which",
    source="spares are declared: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpenEnds, OpenPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    told = {end for path in view[OpenPaths].found for end in (path.broken.last, path.broken.first)}
    for name, parts in view[OpenEnds].unused.items():
        names = [named(panel, part) for part in parts if told.isdisjoint((part.a, part.b))]
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
    yield from _cores(panel)


def _cores(panel: Panel) -> Iterator[Outcome]:
    drawn = {name: set(cable.unread) for name, cable in panel.cables.items()}
    for wire in panel.wires:
        if wire.cable:
            drawn[wire.cable].add(wire.number.rpartition(".")[2])
    for name, cable in panel.cables.items():
        if cable.properties.spare or len(drawn[name]) + len(cable.spare) >= cable.cores:
            continue
        yield Finding(
            f"{_unused_cores(cable, drawn[name])} drawn nowhere and not marked spare",
            Place(cable.span, "used only in part" if drawn[name] else "used nowhere"),
            wires=tuple(f"{name}.{core}" for core in _left(cable, drawn[name])),
            condition=f"cores of {name}",
            help="draw what was forgotten, or write `spare cores` and their numbers",
        )


def _left(cable: Cable, drawn: set[str]) -> list[str]:
    """The cores left over, if all go by their numbers."""
    numbered = [str(number) for number in range(1, cable.cores + 1)]
    if not drawn | cable.spare <= set(numbered):
        return []
    return [core for core in numbered if core not in drawn and core not in cable.spare]


def _unused_cores(cable: Cable, drawn: set[str]) -> str:
    """`cores 6 and 7 of cable `W1` are`; how many, where they do not all go by numbers."""
    if not drawn and not cable.spare:
        return f"all {cable.cores} cores of cable `{cable.name}` are"
    left = _left(cable, drawn)
    if left and len(left) <= MOST_NAMED:
        cores = "core" if len(left) == 1 else "cores"
        return f"{cores} {in_words(left)} of cable `{cable.name}` {_are(len(left))}"
    count = cable.cores - len(drawn) - len(cable.spare)
    return f"{count} of the {cable.cores} cores of cable `{cable.name}` {_are(count)}"


def _are(count: int) -> str:
    return "is" if count == 1 else "are"
