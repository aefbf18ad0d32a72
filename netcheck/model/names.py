"""Names to things: devices and terminals looked up from where they are written."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping

from netcheck.model.devices import Conducts, Device, Part, device_of, mark_of
from netcheck.model.maker import Made


class NameMistake(Exception):
    """A name that stands for nothing."""

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.help = help


class Names:
    """Looks names up: first among a scope's own, then in the scopes around it."""

    def __init__(
        self,
        devices: Mapping[str, Device],
        made: Made,
        connections: Mapping[tuple[str, str], str],
    ) -> None:
        self.devices = devices
        self.made = made
        self.connections = connections
        self._ways: dict[str, list[Part]] = {}

    def device(self, name: str, prefix: str) -> Device:
        """The device a name means from within `prefix`.  Raises NameMistake."""
        for scope in scopes(prefix):
            found = self.devices.get(scope + name)
            if found is not None:
                return found
        raise NameMistake(
            f"there is no device {name}",
            near(name, self.devices, "describe it with its kind first"),
        )

    def terminal(self, text: str, prefix: str) -> str:
        """The full name of a terminal written `K1:A1`.  Raises NameMistake."""
        name, mark = device_of(text), mark_of(text)
        for scope in scopes(prefix):
            inner = self.connections.get((scope + name, mark))
            if inner is not None:
                return f"{inner}:1"
        device = self.device(name, prefix)
        terminal = f"{device.name}:{mark}"
        if terminal in device.terminals:
            return terminal
        marks = [mark_of(known) for known in device.terminals]
        close = difflib.get_close_matches(mark, marks, 1, 0.5)
        has = f"it has {', '.join(marks[:16])}{' and more' if len(marks) > 16 else ''}"
        raise NameMistake(
            f"{device.name} has no terminal {mark}",
            f"did you mean `{close[0]}`? {has}" if close else has,
        )

    def through(self, text: str, prefix: str) -> tuple[str, str, Part]:
        """Enter, leave and the part passed, of `S1` or `K1:A1-A2`.  Raises NameMistake."""
        name, marks = device_of(text), mark_of(text).split("-")
        device = self.device(name, prefix)
        ways = self.ways(device)
        if marks == [""]:
            if len(ways) == 1:
                return ways[0].a, ways[0].b, ways[0]
            raise NameMistake(*_several(device, ways))
        if len(marks) != 2:
            raise NameMistake(
                f"`{text}` should name two terminals", "leave a device by one terminal: `K1:11-14`"
            )
        a, b = (self.terminal(f"{name}:{mark}", prefix) for mark in marks)
        for part in ways:
            if {part.a, part.b} == {a, b}:
                return a, b, part
        raise NameMistake(
            f"there is no way through {device.name} from {marks[0]} to {marks[1]}",
            f"its ways: {_listed(ways)}",
        )

    def ways(self, device: Device) -> list[Part]:
        """What can be entered and left: every part but bonds, suppressing diodes, and the like."""
        found = self._ways.get(device.name)
        if found is None:
            parts = [self.made.parts[index] for index in device.parts]
            loaded = {frozenset((part.a, part.b)) for part in parts if part.load is not None}
            found = [
                part
                for part in parts
                if part.conducts is not Conducts.BOND
                and not (
                    part.conducts is Conducts.ONE_WAY and frozenset((part.a, part.b)) in loaded
                )
            ]
            self._ways[device.name] = found
        return found


def scopes(prefix: str) -> Iterable[str]:
    """`A.Z1.`, `A.`, and the outermost, nothing."""
    while prefix:
        yield prefix
        prefix = prefix[:-1].rpartition(".")[0]
        prefix = f"{prefix}." if prefix else ""
    yield ""


def near(name: str, known: Iterable[str], otherwise: str) -> str:
    close = difflib.get_close_matches(name, list(known), 1, 0.6)
    return f"did you mean `{close[0]}`?" if close else otherwise


def _several(device: Device, ways: list[Part]) -> tuple[str, str]:
    if not ways:
        return (
            f"there is no way through {device.name}",
            f"name its terminal: `{device.terminals[0] if device.terminals else device.name}`",
        )
    first = ways[0].label.replace(" ", ":")
    return (
        f"{device.name} has several ways through: {_listed(ways)}",
        f"say which: `{first}`",
    )


def _listed(ways: list[Part]) -> str:
    shown = [f"{mark_of(part.a)}-{mark_of(part.b)}" for part in ways]
    return ", ".join(shown[:8]) + (f" and {len(shown) - 8} more" if len(shown) > 8 else "")
