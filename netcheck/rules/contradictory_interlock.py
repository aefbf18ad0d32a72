"""Relays that keep one another out for good: an interlock that forbids what another needs.

Said of coils that no reachable state energises, where the cause is other relays alone:

- two or more relays wait for one another, each fed only through a contact that closes once
  another of them is in;
- the fewest contacts that keep a coil dead are of two or more relays, and no reachable
  state closes them at once: one is in only while the other is out.

A relay that waits for its own contact, one asked to be in and out at once, and what
a selector or button excludes are `relay never pulls in`.  An interlock that lets its own relay in
and throws it out again is `chattering`.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.breaks import Kind
from netcheck.facts.dead_circuits import DeadCircuits, Speaker
from netcheck.facts.open_paths import OpenPath
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.record import replace
from netcheck.rule import rule
from netcheck.telling import dead_relays, open_path_finding

HELP = "let one of them in without the other, or look for a contact of the wrong kind"


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DEFECT,
    summary="relays whose interlocks keep one another out in every state",
    why="none of them ever moves, and each looks sound by itself",
    source="a sequence in which each waits for the other never starts: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(DeadCircuits,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for path in view[DeadCircuits].of(Speaker.INTERLOCK):
        said = dead_relays(panel, path)
        yield replace(
            open_path_finding(panel, path, said, "its coil is never energised", _why(path)),
            help=HELP,
        )


def _why(path: OpenPath) -> str:
    """How relays wait for one another; contacts that exclude each other are told as ever."""
    if path.broken.kind is not Kind.WAITING:
        return ""
    first, *contacts = path.loads[0].device, *(part.label for part in path.broken.parts)
    through = f", `{first}` for `{contacts[0]}`" if contacts else ""
    return f"they wait for one another{through}"
