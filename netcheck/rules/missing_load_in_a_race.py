"""A path without a load that closes only while something is still moving.

Settled operation never closes it; it takes an operation that arrives while a relay is
still on its way, or a change-over passed faster than the relays that hang on it.  A
declared mechanical interlock excludes it.
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
    summary="a path without a load closes if relays are overtaken by the next operation",
    why="a moment is enough to weld contacts; worn contactors are slower than new ones",
    source="opposing contactors are interlocked electrically and mechanically: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Shorts,),
)
def find(view: View) -> Iterator[Outcome]:
    for short in view[Shorts].found:
        if short.race:
            yield short_finding(
                view.panel,
                short,
                "open one coil through the other's closed contact, or interlock them mechanically",
            )
