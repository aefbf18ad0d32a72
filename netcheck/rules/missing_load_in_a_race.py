"""A path without a load that closes only while something is still moving.

Settled operation, one relay moving after the other, never closes it.  It takes an operation
that arrives while a relay is still on its way, a change-over passed faster than the relays
that hang on it, or two relays that move in the same instant: each pulls in before the other
has opened its coil circuit.  A declared mechanical interlock excludes all of these.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.shorts import Shorts
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import short_finding


@rule(
    family=Family.MISSING_LOAD,
    severity=Severity.QUERY,
    summary="a path without a load closes if relays are overtaken, or move in the same instant",
    why="a moment is enough to weld contacts; worn contactors are slower than new ones",
    source="opposing contactors are interlocked electrically and mechanically: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Shorts,),
)
def find(view: View) -> Iterator[Outcome]:
    for short in view[Shorts].found:
        if short.race:
            yield short_finding(view.panel, short, _AT_ONCE if short.in_one_instant else _OVERTAKEN)


_AT_ONCE = "interlock them mechanically: contacts alone are too slow if both move at once"
_OVERTAKEN = "open one coil through the other's closed contact, or interlock them mechanically"
