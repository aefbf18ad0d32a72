"""Sources of which the text does not say how they are grounded: each of their poles then counts as
live, and volts between any two of them are told as what a hand may meet."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from netcheck.bench.whereabouts import held_at_ground
from netcheck.model.devices import SourcePart
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.network.unions import Unions

USUAL = ("N", "0V", "X2", "-")
"""The pole that is grounded where one is, by its mark: common practice, no source."""


def unsaid_grounds(panel: Panel, among: Collection[str] | None = None) -> tuple[str, ...]:
    """A sentence for each such source, of those `among` these, with the phrase that would say it.

    What is wired to a source that says it, or to ground, need not say it again.
    """
    found = (_sentence(source) for source in _unsaid(panel) if among is None
             or source.device in among)  # fmt: skip
    return tuple(dict.fromkeys(found))


def _unsaid(panel: Panel) -> Iterator[SourcePart]:
    nodes, joined, held = find_nodes(panel), Unions[int](), held_at_ground(panel)
    places = [
        [nodes.of[f"{source.device}:{pole}"] for pole in source.poles] for source in panel.sources
    ]
    for some in places:
        for place in some:
            joined.join(some[0], place)
    said = {joined.find(nodes.of[end]) for end in held}
    said |= {joined.find(at[0]) for at, one in zip(places, panel.sources, strict=True)
             if one.grounding}  # fmt: skip
    for some, source in zip(places, panel.sources, strict=True):
        if joined.find(some[0]) not in said:
            yield source


def _sentence(source: SourcePart) -> str:
    name, poles = source.device, list(source.poles)
    taken = "volts are taken between any two poles"
    usual = next((pole for pole in USUAL if pole in poles), "")
    if usual and (usual == "N" or len(poles) == 2):
        return (
            f"{name} does not say that {usual} is grounded, so {usual} counts as live and {taken}: "
            f"write `{usual} grounded` in its line if it is"
        )
    return (
        f"{name} does not say how it is grounded, so each pole counts as live and {taken}: write "
        f"`ungrounded` in its line, or `{poles[-1]} grounded`, as it is"
    )
