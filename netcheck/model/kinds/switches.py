"""What a hand or the process moves: buttons, selectors, limits, floats, two-wire sensors."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise

from netcheck.model.devices import Conducts, Drive
from netcheck.model.kinds.common import (
    CHANGE_OVER,
    COLOUR,
    CONTACT,
    OVERLAPPING,
    RESET_KIND,
    SWITCHED,
    add_contacts,
    has_gap,
    own,
)
from netcheck.model.maker import Build, Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import PhraseMistake

IN_POSITIONS = Group(
    "in",
    Phrase(
        "in",
        "{marks:marks} in {positions:position...}",
        "13-14 in HAND",
        "a contact closed in these positions",
    ),
    SWITCHED,
)
POSITIONS = Phrase(
    "positions",
    "positions {positions:position...}",
    "positions HAND OFF AUTO",
    "its positions in order",
)
PURPOSE = Phrase(
    "purpose",
    "for {purpose:stopping|starting|resetting|jogging|testing}",
    "for stopping",
    "what it is for; what it is called decides nothing",
)
REST = Phrase(
    "rest",
    "at rest while {rest:text}",
    'at rest while "the tank is empty"',
    "when its contacts stand as they are said",
)
RESET_BY = Phrase(
    "reset_by",
    "reset by {how:pulling|turning|key}",
    "reset by turning",
    "how it is let go again",
)
SPRING = Phrase(
    "spring",
    "springs back to {position:position}",
    "springs back to OFF",
    "where it goes when let go",
)


def _build(sort: str, drive: Drive) -> Build:
    def build(maker: Maker, said: Said) -> None:
        if not maker.groups("contact") and not maker.groups("change-over"):
            raise PhraseMistake(
                "",
                f"{maker.name} has no contact",
                "say `normally open 13-14` or `normally closed 11-12`",
            )
        mechanism = maker.mechanism(sort, drive, gap=has_gap(maker))
        add_contacts(maker, mechanism)
        if sort == "button":
            maker.values["momentary"] = True

    return build


def build_selector(maker: Maker, said: Said) -> None:
    named = said.value("positions")
    if not isinstance(named, tuple) or len(named) < 2 or len(set(named)) != len(named):
        raise PhraseMistake(
            said.tokens.get("positions", ""),
            f"{maker.name} needs at least two positions of different names",
            "say them in order: `positions HAND OFF AUTO`",
        )
    overlapping = said.has("overlapping")
    positions = _with_gaps(named)
    mechanism = maker.mechanism("selector", Drive.HAND, positions=positions)
    spring = said.value("spring")
    if spring is not None:
        if spring not in named:
            raise PhraseMistake(
                said.tokens["spring"],
                f"{maker.name} has no position `{spring}`",
                f"its positions are {', '.join(named)}",
            )
        maker.values["springs_to"] = str(spring)
    for group in maker.groups("in"):
        wanted = group.head["positions"]
        names = wanted if isinstance(wanted, tuple) else (str(wanted),)
        unknown = [name for name in names if name not in named]
        if unknown:
            raise PhraseMistake(
                group.token or "",
                f"{maker.name} has no position `{unknown[0]}`",
                f"its positions are {', '.join(named)}",
            )
        a, b = maker.ends(str(group.head["marks"]))
        closed = {index for index, name in enumerate(positions) if name in names}
        closed |= _closed_between(positions, names, any if overlapping else all)
        maker.part(
            "contact", a, b, Conducts.CONTACT, mechanism=mechanism.name, closed=closed, said=group
        )


def _with_gaps(named: tuple[str, ...]) -> tuple[str, ...]:
    """`HAND`, `between HAND and OFF`, `OFF`: where one contact has moved and another has not."""
    positions = [named[0]]
    for before, after in pairwise(named):
        positions += [f"between {before} and {after}", after]
    return tuple(positions)


def _closed_between(
    positions: tuple[str, ...], names: tuple[str, ...], enough: Callable[[Iterable[bool]], bool]
) -> set[int]:
    """Where between two positions a contact is closed: if it is in both, or in `any`."""
    return {
        index
        for index in range(1, len(positions), 2)
        if enough((positions[index - 1] in names, positions[index + 1] in names))
    }


CONTACTS = (CONTACT, CHANGE_OVER)


def _kind(words: str, sort: str, drive: Drive, example: str, note: str) -> Kind:
    more = {"process": (REST, RESET_KIND), "emergency stop": (RESET_BY,)}.get(sort, (PURPOSE,))
    groups = (own(OVERLAPPING, COLOUR, *more), *CONTACTS)
    return Kind(words, groups, _build(sort, drive), example, note)


KINDS = (
    _kind(
        "button", "button", Drive.HAND,
        'button S1 "Stop" normally closed 11-12, on door',
        "Springs back when let go. With both kinds of contact the closed one opens before the "
        "open one closes, unless `overlapping`.",
    ),
    _kind(
        "switch", "switch", Drive.HAND,
        'switch S5 "Bay light" normally open 1-2, on door',
        "Stays where it is put, off or on.",
    ),
    _kind(
        "emergency stop", "emergency stop", Drive.HAND,
        'emergency stop ES1 normally closed 11-12 21-22, on door',
        "Stays pushed until it is reset.",
    ),
    _kind(
        "foot switch", "button", Drive.HAND,
        "foot switch S7 normally open 13-14, metal housing",
        "As a button.",
    ),
    _kind(
        "pull-cord switch", "emergency stop", Drive.HAND,
        "pull-cord switch ES2 normally closed 11-12 21-22, direct opening",
        "As an emergency stop.",
    ),
    _kind(
        "guard switch", "process", Drive.PROCESS,
        'guard switch GS1 "Screen" normally closed 11-12 21-22, direct opening; '
        "normally open 33-34",
        "Moved by a guard; at rest the guard is closed.",
    ),
    _kind("time switch", "process", Drive.PROCESS,
          "time switch TC1 normally open 1-2", "Moved by the clock."),
    _kind("limit switch", "process", Drive.PROCESS,
          "limit switch LS1 normally closed 21-22, at roof vent", "Moved by the machine."),
    _kind("float switch", "process", Drive.PROCESS,
          "float switch FL1 normally open 13-14, at nutrient tank", "Moved by the level."),
    _kind("pressure switch", "process", Drive.PROCESS,
          "pressure switch PR1 change-over 1-2-4, at pump house", "Moved by the pressure."),
    _kind("temperature switch", "process", Drive.PROCESS,
          "temperature switch TS1 normally closed 11-12", "Moved by the temperature."),
    _kind("flow switch", "process", Drive.PROCESS,
          "flow switch FS1 normally open 13-14", "Moved by the flow."),
    Kind(
        "selector",
        (own(POSITIONS, SPRING, OVERLAPPING, COLOUR, PURPOSE), IN_POSITIONS),
        build_selector,
        'selector SS1 "Pump" positions HAND OFF AUTO; 13-14 in HAND; 23-24 in AUTO, on door',
        "Passes its positions in the order they are written; between two of them every contact is "
        "open that is not closed in both, or closed that is in either if it is `overlapping`.",
    ),
)  # fmt: skip
