"""Small panels made up by hypothesis: as text, and as plain data to be read in another way."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import strategies as st

Ends = tuple[str, str]


@dataclass(frozen=True)
class Contact:
    """What joins its ends while a device is in one of these positions."""

    ends: Ends
    device: str
    closed: frozenset[int]


@dataclass(frozen=True)
class Load:
    """What takes 24 V DC (or what it says) within its band; a coil or a supply's input too."""

    name: str
    ends: Ends
    volts: float
    kind: str
    low: float
    polarised: bool = False


@dataclass(frozen=True)
class Sourced:
    """Volts from the second pole to the first; `fed_by` names the load that must be energised."""

    name: str
    poles: Ends
    volts: float
    basis: str
    fed_by: str = ""


@dataclass(frozen=True)
class Drawn:
    """One panel.  `positions` are those of each switch in order, True for one it can rest in."""

    text: str
    sources: tuple[Sourced, ...]
    contacts: tuple[Contact, ...]
    diodes: tuple[Ends, ...]
    loads: tuple[Load, ...]
    positions: dict[str, tuple[bool, ...]]
    relays: tuple[str, ...]
    wires: tuple[Ends, ...]


SUPPLIES = (
    "one battery",
    "two batteries",
    "battery and supply",
    "mains and supply",
    "two voltages",
)
SWITCHES = {
    "open": ("button {} normally open 1-2", (True, True)),
    "closed": ("button {} normally closed 1-2", (True, True)),
    "both": ("button {} normally open 1-2; normally closed 3-4", (True, False, True)),
    "overlapping": (
        "button {} overlapping; normally open 1-2; normally closed 3-4",
        (True, False, True),
    ),
    "change-over": ("limit switch {} change-over 1-4-2", (True, False, True)),
}


class Draft:
    def __init__(self) -> None:
        self.lines: list[str] = []
        self.sources: list[Sourced] = []
        self.contacts: list[Contact] = []
        self.diodes: list[Ends] = []
        self.loads: list[Load] = []
        self.positions: dict[str, tuple[bool, ...]] = {}
        self.relays: list[str] = []
        self.wires: list[Ends] = []

    # ---- devices -------------------------------------------------------------------------

    def battery(self, name: str, volts: int) -> None:
        self.lines.append(f"battery {name} {volts} V DC, ungrounded")
        self.sources.append(Sourced(name, (f"{name}:+", f"{name}:-"), volts, "DC"))
        self.positions[name] = (True, True)

    def supply(self, name: str, volts: int, kind: str, line: str, home: str) -> None:
        self.lines.append(f"supply {name} {volts} V {kind} to 24 V DC, 5 A, 0V floating")
        ends = (f"{name}:{line}", f"{name}:{home}")
        self.loads.append(Load(f"{name} input", ends, volts, kind, 0.85, polarised=kind == "DC"))
        self.sources.append(Sourced(name, (f"{name}:+", f"{name}:0V"), 24, "DC", f"{name} input"))

    def mains(self, name: str) -> None:
        self.lines.append(f"source {name} 120 V AC, ungrounded")
        self.sources.append(Sourced(name, (f"{name}:L", f"{name}:N"), 120, f"AC {name}"))
        self.positions[name] = (True, True)

    def switch(self, name: str, sort: str) -> None:
        pattern, positions = SWITCHES[sort]
        self.lines.append(pattern.format(name))
        self.positions[name] = positions
        last = len(positions) - 1
        both = {1} if sort == "overlapping" else set()
        operated, at_rest = frozenset({last} | both), frozenset({0} | both)
        if sort != "closed":
            self.contacts.append(Contact((f"{name}:1", f"{name}:2"), name, operated))
        if sort == "closed":
            self.contacts.append(Contact((f"{name}:1", f"{name}:2"), name, at_rest))
        elif sort == "change-over":
            self.contacts.append(Contact((f"{name}:1", f"{name}:4"), name, at_rest))
        elif sort != "open":
            self.contacts.append(Contact((f"{name}:3", f"{name}:4"), name, at_rest))

    def relay(self, name: str) -> None:
        self.lines.append(f"relay {name} coil 24 V DC; normally open 1-2; normally closed 3-4")
        self.relays.append(name)
        self.loads.append(Load(name, (f"{name}:A1", f"{name}:A2"), 24, "DC", 0.85))
        self.contacts.append(Contact((f"{name}:1", f"{name}:2"), name, frozenset({1})))
        self.contacts.append(Contact((f"{name}:3", f"{name}:4"), name, frozenset({0})))

    def lamp(self, name: str, volts: int) -> None:
        self.lines.append(f"lamp {name} {volts} V DC")
        self.loads.append(Load(name, (f"{name}:X1", f"{name}:X2"), volts, "DC", 0.90))

    def diode(self, name: str) -> None:
        self.lines.append(f"diode {name}")
        self.diodes.append((f"{name}:A", f"{name}:K"))

    # ---- wires -----------------------------------------------------------------------------

    def wire(self, a: str, b: str) -> None:
        if a != b and (a, b) not in self.wires and (b, a) not in self.wires:
            self.wires.append((a, b))

    def chain(self, start: str, passes: list[Ends], end: str) -> None:
        at = start
        for entered, left in passes:
            self.wire(at, entered)
            at = left
        self.wire(at, end)

    def drawn(self) -> Drawn:
        chains = [f"{a} -- {b}" for a, b in self.wires]
        text = "\n".join(['panel "Greenhouse"', *self.lines, 'circuit "All"', *chains, ""])
        return Drawn(
            text,
            tuple(self.sources),
            tuple(self.contacts),
            tuple(self.diodes),
            tuple(self.loads),
            self.positions,
            tuple(self.relays),
            tuple(self.wires),
        )


@st.composite
def panels(draw: st.DrawFn, most_switches: int = 4, most_relays: int = 3) -> Drawn:
    """One or two sources, relays, buttons, lamps, a diode, and chains from anywhere to anywhere."""
    draft = Draft()
    kind = draw(st.sampled_from(SUPPLIES))
    _draw_sources(draft, kind)
    for number in range(draw(st.integers(0, most_relays))):
        draft.relay(f"K{number + 1}")
    for number in range(draw(st.integers(1, most_switches))):
        draft.switch(f"S{number + 1}", draw(st.sampled_from(sorted(SWITCHES))))
    for number in range(draw(st.integers(0, 2))):
        draft.lamp(f"H{number + 1}", draw(st.sampled_from((24, 24, 12))))
    if kind != "mains and supply" and draw(st.booleans()):
        draft.diode("D1")
    if kind == "mains and supply":
        draft.chain("B1:L", [draft.loads[0].ends], "B1:N")
    for _ in range(draw(st.integers(1, 7))):
        _draw_chain(draw, draft)
    return draft.drawn()


def _draw_sources(draft: Draft, kind: str) -> None:
    if kind == "mains and supply":
        draft.mains("B1")
        draft.supply("B2", 120, "AC", "L", "N")
        return
    draft.battery("B1", 24)
    if kind == "two batteries":
        draft.battery("B2", 24)
    elif kind == "two voltages":
        draft.battery("B2", 12)
    elif kind == "battery and supply":
        draft.supply("B2", 24, "DC", "L+", "M")


def _draw_chain(draw: st.DrawFn, draft: Draft) -> None:
    """Most lead from a pole through contacts and a load to the other; the rest go astray."""
    source = draw(st.sampled_from(draft.sources))
    contacts = [contact.ends for contact in draft.contacts]
    passes = draw(st.lists(st.sampled_from(contacts), max_size=2))
    if draw(st.integers(0, 9)) < 8:
        passes.append(draw(st.sampled_from([load.ends for load in draft.loads] or contacts)))
    if draft.diodes and draw(st.integers(0, 3)) == 0:
        passes.append(draft.diodes[0])
    passes = [ends if draw(st.integers(0, 4)) else ends[::-1] for ends in passes]
    terminals = sorted({end for ends in (*contacts, *passes) for end in ends})
    poles = [pole for one in draft.sources for pole in one.poles]
    start, end = source.poles if draw(st.integers(0, 4)) else source.poles[::-1]
    if not draw(st.integers(0, 3)):
        start = draw(st.sampled_from(terminals))
    if not draw(st.integers(0, 3)):
        end = draw(st.sampled_from([*terminals, *poles]))
    draft.chain(start, passes, end)
