"""Findings in words: what several rules say in the same way."""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.facts.shorts import Short
from netcheck.figure import figure
from netcheck.finding import Finding, Place
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, name_of, told
from netcheck.states.behaviour import Volts, kind_of, magnitude
from netcheck.text import Span


def volts_in_words(volts: Volts) -> str:
    """`24 V DC`."""
    return f"{figure(magnitude(volts), 'V')} {kind_of(volts)}".strip()


def in_words(names: Iterable[str]) -> str:
    """`B1, B2 and B3`."""
    *firsts, last = [*names] or [""]
    return f"{', '.join(firsts)} and {last}" if firsts else last


def span_of(panel: Panel, by: Wire | Part) -> Span:
    """Where a wire or a part's device is written: in its circuit line if it stands in one."""
    if isinstance(by, Wire):
        return by.span
    drawn = panel.chain_spans.get(by.index)
    return drawn if drawn is not None else panel.devices[by.device].span


def when(panel: Panel, path: tuple[Passed, ...], state: dict[str, str]) -> str:
    """What must be operated for the contacts on a path: ` when S2 is pressed and K1 is in`."""
    said: dict[str, None] = {}
    for passed in path:
        by = passed.by
        if isinstance(by, Part) and by.mechanism in state:
            mechanism = panel.mechanisms[by.mechanism]
            position = state[by.mechanism]
            chosen = panel.devices[mechanism.device].kind == "selector"
            if chosen or position != mechanism.positions[0]:
                said[f"{by.mechanism} is {position}"] = None
    return f" when {' and '.join(said)}" if said else ""


def devices_on(path: tuple[Passed, ...]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for passed in path:
        if isinstance(passed.by, Part):
            found[passed.by.device] = None
    return tuple(found)


def wires_on(path: tuple[Passed, ...]) -> tuple[str, ...]:
    return tuple(
        dict.fromkeys(
            passed.by.number for passed in path if isinstance(passed.by, Wire) and passed.by.number
        )
    )


def short_finding(panel: Panel, short: Short, help: str) -> Finding:
    state = dict(short.witness.state)
    volts = volts_in_words(short.volts)
    related = tuple(
        Place(panel.devices[name].span, "this source is short-circuited") for name in short.sources
    )
    cause = name_of(panel, short.cause)
    others = in_words(f"`{name}`" for name in short.sources[1:])
    return Finding(
        f"`{short.start}` reaches `{short.end}`{f' through {others}' if others else ''}"
        f" with no load in the path{when(panel, short.path, state)}",
        Place(span_of(panel, short.cause), f"{cause} completes the path"),
        devices=tuple(dict.fromkeys((*short.sources, *devices_on((Passed("", "", short.cause),))))),
        wires=wires_on((Passed("", "", short.cause),)),
        condition=f"{short.start} to {short.end} through {cause}",
        related=related,
        live=f"{volts} from {in_words(short.sources)}",
        state=state,
        steps=short.witness.steps,
        path=told(panel, list(short.path), short.cause),
        help=help,
    )
