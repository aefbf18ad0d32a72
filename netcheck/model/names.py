"""Names to things: devices and terminals looked up from where they are written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from netcheck.model.devices import Conducts, Device, Part, device_of, mark_of
from netcheck.model.maker import Made
from netcheck.reading.characters import foreign_letters
from netcheck.reading.near import did_you_mean
from netcheck.reading.project import Gathered

MOST_SOUGHT = 100
"""Unknown names for which a near one is looked for; with more of them it is the wrong text."""


class NameMistake(Exception):
    """A name that stands for nothing."""

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.help = help


class ToldAlready(NameMistake):
    """A name of which the own statement has a mistake: that one is told, this one is not."""

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not known")


class Names:
    """Looks names up: first among a scope's own, then in the scopes around it."""

    def __init__(self, devices: Mapping[str, Device], made: Made, gathered: Gathered) -> None:
        self.devices = devices
        self.made = made
        self.gathered = gathered
        self._ways: dict[str, list[Part]] = {}
        self._unknown = 0

    def device(self, name: str, prefix: str) -> Device:
        """The device a name means from within `prefix`.  Raises NameMistake."""
        for scope in scopes(prefix):
            found = self.devices.get(scope + name)
            if found is not None:
                return found
        if self.gathered.unread.device(name):
            raise ToldAlready(name)
        connections = self._connections(name, prefix)
        if connections is not None:
            raise NameMistake(
                f"{name} is an assembly in use, not a device",
                f"its connections: {_some(f'`{name}:{mark}`' for mark in connections)}",
            )
        self._unknown += 1
        known = self._visible(prefix) if self._unknown <= MOST_SOUGHT else ()
        describe = "describe it on a line of its own that begins with its kind"
        raise NameMistake(
            f"there is no device {name}",
            foreign_letters(name) or did_you_mean(name, known, describe),
        )

    def terminal(self, text: str, prefix: str) -> str:
        """The full name of a terminal written `K1:A1`.  Raises NameMistake."""
        name, mark = device_of(text), mark_of(text)
        for scope in scopes(prefix):
            inner = self.gathered.connections.get((scope + name, mark))
            if inner is not None:
                return f"{inner}:1"
        connections = self._connections(name, prefix)
        if connections is not None:
            raise NameMistake(f"{name} has no connection {mark}", _near_mark(mark, connections))
        device = self.device(name, prefix)
        terminal = f"{device.name}:{mark}"
        if terminal in device.terminals:
            return terminal
        raise NameMistake(
            f"{device.name} has no terminal {mark}",
            _near_mark(mark, [mark_of(known) for known in device.terminals]),
        )

    def through(self, text: str, prefix: str) -> tuple[str, str, Part]:
        """Enter, leave and the part passed, of `S1` or `K1:A1-A2`.  Raises NameMistake."""
        name, marks = device_of(text), mark_of(text).split("-")
        device = self.device(name, prefix)
        ways = self.ways(device)
        if marks == [""]:
            if len(ways) == 1:
                return ways[0].a, ways[0].b, ways[0]
            raise _not_one_way(name, device, ways)
        if len(marks) != 2:
            raise NameMistake(
                f"`{text}` should name two terminals",
                f"enter by one and leave by the other: `{name}:{marks[0]}-{marks[1]}`",
            )
        a, b = (self.terminal(f"{name}:{mark}", prefix) for mark in marks)
        for part in ways:
            if {part.a, part.b} == {a, b}:
                return a, b, part
        raise NameMistake(
            f"there is no way through {device.name} from {marks[0]} to {marks[1]}",
            f"its ways: {_listed(ways)}" if ways else "name one terminal of it",
        )

    def ways(self, device: Device) -> list[Part]:
        """What can be entered and left: every part but bonds and what is built in across a load."""
        found = self._ways.get(device.name)
        if found is None:
            parts = [self.made.parts[index] for index in device.parts]
            loaded = {frozenset((part.a, part.b)) for part in parts if part.load is not None}
            across = (Conducts.ONE_WAY, Conducts.NOTHING)
            found = [
                part
                for part in parts
                if part.conducts is not Conducts.BOND
                and not (part.conducts in across and frozenset((part.a, part.b)) in loaded)
            ]
            self._ways[device.name] = found
        return found

    def _connections(self, name: str, prefix: str) -> list[str] | None:
        """The connections of the assembly in use that a name means, if it means one."""
        for scope in scopes(prefix):
            if scope + name in self.gathered.instances:
                known = self.gathered.connections
                return [mark for instance, mark in known if instance == scope + name]
        return None

    def _visible(self, prefix: str) -> Iterator[str]:
        """Devices by the names they may be called from within `prefix`."""
        for scope in scopes(prefix):
            for name in self.devices:
                if name.startswith(scope):
                    yield name[len(scope) :]


def scopes(prefix: str) -> Iterator[str]:
    """`A.Z1.`, `A.`, and the outermost, nothing."""
    while prefix:
        yield prefix
        prefix = prefix[:-1].rpartition(".")[0]
        prefix = f"{prefix}." if prefix else ""
    yield ""


def _near_mark(mark: str, marks: list[str]) -> str:
    has = f"it has {_some(marks, 16)}"
    return f"{did_you_mean(mark, marks, '', 0.5)} {has}".strip() if marks else "it has none"


def _some(words: Iterable[str], most: int = 8) -> str:
    several = list(words)
    shown = ", ".join(several[:most])
    return f"{shown} and {len(several) - most} more" if len(several) > most else shown


def _not_one_way(name: str, device: Device, ways: list[Part]) -> NameMistake:
    if not ways:
        terminal = device.terminals[0] if device.terminals else f"{name}:1"
        return NameMistake(f"there is no way through {name}", f"name its terminal: `{terminal}`")
    first = f"{name}:{mark_of(ways[0].a)}-{mark_of(ways[0].b)}"
    return NameMistake(f"{name} has several ways through: {_listed(ways)}", f"say which: `{first}`")


def _listed(ways: list[Part]) -> str:
    return _some(f"{mark_of(part.a)}-{mark_of(part.b)}" for part in ways)
