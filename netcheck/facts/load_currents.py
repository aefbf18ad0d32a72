"""What each load draws, as the trade counts it when conductors are sized.

Motors go by the tables of full-load currents (NEC 430.6(A)), or by their nameplate where
the tables have none and in IEC practice; all else by what the text says it draws.
Continuous loads, heaters and drives count 125 %, in NEC practice only; so do all loads where
the panel says `duty continuous`.  A receptacle alone on its wires counts as what it is rated
for; of several on one wire each counts 180 VA, for what is plugged in is not known.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.strip_places import joined_by_wire
from netcheck.figure import figure
from netcheck.finding import Working
from netcheck.model.devices import Device, Load, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.volts import magnitude

if TYPE_CHECKING:
    from netcheck.tables.lookup import Lookup, NotTabulated

WATTS_IN_A_HP = 745.699872
RAISED = frozenset(("heater", "drive"))
"""Counted like continuous loads: heaters (UL 508A, NEC 424.3(B)), drives (NEC 430.122)."""

OUTLET_VA = 180.0
"""Of each receptacle of a circuit that has several: NEC 220.14(I), from memory."""

CONTROL = frozenset(
    ("coil", "input", "electronics", "lamp", "valve", "horn", "solenoid", "brake", "meter")
)
"""What control conductors feed."""


class Sort(StrEnum):
    """How a load counts when conductors are sized."""

    MOTOR = "motor"
    CONTINUOUS = "continuous"
    OTHER = "other"


@record
class LoadCurrent:
    """One load: its parts (three of a three-phase one) and the current of one line, in A.

    `name` is the device's where it has no other load, else `K6 A1-A2`.  Where the current
    is not known, it is 0 and `unknown` says what is missing.  `working` is where it comes
    from.
    """

    name: str
    parts: tuple[Part, ...]
    current_a: float
    sort: Sort
    working: Working
    unknown: str = ""

    @property
    def device(self) -> str:
        return self.parts[0].device

    @property
    def three_phase(self) -> bool:
        return len(self.parts) > 1


MOST_TERMS = 6
"""Of a sum of loads, shown one by one."""


def in_short(terms: Sequence[Working]) -> Iterator[Working]:
    """The terms of a sum of loads: the first few one by one, the others added up in one line."""
    shown, rest = terms[:MOST_TERMS], terms[MOST_TERMS:]
    yield from shown
    if rest:
        name = "1 other load" if len(rest) == 1 else f"{len(rest)} other loads"
        total = sum(float(term.value) for term in rest)
        yield Working(name, total, rest[0].unit, "added up", all(term.confirmed for term in rest))


def is_control(load: LoadCurrent) -> bool:
    assert load.parts[0].load is not None
    return load.parts[0].load.works in CONTROL


@record
class LoadCurrents:
    """Every load that is wired and not spare, in the order of the text."""

    loads: tuple[LoadCurrent, ...]
    iec: bool


@concludes(Behaviour)
def find_load_currents(view: View) -> LoadCurrents:
    panel, behaviour = view.panel, view[Behaviour]
    outlets = _outlets_of_several(panel)
    found = [
        _outlet(name, parts)
        if parts[0].device in outlets
        else _current_of(panel, behaviour, name, parts)
        for name, parts in _loads_of(panel)
    ]
    return LoadCurrents(tuple(found), panel.settings.practice.iec)


def _loads_of(panel: Panel) -> Iterator[tuple[str, tuple[Part, ...]]]:
    for device in panel.devices.values():
        if "spare" in device.marks:
            continue
        groups: dict[tuple[str, int], list[Part]] = {}
        for index in device.parts:
            part = panel.parts[index]
            if part.load is not None and not part.spare and _wired(panel, part):
                one = -1 if part.load.phases == 3 else part.index
                groups.setdefault((part.role, one), []).append(part)
        for parts in groups.values():
            alone = len(groups) == 1 or len(parts) > 1
            yield device.name if alone else parts[0].label, tuple(parts)


def _outlets_of_several(panel: Panel) -> set[str]:
    """The receptacles whose line is one with another's, by wires and strips."""
    lines = {
        name: panel.parts[device.parts[0]].a
        for name, device in panel.devices.items()
        if device.kind == "receptacle" and "spare" not in device.marks
    }
    if len(lines) < 2:
        return set()
    joined = joined_by_wire(panel)
    circuits = Counter(joined.find(line) for line in lines.values())
    return {name for name, line in lines.items() if circuits[joined.find(line)] > 1}


def _outlet(name: str, parts: tuple[Part, ...]) -> LoadCurrent:
    load = parts[0].load
    assert load is not None
    rated_a = load.current_a or math.inf
    current_a = min(rated_a, OUTLET_VA / load.volts) if load.volts else rated_a
    source = f"NEC 220.14(I): {OUTLET_VA:g} VA for each outlet of a circuit of several"
    working = Working(f"current of {name}", current_a, "A", source, confirmed=False)
    return LoadCurrent(name, parts, current_a, Sort.OTHER, working)


def _wired(panel: Panel, part: Part) -> bool:
    return part.a in panel.wires_at or part.b in panel.wires_at


def _current_of(
    panel: Panel, behaviour: Behaviour, name: str, parts: tuple[Part, ...]
) -> LoadCurrent:
    load = parts[0].load
    assert load is not None
    device = panel.devices[parts[0].device]
    if load.works == "motor":
        return _motor(panel, device, name, parts)
    raised = load.continuous or load.works in RAISED or panel.settings.duty == "continuous"
    sort = Sort.CONTINUOUS if raised else Sort.OTHER
    if load.current_a is not None:
        working = Working(f"current of {name}", load.current_a, "A", _as_described(load))
        return LoadCurrent(name, parts, load.current_a, sort, working)
    if load.resistance_ohm:
        volts = _highest_volts(behaviour, parts[0])
        current_a = volts / load.resistance_ohm
        source = f"{volts:g} V / {load.resistance_ohm:g} ohm"
        return LoadCurrent(
            name, parts, current_a, sort, Working(f"current of {name}", current_a, "A", source)
        )
    return _unknown(name, parts, sort, f"{name} does not say what current it draws")


def _as_described(load: Load) -> str:
    """How the amperes of a load come about: from its watts or VA, if those give them."""
    if not load.volts or not load.current_a:
        return "as described"
    factor = load.power_factor or 1.0
    apparent_va = (load.power_w or 0.0) / factor
    said = [(load.power_va, "VA", load.power_va or 0.0), (load.power_w, "W", apparent_va)]
    root = math.sqrt(3) if load.phases == 3 else 1.0
    for power, unit, va in said:
        if power and math.isclose(va, load.current_a * load.volts * root, rel_tol=1e-9):
            by = f"{figure(power, unit)} at {figure(load.volts, 'V')}" + (
                ", three-phase" if root > 1 else ""
            )
            return by + (f", power factor {factor:.3g}" if factor < 1 else "")
    return "as described"


def _highest_volts(behaviour: Behaviour, part: Part) -> float:
    """What the load sees at most: of its feeds, or of any source where it stands in series."""
    feeds = behaviour.feeds(part)
    if feeds:
        return max(magnitude(feed.volts) for feed in feeds)
    return max((source.volts for source in behaviour.panel.sources), default=0.0)


def by_nameplate(panel: Panel) -> tuple[str, ...]:
    """The motors whose nameplate current is taken because the tables do not have them."""
    from netcheck.tables.lookup import NotTabulated

    return tuple(
        f"{name} draws its nameplate current: {table.reason}"
        for name, parts in _loads_of(panel)
        if panel.devices[parts[0].device].number("full_load_a")
        and isinstance(table := _from_table(panel, parts), NotTabulated)
    )


def _from_table(panel: Panel, parts: tuple[Part, ...]) -> Lookup | NotTabulated | None:
    """What the tables have for a motor; None where it does not go by them."""
    load = parts[0].load
    assert load is not None
    if load.works != "motor" or not load.power_w or not load.volts or panel.settings.practice.iec:
        return None
    from netcheck.tables.motors import dc_motor_full_load_current_a, motor_full_load_current_a

    power_hp = load.power_w / WATTS_IN_A_HP
    if load.kind == "DC":
        return dc_motor_full_load_current_a(power_hp, load.volts)
    return motor_full_load_current_a(power_hp, load.volts, load.phases)


def _motor(panel: Panel, device: Device, name: str, parts: tuple[Part, ...]) -> LoadCurrent:
    from netcheck.tables.lookup import Lookup

    load = parts[0].load
    assert load is not None
    reason = f"{name} does not say what current or power it has"
    table = _from_table(panel, parts)
    if isinstance(table, Lookup):
        what = f"full-load current of {name}"
        working = Working(what, table.value, "A", table.source, table.confirmed)
        return LoadCurrent(name, parts, table.value, Sort.MOTOR, working)
    if table is not None:
        reason = f"{name} says no full-load current, and {table.reason}"
    elif load.power_w:
        reason = f"{name} does not say what current it draws at full load"
    nameplate_a = device.number("full_load_a")
    if nameplate_a:
        what = f"full-load current of {name}"
        source = "as described, nameplate" + (f": {table.reason}" if table is not None else "")
        return LoadCurrent(
            name, parts, nameplate_a, Sort.MOTOR, Working(what, nameplate_a, "A", source)
        )
    return _unknown(name, parts, Sort.MOTOR, reason)


def _unknown(name: str, parts: tuple[Part, ...], sort: Sort, reason: str) -> LoadCurrent:
    return LoadCurrent(name, parts, 0.0, sort, Working(name, "not known", "", ""), reason)
