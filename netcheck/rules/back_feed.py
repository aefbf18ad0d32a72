"""A transformer, supply or drive that another source feeds from its output while it is off.

The rule speaks where a state of settled operation, or one passed through on the way, joins
the poles of another source to those of the output while the device's own input is dead or
it does not run.  A transformer then gives its primary's voltage at the ratio, behind the
switch that is open; the output of a drive or a supply is not made to be driven.

It keeps silent on a supply that is `decoupled` and where diodes keep the sources apart, on
supplies that all say `may be paralleled`, where both are live at once (a missing load, or
`paralleled sources`, and told as such), and where only a race brings it about.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.back_feeds import BackFeed, BackFeeds
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
from netcheck.model.panel import Panel
from netcheck.network.traces import name_of, told
from netcheck.rule import rule
from netcheck.states.volts import magnitude
from netcheck.telling import in_words, span_of, volts_in_words, when


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.DANGER,
    summary="another source feeds a transformer, supply or drive from its output while it is off",
    why="a primary is live behind its open switch and hurts who works there; a drive is destroyed",
    source="back-fed voltage: safe-work guidance, read second-hand; a transformer works both ways",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(BackFeeds,),
)
def find(view: View) -> Iterator[Outcome]:
    for found in view[BackFeeds].found:
        yield _finding(view.panel, found)
    for device, reason in view[BackFeeds].undecided:
        place = Place(view.panel.devices[device].span)
        yield NotDecided(f"whether `{device}` is fed from its output: {reason}", place, (device,))


def _finding(panel: Panel, found: BackFeed) -> Finding:
    state = dict(found.witness.state)
    fed, cause = found.fed.device, name_of(panel, found.cause)
    by = in_words(f"`{name}`" for name in found.by)
    feed = "feeds" if len(found.by) == 1 else "feed"
    at = when(panel, found.path, state)
    return Finding(
        f"{by} {feed} `{fed}` from its output while it is off{at}{_at_the_primary(panel, found)}",
        Place(span_of(panel, found.cause), f"{cause} joins them"),
        devices=(fed, *found.by),
        condition=f"through {cause}",
        related=tuple(
            Place(panel.devices[name].span, label)
            for name, label in ((fed, "fed backwards"), *((one, "feeds it") for one in found.by))
        ),
        live=f"{volts_in_words(found.volts)} from {in_words(found.by)}",
        state=state,
        steps=found.witness.steps,
        path=told(panel, list(found.path), found.cause),
        working=tuple(_working(panel, found)),
        help="open its output as well before another source feeds what hangs on it",
    )


def _at_the_primary(panel: Panel, found: BackFeed) -> str:
    if not (volts := _primary_v(panel, found)):
        return ""
    primary = panel.parts[found.fed.inputs[0]]
    return f": {figure(volts, 'V')} between `{primary.a}` and `{primary.b}`"


def _primary_v(panel: Panel, found: BackFeed) -> float:
    """What a transformer's primary then has, V; nought for what does not work both ways."""
    load = panel.parts[found.fed.inputs[0]].load
    transformer = panel.devices[found.fed.device].kind == "transformer"
    if not transformer or load is None or load.volts is None or not found.fed.volts:
        return 0.0
    return load.volts * magnitude(found.volts) / found.fed.volts


def _working(panel: Panel, found: BackFeed) -> Iterator[Working]:
    if volts := _primary_v(panel, found):
        device = found.fed.device
        yield Working(f"{device} gets", magnitude(found.volts), "V", "nominal volts")
        yield Working(f"{device} gives back", round(volts, 1), "V", "the transformer's ratio")
