"""A device that the library lacks, described by its terminals and what stands between them."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Drive
from netcheck.model.kinds.common import (
    COIL,
    CONTACT,
    CURRENT,
    LOADED,
    RATING,
    SPARE,
    add_coil,
    load_from,
    own,
)
from netcheck.model.kinds.switches import IN_POSITIONS
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import PhraseMistake

POSITIONS = Phrase(
    "positions",
    "positions {positions:position...} by {drive:hand|process|itself}",
    "positions LOW HIGH by process",
    "its positions, and what moves it",
)
LOAD = Group(
    "load",
    Phrase("load", "load {marks:marks}", "load L-N 120 V AC 5 W", "a load between two terminals"),
    LOADED,
)
JOINED = Group(
    "joined",
    Phrase("joined", "joined {marks:marks...}", "joined 1-2 3-4", "terminals that are always one"),
)
ONE_WAY = Group(
    "one way",
    Phrase(
        "one way",
        "one-way {marks:marks...}",
        "one-way 3-4",
        "a diode, from the first to the second",
    ),
)
TERMINALS = Phrase(
    "terminals", "terminals {marks:mark...}", "terminals A1 A2 11 12 14", "its terminals"
)


def build_device(maker: Maker, said: Said) -> None:
    named = said.value("terminals")
    for mark in named if isinstance(named, tuple) else ():
        maker.terminal(mark)
    for group in maker.groups("load"):
        a, b = maker.ends(str(group.head["marks"]))
        maker.load("load", a, b, load_from(group, "load"))
    for group in maker.groups("joined"):
        marks = group.head["marks"]
        for pair in marks if isinstance(marks, tuple) else ():
            maker.joins("joined", *maker.ends(pair))
    for group in maker.groups("one way"):
        marks = group.head["marks"]
        for pair in marks if isinstance(marks, tuple) else ():
            maker.part("one way", *maker.ends(pair), Conducts.ONE_WAY)
    _add_relay(maker)
    _add_positions(maker, said)


def _add_relay(maker: Maker) -> None:
    coil_group = maker.group("coil")
    contacts = maker.groups("contact")
    if coil_group is not None:
        coil = add_coil(maker, coil_group)
        mechanism = maker.mechanism("relay", Drive.COIL, coils=(coil,), start=(0,))
    elif contacts:
        mechanism = maker.mechanism("process", Drive.PROCESS)
    else:
        return
    for group in contacts:
        marks = group.head["marks"]
        for pair in marks if isinstance(marks, tuple) else ():
            a, b = maker.ends(pair)
            maker.part(
                "contact", a, b, Conducts.CONTACT, mechanism=mechanism.name,
                closed={1} if group.head["rest"] == "open" else {0}, said=group,
            )  # fmt: skip


def _add_positions(maker: Maker, said: Said) -> None:
    values = said.properties.get("positions")
    groups = maker.groups("in")
    if values is None:
        if groups:
            raise PhraseMistake(
                groups[0].token or "",
                f"{maker.name} says no positions",
                "say `positions LOW HIGH by process`",
            )
        return
    positions = values["positions"]
    assert isinstance(positions, tuple)
    drive = {"hand": Drive.HAND, "process": Drive.PROCESS, "itself": Drive.OUTPUT}
    mechanism = maker.mechanism(
        "positions", drive[str(values["drive"])], suffix="position", positions=positions
    )
    for group in groups:
        a, b = maker.ends(str(group.head["marks"]))
        wanted = group.head["positions"]
        names = wanted if isinstance(wanted, tuple) else ()
        unknown = [name for name in names if name not in positions]
        if unknown:
            raise PhraseMistake(
                group.token or "",
                f"{maker.name} has no position `{unknown[0]}`",
                f"its positions are {', '.join(positions)}",
            )
        maker.part(
            "contact", a, b, Conducts.CONTACT, mechanism=mechanism.name,
            closed={i for i, name in enumerate(positions) if name in names}, said=group,
        )  # fmt: skip


KINDS = (
    Kind(
        "device",
        (
            own(TERMINALS, POSITIONS, RATING, CURRENT, SPARE),
            LOAD, JOINED, ONE_WAY, COIL, CONTACT, IN_POSITIONS,
        ),
        build_device,
        'device LV1 "Level relay" terminals A1 A2 11 12 14; load A1-A2 24 V DC 2 W; '
        "positions LOW HIGH by process; 11-12 in LOW; 11-14 in HIGH",
        "Anything the library lacks: its terminals, what is joined, what is a load, which "
        "contacts close when.",
    ),
)  # fmt: skip
