"""Start/stop ladders of any size, made up: as panels built directly, and as their text.

Groups of 25 rungs behind a fuse, an emergency stop and a master contact; each rung a stop and a
start button and a contact that seals in; half have a permissive, three in ten a contact of
another relay, one in ten a contact that ties two rungs together, half a lamp.  Every eighth
rung is a reversing pair, with its three power lines, that closed contacts of each other keep
apart, half of them a mechanical interlock too; one pair in three has a relay before each
contactor, and both keep the other side out.

The shares are an assumption of what is usual (no source); nothing of a real plant is in them.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from netcheck.model.devices import Conducts, Device, Drive, Load, Mechanism, Part, SourcePart
from netcheck.model.panel import Panel, Settings
from netcheck.model.wires import PLAIN_WIRE, Wire
from netcheck.text import Span

GROUP = 25
PAIR = 8
NOWHERE = Span("ladder.panel", 1, 1, 2)
Pass = str
"""A way through a device as a circuit line writes it: `S1:11-12`."""


@dataclass
class Drawing:
    """A panel being drawn, device by device and line by line."""

    lines: list[str] = field(default_factory=list)
    chains: list[str] = field(default_factory=list)
    devices: dict[str, Device] = field(default_factory=dict)
    parts: list[Part] = field(default_factory=list)
    sources: list[SourcePart] = field(default_factory=list)
    mechanisms: dict[str, Mechanism] = field(default_factory=dict)
    wires: list[Wire] = field(default_factory=list)
    interlocks: list[tuple[str, str]] = field(default_factory=list)

    def panel(self) -> Panel:
        return Panel(
            NOWHERE.path,
            Settings(),
            dict(self.devices),
            tuple(self.parts),
            tuple(self.sources),
            dict(self.mechanisms),
            tuple(self.wires),
            interlocks=tuple(self.interlocks),
        )

    def text(self) -> str:
        interlocks = [f"mechanical interlock {a} and {b}" for a, b in self.interlocks]
        lines = ['panel "Ladder"', *self.lines, *interlocks, 'circuit "Ladder"', *self.chains]
        return "\n".join(lines) + "\n"

    # ---- devices -------------------------------------------------------------------------

    def mains(self, name: str) -> None:
        """Three-phase 208Y/120 V, neutral bonded."""
        self.lines.append(
            f"source {name} 208Y/120 V AC 60 Hz, four-wire, 10 kA available, neutral bonded here"
        )
        poles = {"L1": 120 + 0j, "L2": -60 - 103.923j, "L3": -60 + 103.923j, "N": 0j}
        self._mechanism(name, name, Drive.SOURCE, ("absent", "present"), start=(0,))
        bond = [self._part(name, "bond", f"{name}:N-PE", Conducts.BOND)]
        self.sources.append(
            SourcePart(
                name,
                poles,
                f"AC {name}",
                "AC",
                frequency_hz=60.0,
                mechanism=name,
                available_a=10_000.0,
                grounded_pole="N",
                grounding="grounded",
                volts=208.0,
            )
        )
        marks = [*poles, "PE"]
        self._device(name, "source", marks, bond, sources=(len(self.sources) - 1,))

    def supply(self, name: str) -> None:
        """120 V AC to 24 V DC, its 0V grounded."""
        self.lines.append(f"supply {name} 120 V AC to 24 V DC, 5 A, 0V grounded")
        load = Load("supply", 120.0, "AC", continuous=True)
        own = [self._part(name, "input", f"{name}:L-N", Conducts.LOAD, load=load)]
        own.append(self._part(name, "bond", f"{name}:0V-PE", Conducts.BOND))
        self.sources.append(
            SourcePart(
                name,
                {"+": 24 + 0j, "0V": 0j},
                "DC",
                "DC",
                inputs=(own[0],),
                current_a=5.0,
                current_limited=True,
                grounded_pole="0V",
                grounding="grounded",
                volts=24.0,
            )
        )
        self._device(
            name, "supply", ["L", "N", "PE", "+", "0V"], own, sources=(len(self.sources) - 1,)
        )

    def fuse(self, name: str) -> None:
        self.lines.append(f"fuse {name} 5 A")
        self._mechanism(name, name, Drive.PROTECTION, ("open", "closed"))
        own = self._part(name, "pole", f"{name}:1-2", Conducts.JOINS, name, (1,))
        self._device(name, "fuse", ["1", "2"], [own])

    def button(self, name: str, *, closed: bool) -> Pass:
        """A button that does one thing: pressed, it opens or it closes."""
        way = f"{name}:11-12" if closed else f"{name}:13-14"
        rest = "closed" if closed else "open"
        self.lines.append(f"button {name} normally {rest} {way.partition(':')[2]}")
        self._contact(name, "button", Drive.HAND, ("released", "pressed"), way, 0 if closed else 1)
        return way

    def stop(self, name: str) -> Pass:
        self.lines.append(f"emergency stop {name} normally closed 11-12")
        self._contact(name, "emergency stop", Drive.HAND, ("reset", "pushed"), f"{name}:11-12", 0)
        return f"{name}:11-12"

    def sensor(self, name: str) -> Pass:
        self.lines.append(f"limit switch {name} normally open 13-14")
        way = f"{name}:13-14"
        self._contact(name, "limit switch", Drive.PROCESS, ("at rest", "operated"), way, 1)
        return way

    def lamp(self, name: str) -> Pass:
        self.lines.append(f"lamp {name} 24 V DC")
        load = Load("lamp", 24.0, "DC", low=0.9)
        own = self._part(name, "lamp", f"{name}:X1-X2", Conducts.LOAD, load=load)
        self._device(name, "lamp", ["X1", "X2"], [own])
        return f"{name}:X1-X2"

    def motor(self, name: str) -> None:
        self.lines.append(f"motor {name} 1 hp 208 V AC three-phase")
        load = Load("motor", 208.0, "AC", phases=3, low=0.9, moves_or_heats=True, continuous=True)
        ways = [f"{name}:{way}" for way in ("T1-T2", "T2-T3", "T3-T1")]
        own = [self._part(name, "winding", way, Conducts.LOAD, load=load) for way in ways]
        self._device(name, "motor", ["T1", "T2", "T3", "PE"], own)

    def relay(self, name: str, contacts: Sequence[tuple[str, bool]], poles: int = 0) -> None:
        """A relay, or a contactor where it has poles; contacts by marks, True for open at rest."""
        coil = Load("coil", 24.0, "DC", current_a=0.125, power_w=3.0)
        own = [self._part(name, "coil", f"{name}:A1-A2", Conducts.LOAD, load=coil)]
        self._mechanism(name, name, Drive.COIL, ("out", "in"), start=(0,), coils=(own[0],))
        marks = [f"{2 * pole + 1}-{2 * pole + 2}" for pole in range(poles)]
        for way in marks:
            own.append(self._part(name, "main pole", f"{name}:{way}", Conducts.CONTACT, name, (1,)))
        role = "auxiliary" if poles else "contact"
        for way, opens in contacts:
            own.append(
                self._part(
                    name, role, f"{name}:{way}", Conducts.CONTACT, name, (1 if opens else 0,)
                )
            )
        ends = [end for way in ("A1-A2", *marks, *(w for w, _ in contacts)) for end in _ends(way)]
        self._device(name, "contactor" if poles else "relay", ends, own)
        said = [f"normally {'open' if opens else 'closed'} {way}" for way, opens in contacts]
        if poles:
            said = [f"{poles} main poles", *(f"auxiliary {words}" for words in said)]
        kind = "contactor" if poles else "relay"
        self.lines.append(f"{kind} {name} coil 24 V DC 3 W" + "".join(f"; {s}" for s in said))

    # ---- wiring --------------------------------------------------------------------------

    def chain(self, *ways: str) -> None:
        """A circuit line: terminals (`PS1:+`) and ways through devices (`S1:11-12`)."""
        self.chains.append("  " + " -- ".join(ways))
        before = ""
        for way in ways:
            entered, left = _through(way)
            if before:
                number = len(self.wires)
                self.wires.append(
                    Wire(number, "", before, entered, PLAIN_WIRE, NOWHERE, NOWHERE, "Ladder", "")
                )
            before = left

    # ---- what devices are made of --------------------------------------------------------

    def _contact(
        self,
        name: str,
        kind: str,
        drive: Drive,
        positions: tuple[str, ...],
        way: Pass,
        closed: int,
    ) -> None:
        self._mechanism(name, name, drive, positions)
        own = self._part(name, "contact", way, Conducts.CONTACT, name, (closed,))
        self._device(name, kind, _ends(way.partition(":")[2]), [own])

    def _mechanism(
        self,
        name: str,
        device: str,
        drive: Drive,
        positions: tuple[str, ...],
        start: tuple[int, ...] = (0, 1),
        coils: tuple[int, ...] = (),
    ) -> None:
        self.mechanisms[name] = Mechanism(
            name,
            device,
            drive,
            positions,
            tuple(f"{name} {position}" for position in positions),
            frozenset((0, 1)),
            frozenset(start),
            coils,
        )

    def _part(
        self,
        device: str,
        role: str,
        way: Pass,
        conducts: Conducts,
        mechanism: str = "",
        closed: Sequence[int] = (),
        load: Load | None = None,
    ) -> int:
        a, b = _through(way)
        index = len(self.parts)
        self.parts.append(
            Part(index, device, role, a, b, conducts, mechanism, frozenset(closed), load)
        )
        return index

    def _device(
        self,
        name: str,
        kind: str,
        marks: Sequence[str],
        parts: Sequence[int],
        sources: tuple[int, ...] = (),
    ) -> None:
        terminals = tuple(f"{name}:{mark}" for mark in marks)
        mechanisms = (name,) if name in self.mechanisms else ()
        self.devices[name] = Device(
            name, kind, "", NOWHERE, NOWHERE, "panel", terminals, tuple(parts), sources, mechanisms
        )


def _ends(way: str) -> tuple[str, str]:
    first, _, last = way.partition("-")
    return first, last


def _through(way: str) -> tuple[str, str]:
    """The terminals at which a way is entered and left; of a terminal, itself twice."""
    device, _, marks = way.partition(":")
    if "-" not in marks:
        return way, way
    first, last = _ends(marks)
    return f"{device}:{first}", f"{device}:{last}"


def ladder(rungs: int, seed: int = 0, *, group: int = GROUP, local: bool = True) -> Drawing:
    """A ladder of so many rungs.

    A rung refers to earlier rungs of its group; where it is not `local`, of the whole ladder.
    """
    return _Ladder(rungs, seed, group, local).drawn()


class _Ladder:
    def __init__(self, rungs: int, seed: int, group: int, local: bool) -> None:
        self.rungs, self.group, self.local = rungs, group, local
        self.choice = random.Random(seed)
        self.out = Drawing()

    def drawn(self) -> Drawing:
        out = self.out
        out.mains("MAINS")
        out.fuse("FU0")
        out.supply("PS1")
        out.chain("MAINS:L1", "FU0:1-2", "PS1:L-N", "MAINS:N")
        for first in range(0, self.rungs, self.group):
            self._group(first, min(self.rungs, first + self.group))
        return out

    def _group(self, first: int, end: int) -> None:
        live = self._master(first)
        for rung in range(first, end):
            self._relay(rung)
        for rung in range(first, end):
            self._rung(rung, first, end, live)
        for rung in range(first, end):
            self._extras(rung, first, end, live)

    def _master(self, first: int) -> str:
        """The terminal that is live while the emergency stop is reset and the master in."""
        out, master = self.out, f"MC{first}"
        out.fuse(f"FU{first}a")
        stop, start = out.stop(f"ES{first}"), out.button(f"MS{first}", closed=False)
        out.relay(master, [("13-14", True), ("23-24", True)])
        out.chain("PS1:+", f"FU{first}a:1-2", stop, start, f"{master}:A1-A2", "PS1:0V")
        out.chain(f"ES{first}:12", f"{master}:13-14", f"{master}:A1")
        out.chain(f"ES{first}:12", f"{master}:23")
        return f"{master}:24"

    def _is_reversing(self, rung: int, first: int, end: int) -> bool:
        return rung % PAIR == 0 and rung + 1 < end

    def _partner(self, rung: int, first: int, end: int) -> int | None:
        if self._is_reversing(rung, first, end):
            return rung + 1
        if rung > first and self._is_reversing(rung - 1, first, end):
            return rung - 1
        return None

    def _relay(self, rung: int) -> None:
        contacts = [("13-14", True), ("21-22", False), ("33-34", True), ("41-42", False)]
        contacts += [("53-54", True), ("63-64", True)]
        self.out.relay(f"K{rung}", contacts, poles=3 if rung % PAIR < 2 else 0)

    def _rung(self, rung: int, first: int, end: int, live: str) -> None:
        out, choice = self.out, self.choice
        ways = [out.button(f"S{rung}a", closed=True), out.button(f"S{rung}b", closed=False)]
        if choice.random() < 0.5:
            ways.append(out.sensor(f"B{rung}"))
        partner = self._partner(rung, first, end)
        coil = f"K{rung}"
        if partner is None:
            if rung > first and choice.random() < 0.3:
                other = choice.randrange(first if self.local else 0, rung)
                ways.append(choice.choice([f"K{other}:33-34", f"K{other}:41-42"]))
        elif min(rung, partner) // PAIR % 3 != 2:
            ways.append(f"K{partner}:21-22")
        else:
            coil = self._two_stages(rung, partner, live)
            ways += [f"X{partner}:21-22", f"K{partner}:21-22"]
        out.chain(live, *ways, f"{coil}:A1-A2", "PS1:0V")
        out.chain(f"S{rung}a:12", f"{coil}:13-14", f"S{rung}b:14")

    def _two_stages(self, rung: int, partner: int, live: str) -> str:
        """The relay that is asked for, and pulls the contactor in."""
        out, asked = self.out, f"X{rung}"
        out.relay(asked, [("13-14", True), ("21-22", False), ("33-34", True)])
        out.chain(live, f"{asked}:33-34", f"K{rung}:A1-A2", "PS1:0V")
        return asked

    def _extras(self, rung: int, first: int, end: int, live: str) -> None:
        out, choice = self.out, self.choice
        if choice.random() < 0.1 and rung + 2 < end:
            tie = out.sensor(f"B{rung}t")
            out.chain(f"S{rung}a:12", tie, f"S{rung + 1}a:12")
        if choice.random() < 0.5:
            out.chain(live, f"K{rung}:63-64", out.lamp(f"H{rung}"), "PS1:0V")
        if self._is_reversing(rung, first, end):
            self._motor(rung)

    def _motor(self, rung: int) -> None:
        out, motor, ahead, back = self.out, f"M{rung}", f"K{rung}", f"K{rung + 1}"
        if self.choice.random() < 0.5:
            out.interlocks.append((ahead, back))
        out.motor(motor)
        for line, pole, turned in ((1, "1-2", "5-6"), (2, "3-4", "3-4"), (3, "5-6", "1-2")):
            breaker = f"FU{rung}L{line}"
            out.fuse(breaker)
            out.chain(f"MAINS:L{line}", f"{breaker}:1-2", f"{ahead}:{pole}", f"{motor}:T{line}")
            out.chain(f"{breaker}:2", f"{back}:{pole}", f"{ahead}:{turned.partition('-')[2]}")
        out.chain("MAINS:PE", f"{motor}:PE")
