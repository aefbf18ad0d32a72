"""Loads that are fed only through one another, so that none gets the whole voltage.

The rule speaks of loads that some reachable state feeds through another load, and no
reachable state feeds without one.  How the voltage divides is worked out at nominal volts:
exactly for a plain chain of loads that are alike or of constant resistance, else from the
least to the most that each can get, since a lamp takes anything up to its rated current and
a coil on AC anything up to its inrush.  It finds a chain in which some load's share surely
lies outside its band, or whose loads need more together than there is, and keeps silent on
one made for its place, two 12 V lamps on 24 V.  Any other chain is *not decided*.

It keeps silent on a load that has a feed of its own in some other state, on a resistor
that has no voltage of its own, on the windings of one three-phase load, and on what no
reachable state feeds at all.  One chain is told once, at the load drawn last.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View
from netcheck.facts.loads_in_series import LoadsInSeries, SeriesLoads
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.states.behaviour import kind_of
from netcheck.telling import listed, span_of, volts_in_words, when, written_at

if TYPE_CHECKING:
    from netcheck.solve.near_loads import Spread

DIVIDER = "resistances in series share the voltage in their own ratio"
EXTREMES = "solved with what the loads may take at their most different"


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DEFECT,
    summary="loads stand in series and share the voltage between them",
    why="each gets only its share: a coil hums or stays out, a lamp glows or is overfed",
    source=f"{DIVIDER}: circuit theory",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(SeriesLoads,),
)
def find(view: View) -> Iterator[Outcome]:
    for string in view[SeriesLoads].strings:
        suits = string.suits
        if suits is None:
            yield _not_decided(view.panel, string)
        elif not suits:
            yield _finding(view.panel, string)


def _finding(panel: Panel, string: LoadsInSeries) -> Finding:
    names = _names(string)
    assert string.feed is not None
    witness = string.witness
    assert witness is not None
    state = dict(witness.state)
    last = max(string.loads, key=lambda part: written_at(panel, part))
    return Finding(
        f"{_together(names)} stand in series on {volts_in_words(string.feed.volts)}"
        f"{when(panel, string.path, state)}: {_gets(string)}",
        Place(span_of(panel, last), "in series with another load"),
        devices=tuple(names),
        related=tuple(
            Place(span_of(panel, part), "shares the voltage")
            for part in string.loads
            if part is not last
        ),
        state=state,
        steps=witness.steps,
        path=told(panel, list(string.path), last),
        working=tuple(step for part in string.loads for step in _working(part, string)),
        help="land each load's return on the wire that goes home, so that it has the whole voltage",
    )


def _gets(string: LoadsInSeries) -> str:
    assert string.feed is not None
    if string.too_much_v:
        return f"together they need {figure(string.too_much_v, 'V')} or more"
    shares = {part.label: _in_words(string.shares[part.index]) for part in string.loads}
    each = list(dict.fromkeys(shares.values()))
    if len(each) == 1:
        return f"each gets {each[0]} {kind_of(string.feed.volts)}"
    return ", ".join(f"`{label}` gets {share}" for label, share in shares.items())


def _in_words(share: Spread) -> str:
    least, most = figure(share.least_v, "V"), figure(share.most_v, "V")
    return most if least == most else f"{least} to {most}"


def _working(part: Part, string: LoadsInSeries) -> Iterator[Working]:
    assert part.load is not None
    share = string.shares.get(part.index)
    if part.load.volts is not None:
        yield Working(f"{part.label} is made for", part.load.volts, "V", "as described")
    if string.too_much_v and part.load.volts is not None:
        least_v = part.load.volts * part.load.low
        yield Working(f"{part.label} needs", least_v, "V", "the least of its band")
    elif share is not None and share.least_v == share.most_v:
        yield Working(f"{part.label} gets", round(share.most_v, 3), "V", DIVIDER)
    elif share is not None:
        yield Working(f"{part.label} gets at least", round(share.least_v, 3), "V", EXTREMES)
        yield Working(f"{part.label} gets at most", round(share.most_v, 3), "V", EXTREMES)


def _not_decided(panel: Panel, string: LoadsInSeries) -> NotDecided:
    names = _names(string)
    if string.witness is None or string.feed is None:
        verb = "is" if len(names) == 1 else "are"
        reason = f"whether {listed(names)} {verb} fed through another load: {string.reason}"
    else:
        state = when(panel, string.path, dict(string.witness.state))
        reason = (
            f"how {_together(names)}, in series{state}, share "
            f"{volts_in_words(string.feed.volts)}: {string.reason}"
        )
    last = max(string.loads, key=lambda part: written_at(panel, part))
    return NotDecided(
        reason,
        Place(span_of(panel, last), "in series with another load"),
        tuple(names),
        told(panel, list(string.path), last),
    )


def _names(string: LoadsInSeries) -> list[str]:
    return list(dict.fromkeys(part.device for part in string.loads))


def _together(names: list[str]) -> str:
    return listed(names) if len(names) > 1 else f"loads of `{names[0]}`"
