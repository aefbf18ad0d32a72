"""The one-fault table: a wire broken or grounded, a contact welded, a contactor that sticks.

Each is played through from a state in which the loads run: the fault comes; then each stop is
held and let go.  And from the state after a stop: whether the fault alone starts something.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.facts.load_feeds import LoadFeed
from netcheck.facts.protection import Protection
from netcheck.facts.single_faults import contacts_that_weld, nodes_that_ground, wires_that_open
from netcheck.facts.stop_devices import StopDevice
from netcheck.facts.unstopped_loads import UnstoppedLoads
from netcheck.model.devices import device_of
from netcheck.model.faults import Fault
from netcheck.record import record
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.running import Running
from netcheck.report.sheets.table import Cell, Table
from netcheck.states.breakable import Breakable
from netcheck.states.faults_at_once import FaultsAtOnce, state_of

STARTS, RUNS_ON, FUSE, STOPS, NONE = (
    "STARTS", "RUNS ON", "fuse opens", "stops", "no effect",
)  # fmt: skip
ORDER = (STARTS, RUNS_ON, FUSE, STOPS, NONE)
MEANING = {
    STARTS: "STARTS: a load starts by itself",
    RUNS_ON: "RUNS ON: a load runs on while its stop is held",
    FUSE: "A fuse or breaker opens: the fault is a short",
    STOPS: "Stops: what runs stops by itself, and stays off",
    NONE: "No effect on these loads here: found only by a test, or by the next fault",
}
KINDS = {"open": "broken", "held in": "sticks, pulled in"}
MOST_NAMES = 12


@record
class Effect:
    """What one fault does: the worst of it by `sort`, all of it in `words`."""

    fault: Fault
    sort: str
    words: str


def one_fault(bench: Bench) -> Table:
    found = effects(bench)
    rows = [row for sort in ORDER for row in _rows([one for one in found if one.sort == sort])]
    states = bench.running.states
    notes = (
        *(f"Played from here: {'; '.join(one.steps) or 'power on'}.  There run "
          f"{_names(one.loads)}." for one in states),
        "Played through in these states alone; what the review says of stops and faults is proved "
        "in all.  Topology, no performance level.  A weld is tried where the contact is closed.",
        *(f"Not shown, {line}." for line in bench.running.never),
    )  # fmt: skip
    columns = ("result", "effect", "any one of these faults")
    empty = "no stop, or nothing that a stop should stop, or nothing of it could be made to run"
    return Table("one-fault", "One fault at a time", columns, tuple(rows), notes, empty,
                 grouped=True, open=len(bench.running.never))  # fmt: skip


def effects(bench: Bench) -> list[Effect]:
    """Each fault once, its worst in any of the states played."""
    panel = bench.panel
    faults = [*wires_that_open(panel), *nodes_that_ground(panel), *contacts_that_weld(panel)]
    states = bench.running.states
    if not states or not faults:
        return []
    machine = FaultsAtOnce(Breakable(panel, faults, certain=True))
    played = [_Played(bench, machine, running) for running in states]
    found = []
    for number, fault in enumerate(faults):
        told = [effect for one in played if (effect := one.effect(number, fault)) is not None]
        if told:
            found.append(min(told, key=lambda one: ORDER.index(one.sort)))
    return found


class _Played:
    """All faults, from one running state."""

    def __init__(self, bench: Bench, machine: FaultsAtOnce, running: Running) -> None:
        self._bench = bench
        self._loads = running.loads
        whole = running.standing
        before = machine.standing(state_of(whole.states.machine, whole.values))
        with_faults = before.with_faults()
        self._came = with_faults.came & with_faults.settled
        self._shorted = with_faults.shorted()
        self._off = {load.name: ~with_faults.on(load.parts) for load in running.loads}
        self._runs_on: list[tuple[StopDevice, LoadFeed, int]] = []
        self._starts: list[tuple[str, LoadFeed, int]] = []
        for stop, loads in self._stops():
            name = stop.mechanism.name
            held = with_faults.after({name: stop.stopping})
            let_go = held.after({name: 0})
            ready = before.after({name: stop.stopping}).after({name: 0}).with_faults()
            shorts = ready.shorted()
            for load in loads:
                on = held.on(load.parts) & held.settled & ~held.shorted()
                self._runs_on.append((stop, load, self._unlike_none(on, machine.none)))
                again = let_go.on(load.parts) & ~held.on(load.parts) & ~let_go.shorted()
                again = self._unlike_none(again & let_go.settled, machine.none)
                self._starts.append((f"{name} is let go", load, again))
                alone = ready.on(load.parts) & ready.came & ready.settled & ~shorts
                self._starts.append(
                    (f"stopped by {name}", load, self._unlike_none(alone, machine.none))
                )

    def _stops(self) -> Iterator[tuple[StopDevice, list[LoadFeed]]]:
        for one in self._bench.fact(UnstoppedLoads).stopped:
            names = {load.name for load in one.loads}
            loads = [load for load in self._loads if load.name in names]
            if loads:
                yield one.stop, loads

    @staticmethod
    def _unlike_none(bits: int, none: int) -> int:
        """No bits at all where it happens without any fault too."""
        return 0 if bits & none else bits

    def effect(self, number: int, fault: Fault) -> Effect | None:
        """None where the fault cannot come in this state."""
        bit = 1 << number
        starts = [(when, load) for when, load, bits in self._starts if bits & bit]
        if not self._came & bit and not starts:
            return None
        runs_on = [(stop, load) for stop, load, bits in self._runs_on if bits & bit & self._came]
        off = [load for load in self._loads if self._off[load.name] & bit]
        told = list(_grouped("{} START{s} once {by}", starts))
        told += _grouped("{} RUN{s} ON with {by} held", [(s.mechanism.name, x) for s, x in runs_on])
        if self._shorted & bit:
            return Effect(fault, FUSE, self._opens(fault))
        if off and self._came & bit:
            told.append(f"{_names(off)} stop{'s' if len(off) == 1 else ''}")
        sort = STARTS if starts else RUNS_ON if runs_on else STOPS if off else NONE
        return Effect(fault, sort, "; ".join(told))

    def _opens(self, fault: Fault) -> str:
        """What opens: what protects the wire, or that only its source limits the short."""
        panel = self._bench.panel
        wire = next(one for one in panel.wires if one.index == fault.wires[0])
        ahead = self._bench.fact(Protection).worst(wire.a)
        if ahead is None:
            return "a short"
        name = device_of(ahead.entry)
        if panel.devices[name].kind in ("breaker", "fuse"):
            return f"{name} opens"
        return f"a short that only {name} limits"


def _grouped(words: str, found: list[tuple[str, LoadFeed]]) -> Iterator[str]:
    by: dict[tuple[str, ...], list[LoadFeed]] = {}
    for load in dict.fromkeys(load for _, load in found):
        whens = tuple(dict.fromkeys(when for when, other in found if other is load))
        by.setdefault(whens, []).append(load)
    for whens, loads in by.items():
        s = "S" if len(loads) == 1 else ""
        yield words.format(_names(loads), s=s, by=" or ".join(whens))


def _names(loads: list[LoadFeed] | tuple[LoadFeed, ...]) -> str:
    names = [load.name for load in loads]
    more = len(names) - MOST_NAMES
    return ", ".join(names) if more <= 0 else f"{', '.join(names[:MOST_NAMES])} and {more} more"


def _rows(found: list[Effect]) -> Iterator[tuple[Cell, ...]]:
    """Faults of one effect in one row, those of a kind together."""
    alike: dict[str, dict[str, list[str]]] = {}
    for one in found:
        kind = str(one.fault.kind)
        what = one.fault.words.removesuffix(f" {kind}")
        alike.setdefault(one.words, {}).setdefault(KINDS.get(kind, kind), []).append(what)
    for words, kinds in alike.items():
        told = "\n".join(f"{kind}: {', '.join(what)}" for kind, what in kinds.items())
        yield MEANING[found[0].sort], words or "none", told
