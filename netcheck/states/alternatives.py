"""A question taken apart: what can happen in one of several ways is asked way by way.

Whether two lines of a big panel ever meet is a question of every reversing pair in it, with
everything that moves them.  Each pair alone is a small one.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.states.cone import Slicer
from netcheck.states.expressions import TRUE, Logic

MOST = 5_000
"""A question with more alternatives is left whole."""


def alternatives(logic: Logic, literal: int) -> list[int]:
    """Literals of which one is true exactly where `literal` is; itself alone if it is not an OR.

    An AND with one OR among its members is taken apart by that OR.
    """
    members = logic.members(literal)
    splits = [(len(found), -place) for place, m in enumerate(members) if (found := _ways(logic, m))]
    if not splits:
        return [literal]
    count, place = max(splits)
    if count > MOST:
        return [literal]
    chosen = members[-place]
    others = [member for member in members if member != chosen]
    return [logic.all_of([way, *others]) for way in _ways(logic, chosen)]


def grouped(logic: Logic, slicer: Slicer, literals: Iterable[int]) -> list[int]:
    """The same alternatives, together where one depends on nothing that another does not."""
    literals = list(literals)
    needs = [slicer.reach([literal]) for literal in literals]
    order = sorted(range(len(literals)), key=lambda place: (-len(needs[place]), place))
    hosts: dict[str, list[int]] = {}
    """For each name, those of the alternatives that keep a place of their own and need it."""
    groups: dict[int, list[int]] = {}
    for place in order:
        own = needs[place]
        rarest = min(own, key=lambda name: (len(hosts.get(name, ())), name), default="")
        host = next((at for at in hosts.get(rarest, ()) if own <= needs[at]), None)
        if host is None:
            host = place
            for name in own:
                hosts.setdefault(name, []).append(place)
        groups.setdefault(host, []).append(place)
    ordered = sorted(sorted(places) for places in groups.values())
    return [logic.any_of(literals[place] for place in places) for places in ordered]


def _ways(logic: Logic, literal: int) -> list[int]:
    """The operands of an OR; empty if it is none."""
    if not literal & 1 or literal == TRUE or logic.is_variable(literal):
        return []
    return [way ^ 1 for way in logic.members(literal ^ 1)]
