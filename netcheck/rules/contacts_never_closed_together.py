"""Contacts in series that no reachable state closes at once, though what they feed has another way.

A branch that looks complete on paper and never conducts: a selector asked for two
positions, a relay asked to be in and out, two relays that exclude one another.  Only
contacts with nothing branching off between them are compared, and states passed
through count as closed: a pulse of two relays is meant to be short.

Where such contacts keep a load dead altogether the one finding is `load never
energised`, and this rule keeps silent; so it does on contacts that lead from pole to pole
with no load between, on what is cut off by another break, in a circuit of which an end
leads nowhere (`end not connected`: its contacts may only look as if in series), and where
a race could close them.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.breaks import Kind
from netcheck.facts.open_ends import OpenEnds
from netcheck.facts.open_paths import OpenPaths
from netcheck.facts.series_contacts import SeriesContacts
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, told
from netcheck.rule import rule
from netcheck.telling import never_together, span_of


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="contacts in series that no reachable state closes at once",
    why="the branch they stand in never conducts, whatever it was drawn for",
    source="a switch is in one position at a time, a relay in or out: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(SeriesContacts, OpenPaths, OpenEnds),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    elsewhere = {
        part.index
        for path in view[OpenPaths].found
        if path.broken.kind is Kind.CONTACTS
        for part in path.broken.parts
    }
    cut_off = {end for path in view[OpenPaths].found for end in path.beside}
    open_circuits = {
        wire.circuit for end in view[OpenEnds].ends for wire in panel.wires_at.get(end.wired, ())
    }
    for series in view[SeriesContacts].never_closed:
        if any(part.index in elsewhere for part in series.excluded):
            continue
        if {series.path[0].start, series.path[-1].end} <= cut_off:
            continue
        if not open_circuits.isdisjoint(_circuits(series.path)):
            continue
        last = series.excluded[-1]
        yield Finding(
            never_together(panel, series.excluded),
            Place(span_of(panel, last), "this contact would have to be closed too"),
            devices=tuple(dict.fromkeys(part.device for part in series.excluded)),
            condition=" ".join(part.label for part in series.excluded),
            related=tuple(
                Place(span_of(panel, part), "this contact excludes it")
                for part in series.excluded[:-1]
            ),
            path=told(panel, list(series.path), last),
            help="look for the contact that is of the wrong kind or landed on the wrong terminal",
        )
    for series, reason in view[SeriesContacts].undecided:
        names = tuple(dict.fromkeys(part.device for part in series.excluded))
        yield NotDecided(
            f"whether the contacts of {' and '.join(f'`{name}`' for name in names)} in series can "
            f"be closed at once: {reason}",
            Place(span_of(panel, series.excluded[-1])),
            names,
        )


def _circuits(path: tuple[Passed, ...]) -> set[str]:
    return {passed.by.circuit for passed in path if isinstance(passed.by, Wire)}
