"""What protects each motor against overload, line by line, and whether it stops the motor.

An overload relay, a motor protector, a soft starter with an overload, and any breaker or
fuse small enough (NEC 430.32) count in the lines they stand in, but for a breaker that has
an instantaneous trip only.  A drive protects its own
motor, and a motor may say that it is thermally protected.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.model.devices import Conducts, Device, Part
from netcheck.network.traces import reached
from netcheck.record import record
from netcheck.states.answers import Answer, Never
from netcheck.states.behaviour import Behaviour as States
from netcheck.states.expressions import FALSE
from netcheck.states.settled import where_settled


@record
class MotorOverload:
    """A device that stands in a line of a motor, with what it is set to, A.

    `runs_on` is whether the motor can run while it is tripped: Never is as it should be.
    """

    device: Device
    setting_a: float | None
    runs_on: Answer


@record
class MotorProtection:
    """One motor: the lines it is fed by, those with no overload in some way to them, and
    its overloads.  `most_a` is the largest setting, None where no nameplate current is said."""

    motor: Device
    lines: tuple[str, ...]
    bare: tuple[str, ...]
    overloads: tuple[MotorOverload, ...]
    most_a: float | None

    @property
    def enough(self) -> bool:
        """Three-phase motors need one in each line, others one, in an ungrounded conductor
        (NEC table 430.37)."""
        return not self.bare if len(self.lines) > 2 else len(self.bare) < len(self.lines)


@record
class MotorOverloads:
    """Motors that are fed and need an overload of their own, in the order of the text."""

    motors: tuple[MotorProtection, ...]


@concludes(Behaviour, CertainBehaviour)
def find_motor_overloads(view: View) -> MotorOverloads:
    finder = _Finder(view[Behaviour], view[CertainBehaviour].behaviour)
    return MotorOverloads(tuple(finder.motors()))


class _Finder:
    def __init__(self, wide: States, certain: States) -> None:
        self.wide = wide
        self.certain = certain
        self.panel = wide.panel
        self._met: dict[float | None, dict[str, set[str]]] = {}
        self.poles = {
            f"{source.device}:{mark}": source
            for source in self.panel.sources
            for mark in source.poles
        }

    def motors(self) -> Iterator[MotorProtection]:
        for device in self.panel.devices.values():
            needs_none = "spare" in device.marks or device.values.get("thermally_protected")
            if device.kind == "motor" and not needs_none:
                found = self._motor(device)
                if found is not None:
                    yield found

    def _motor(self, motor: Device) -> MotorProtection | None:
        """Each line is followed away from the motor until an overload or a pole is met."""
        parts = [self.panel.parts[index] for index in motor.parts]
        parts = [part for part in parts if part.load is not None]
        most_a = largest_setting_a(motor)
        overloads: dict[str, None] = {}
        lines, bare, minded = [], [], set[str]()
        for line in dict.fromkeys(end for part in parts for end in (part.a, part.b)):
            if self._is_grounded(line) and len(parts) == 1:
                continue
            met, devices = self._follow(line, most_a)
            poles = [self.poles[terminal] for terminal in met]
            if any(self.panel.devices[pole.device].kind == "drive" for pole in poles):
                return None
            if poles:
                bare.append(line)
            if poles or devices:
                lines.append(line)
            if not poles:
                overloads.update(devices)
                minded.add(line)
        if not lines:
            return None
        bare = [line for line in bare if _other_end(parts, line) not in minded]
        found = tuple(self._overload(self.panel.devices[name], parts) for name in overloads)
        return MotorProtection(motor, tuple(lines), tuple(bare), found, most_a)

    def _is_grounded(self, line: str) -> bool:
        """Whether a line only ever comes from grounded poles: there an overload does not count."""
        rails = self.wide.circuit.rails_at(self.wide.node(line))
        return bool(rails) and self._grounded.issuperset(rails)

    @cached_property
    def _grounded(self) -> frozenset[int]:
        return frozenset(
            self.wide.pole_node(index, source.grounded_pole)
            for index, source in enumerate(self.panel.sources)
            if source.grounded_pole
        )

    def _follow(self, line: str, most_a: float | None) -> tuple[set[str], dict[str, None]]:
        """The poles met, and the overloads; the latter only where no pole is.

        Lines that come to a pole all stand in one great network, which is followed once.
        """
        devices: dict[str, None] = {}
        known = self._met.setdefault(most_a, {})
        if line in known:
            return known[line], {}

        def passable(part: Part, forwards: bool) -> bool:
            if part.conducts not in _CARRIES or self.wide.closed(part) == FALSE:
                return False
            if _is_overload(self.panel.devices[part.device], part, most_a):
                devices[part.device] = None
                return False
            return True

        there = reached(self.panel, (line,), passable)
        met = there & self.poles.keys()
        if not met:
            return met, devices
        known.update(dict.fromkeys(there, met))
        return met, {}

    def _overload(self, device: Device, parts: list[Part]) -> MotorOverload:
        setting_a = device.number("current" if _is_plain(device) else "setting_a")
        return MotorOverload(device, setting_a, self._runs_on(device, parts))

    def _runs_on(self, device: Device, parts: list[Part]) -> Answer:
        """Whether the motor can be energised, once settled, while the device is tripped."""
        if device.kind != "overload":
            return Never("logic alone")
        answer = _ask(self.certain, device, parts)
        if self.certain is self.wide:
            return answer
        return decided(answer, _ask(self.wide, device, parts), self.wide.uncertain_coils)


_CARRIES = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))


def _ask(states: States, device: Device, parts: list[Part]) -> Answer:
    mechanism = states.panel.mechanisms[device.mechanisms[0]]
    last = len(mechanism.positions) - 1
    on = states.logic.all_of([states.energised(part) for part in parts])
    standing = {mechanism.name: last} if mechanism.name in states.machine.switches else {}
    if where_settled(states.machine, on, standing) == FALSE:
        return Never("logic alone")
    tripped = states.in_positions(mechanism.name, frozenset((last,)))
    return states.prover.can_happen(states.logic.both(tripped, on), at="settled")


def largest_setting_a(motor: Device) -> float | None:
    """Of its overload, A: 125 or 115 % of the nameplate current (NEC 430.32(A)(1))."""
    from netcheck.tables.lookup import trim
    from netcheck.tables.motors import overload_max_pct

    nameplate_a = motor.number("full_load_a")
    if nameplate_a is None:
        return None
    percent = overload_max_pct(motor.number("service_factor"), None)
    return trim(nameplate_a * percent.value / 100)


def _other_end(parts: list[Part], line: str) -> str | None:
    """Where the current that enters a winding here leaves it, if both its ends are led out alone,
    as a motor's that starts in star and runs in delta: one overload then minds both."""
    ends = [end for part in parts for end in (part.a, part.b)]
    for part in parts:
        if line in (part.a, part.b) and ends.count(part.a) == ends.count(part.b) == 1:
            return part.b if line == part.a else part.a
    return None


def _is_plain(device: Device) -> bool:
    """A breaker or fuse that is no motor protector."""
    return device.kind in ("breaker", "fuse") and not device.values.get("motor_protector")


def _is_overload(device: Device, part: Part, most_a: float | None) -> bool:
    if device.kind == "overload":
        return part.role == "overload"
    if device.kind == "soft starter":
        return part.role == "main pole" and bool(device.values.get("motor_overload"))
    if part.role != "pole" or device.kind not in ("breaker", "fuse"):
        return False
    if device.values.get("instantaneous_only"):
        return False
    rated_a = device.number("current")
    small = most_a is not None and rated_a is not None and rated_a <= most_a
    return small or not _is_plain(device)
