"""What can bring voltage to a terminal, and which handles cut all of it off."""

from __future__ import annotations

from collections import deque

from netcheck.model.devices import Conducts, Part, SourcePart
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import steps

HANDLES = frozenset(("disconnect", "breaker"))


def _conducts(part: Part, forwards: bool) -> bool:
    """In some state: a contact may close at any time."""
    return part.conducts in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)


class Feeds:
    """What can bring voltage: from a hot pole along all that may conduct, through supplies too."""

    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self._hot: dict[str, SourcePart] = {}
        self._windings: dict[str, list[tuple[str, str]]] = {}
        """From a terminal of a transformer's primary, the poles that can feed it backwards."""
        for source in panel.sources:
            for mark, volts in source.poles.items():
                if volts != 0 or not source.grounded_pole:
                    self._hot[f"{source.device}:{mark}"] = source
            if "transformer" in panel.devices[source.device].kind:
                poles = [(f"{source.device}:{mark}", source.device) for mark in source.poles]
                for part in (panel.parts[index] for index in source.inputs):
                    for end in (part.a, part.b):
                        self._windings.setdefault(end, []).extend(poles)

    def way(self, ends: list[str], opened: str = "") -> list[str] | None:
        """The devices passed from `ends` to where voltage comes from; None if nothing does."""
        came: dict[str, tuple[str, str]] = dict.fromkeys(ends, ("", ""))
        queue = deque(came)

        def passable(part: Part, forwards: bool) -> bool:
            """Auxiliary contacts of a handle open with it, and isolate nothing."""
            cut = part.device == opened and part.conducts is Conducts.JOINS
            return _conducts(part, forwards) and not cut

        while queue:
            at = queue.popleft()
            source = self._hot.get(at)
            if source is not None and not source.inputs:
                return self._back(came, at)
            onward = [(one.end, _device(one.by)) for one in steps(self.panel, at, passable)]
            if source is not None:
                inputs = [self.panel.parts[index] for index in source.inputs]
                onward += [(end, source.device) for part in inputs for end in (part.a, part.b)]
            onward += self._windings.get(at, ())
            for end, by in onward:
                if end not in came and not self._grounded(end):
                    came[end] = (at, by)
                    queue.append(end)
        return None

    def live(self, opened: str) -> set[str]:
        """Terminals of that device which voltage still reaches while it is open."""
        terminals = self.panel.devices[opened].terminals
        return {name for name in terminals if self.way([name], opened) is not None}

    def _grounded(self, terminal: str) -> bool:
        device, _, mark = terminal.partition(":")
        return any(
            source.device == device and mark in source.poles and terminal not in self._hot
            for source in self.panel.sources
        )

    def _back(self, came: dict[str, tuple[str, str]], at: str) -> list[str]:
        passed = []
        while came[at][0]:
            at, by = came[at]
            passed.append(by)
        return passed[::-1]

    def enough(self, ends: list[str]) -> list[str]:
        """Disconnects and breakers without which nothing reaches any of `ends`; nearest first.

        Such a one is passed by every way, so those on one way from one end are all there can be.
        """
        for end in ends:
            way = self.way([end])
            if way is not None:
                handles = [name for name in dict.fromkeys(way) if name and self._is_handle(name)]
                return [name for name in handles if self.way(ends, name) is None]
        return []

    def _is_handle(self, name: str) -> bool:
        return self.panel.devices[name].kind in HANDLES


def _device(by: Wire | Part) -> str:
    return by.device if isinstance(by, Part) else ""
