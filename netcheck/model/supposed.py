"""What is supposed of a panel beside what its text says: a switch put somewhere, a fault.

`S2 pressed`, `S2 is pressed`, `SS1 in AUTO`, `MAINS off`, `CB1 off`, `FL1 operated`, `PLC1:Q0 on`:
a switch, protective device or source is kept there for good.  Relays and timers follow their
coils and cannot be put anywhere; they can be broken (`K1 held in`, see `faults.py`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NoReturn

from netcheck.model.claims import SAME
from netcheck.model.devices import Device, Drive, Mechanism, device_of
from netcheck.model.faults import OPENING, Fault, broken, fault_in_words, holding
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.reading.near import did_you_mean
from netcheck.reading.unit_mistakes import with_article
from netcheck.record import record

EXAMPLES = "`S2 pressed`, `SS1 in AUTO`, `MAINS off`"
OF_SOURCES = {"on": "present", "off": "absent"}
OF_PROTECTION = {"on": "closed", "off": "open", "tripped": "open", "blown": "open"}
JOINING_WORDS = ("is", "in", "at", "to")


@record
class Supposed:
    """The panel as supposed, and what is supposed of it in full words: a sentence each."""

    panel: Panel
    words: tuple[str, ...]


def suppose(panel: Panel, withs: Sequence[str], faults: Sequence[str]) -> Supposed:
    """Raises NameMistake for what names nothing, or what cannot be put or broken so."""
    found: list[Fault] = [fault_in_words(panel, words) for words in faults]
    said: dict[str, None] = {}
    changed = panel
    put: dict[str, int] = {}
    for words in (one for several in withs for one in positions_in(several)):
        mechanism, position = position_in_words(panel, words)
        if put.setdefault(mechanism.name, position) != position:
            there = mechanism.positions[put[mechanism.name]]
            raise NameMistake(
                f"{mechanism.name} cannot be {there} and {mechanism.positions[position]} at once",
                "say where it is once",
            )
        changed = holding(changed, mechanism.name, position)
        said[f"with {mechanism.name} {mechanism.positions[position]}"] = None
    for fault in in_breaking_order(found):
        changed = broken(changed, fault)
        said[f"fault: {fault.words}"] = None
    return Supposed(changed, tuple(said))


def positions_in(words: str) -> tuple[str, ...]:
    """`S0 pressed, SS1 in HAND and S2 pressed`, one by one."""
    return tuple(word for word in re.split(r", (?:and )?| and ", words) if word) or (words,)


def in_breaking_order(faults: Sequence[Fault]) -> list[Fault]:
    """What takes wires away comes last: a wire that is open may be grounded too."""
    return sorted(dict.fromkeys(faults), key=lambda fault: fault.kind in OPENING)


def position_in_words(panel: Panel, words: str) -> tuple[Mechanism, int]:
    """What `S2 pressed` puts where.  Raises NameMistake."""
    name, _, written = " ".join(words.split()).partition(" ")
    first, _, others = written.partition(" ")
    said = [written, *([others] if first in JOINING_WORDS and others else [])]
    if not written:
        raise NameMistake(f"`{words}` says no position", f"write one like {EXAMPLES}")
    device = panel.devices.get(device_of(name))
    if device is None:
        near = did_you_mean(device_of(name), panel.devices, f"write one like {EXAMPLES}", 0.5)
        raise NameMistake(f"there is no device {device_of(name)}", near)
    _refuse_one_of_several(device, name)
    mechanisms = _mechanisms(panel, device, name)
    for mechanism in mechanisms:
        for words in said:
            position = _position(mechanism, words)
            if position is not None:
                _refuse_followers(mechanism)
                return mechanism, position
    for mechanism in mechanisms:
        _refuse_followers(mechanism)
    can_be = [
        mechanism.positions[index]
        for mechanism in mechanisms
        for index in sorted(mechanism.resting)
    ]
    if not can_be:
        _refuse_immovable(device, name)
    raise NameMistake(
        f"{name} is never `{said[-1]}`",
        did_you_mean(said[-1], can_be, f"it can be {', '.join(can_be)}"),
    )


def _refuse_one_of_several(device: Device, name: str) -> None:
    """`PLC1 on`: each output is put somewhere by itself.  Raises NameMistake."""
    if name == device.name and device.kind == "controller" and device.mechanisms:
        example = device.mechanisms[0].replace(" ", ":")
        raise NameMistake(f"{name} has outputs of its own", f"say which: `{example} on`")


def _refuse_immovable(device: Device, name: str) -> NoReturn:
    """Why nothing of this name can be put anywhere.  Raises NameMistake."""
    if name.endswith(":auxiliary") and device.name in device.mechanisms:
        raise NameMistake(
            f"the auxiliary contacts of {device.name} stand as its poles do",
            f"put those: `{device.name} open`",
        )
    if ":" in name and name not in device.terminals:
        has = f"it has {', '.join(device.terminals[:12])}"
        raise NameMistake(
            f"{device.name} has no terminal {name}", did_you_mean(name, device.terminals, has)
        )
    if ":" in name and device.name in device.mechanisms:
        raise NameMistake(f"{name} is a terminal", f"say where {device.name} itself is put")
    if ":" in name:
        raise NameMistake(f"{name} follows what it is wired to", "put that: a switch, a source")
    raise NameMistake(
        f"{name} is {with_article(device.kind)}: nothing of it can be put anywhere",
        "switches, breakers and sources can; a fault is asked for with `--fault`",
    )


def _mechanisms(panel: Panel, device: Device, name: str) -> list[Mechanism]:
    found = [panel.mechanisms[known] for known in device.mechanisms]
    if ":" not in name:
        return found
    mark = name.partition(":")[2]
    return [mechanism for mechanism in found if mechanism.name.endswith(f" {mark}")]


def _position(mechanism: Mechanism, written: str) -> int | None:
    words = SAME.get(written, written)
    if mechanism.drive is Drive.SOURCE:
        words = OF_SOURCES.get(words, words)
    elif mechanism.drive is Drive.PROTECTION:
        words = OF_PROTECTION.get(words, words)
    if words in mechanism.positions:
        return mechanism.positions.index(words)
    return None


def _refuse_followers(mechanism: Mechanism) -> None:
    if mechanism.moved_by_coil and mechanism.positions[0] != "at rest":  # that of a monitor
        raise NameMistake(
            f"{mechanism.name} follows its coil and cannot be put anywhere",
            f'put what feeds it, or break it: `--fault "{mechanism.name} held in"`',
        )
