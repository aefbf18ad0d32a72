"""What flows through electronic contacts that are off, and what stands across the loads then.

The leakage of the contacts that stand side by side adds; it divides over the loads, bleeder
resistors among them, that stand side by side behind them, each at the ohms of its rating.
That is worked out for each load a leaking contact may feed, every other contact in its path
counted as closed: more than a state may bring, never less.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.volts import magnitude

SURELY_OUT = {"coil": 0.05, "input": 5 / 24}
"""Of its rated voltage, where the text says nothing: relays let go at 5 % (IEC 61810-1), 24 V
inputs are off up to 5 V (IEC 61131-2, types 1 and 3).  From memory."""


@record
class HeldOn:
    """A load behind contacts that leak, the volts and amperes it is left with, and what it
    surely lets go at: None where neither the text nor a standard says."""

    contacts: tuple[Part, ...]
    load: Part
    leakage_a: float
    left_v: float
    left_a: float
    lets_go_v: float | None
    lets_go_a: float | None
    said: bool

    @property
    def surely_off(self) -> bool:
        below_v = self.lets_go_v is not None and self.left_v <= self.lets_go_v
        below_a = self.lets_go_a is not None and self.left_a <= self.lets_go_a
        return below_v or below_a


@record
class LeakingContacts:
    """Loads that leakage leaves above what they surely let go at."""

    held: tuple[HeldOn, ...]


@concludes(Behaviour, CurrentPaths)
def find_leaking_contacts(view: View) -> LeakingContacts:
    panel = view[Behaviour].panel
    leaks = {
        part.index: leakage
        for part in panel.parts
        if part.conducts is Conducts.CONTACT and (leakage := leakage_of(panel, part))
    }
    return LeakingContacts(tuple(_held(view, panel, leaks)) if leaks else ())


def leakage_of(panel: Panel, part: Part) -> float:
    """The amperes through a contact while it is off; 0 where none are said."""
    own = part.number("leakage_a")
    if own is None and part.role in ("output", "transistor", "pole"):
        own = panel.devices[part.device].number("leakage_a")
    return own or 0.0


def _held(view: View, panel: Panel, leaks: dict[int, float]) -> Iterator[HeldOn]:
    states, paths = view[Behaviour], view[CurrentPaths]
    beside: dict[frozenset[int], list[Part]] = {}
    for index in leaks:
        part = panel.parts[index]
        beside.setdefault(frozenset((states.node(part.a), states.node(part.b))), []).append(part)
    for contacts in beside.values():
        leakage_a = sum(leaks[part.index] for part in contacts)
        numbers = paths.loads_through(contacts[0])
        behind = [part for number in numbers for part in paths.loads[number].parts]
        amperes = {
            part.index: paths.loads[number].current_a
            for number in numbers
            for part in paths.loads[number].parts
        }
        for load in behind:
            fed = max((magnitude(feed.volts) for feed in states.feeds(load)), default=0.0)
            together = sum(
                amperes[other.index]
                for other in behind
                if {states.node(other.a), states.node(other.b)}
                == {states.node(load.a), states.node(load.b)}
            )
            if fed and together:
                share = min(leakage_a / together, 1.0)
                yield from _above(panel, contacts, load, leakage_a, share, fed, amperes[load.index])


def _above(
    panel: Panel,
    contacts: list[Part],
    load: Part,
    leakage_a: float,
    share: float,
    fed_v: float,
    rated_a: float,
) -> Iterator[HeldOn]:
    """The load, if what it is left with is more than it surely lets go at."""
    device = panel.devices[load.device]

    def said(*keys: str) -> float | None:
        found = [load.number(key) or device.number(key) for key in keys]
        return next((number for number in found if number is not None), None)

    lets_go_v = said("drop_out_v", "off_below_v", "coil_drop_out_v")
    lets_go_a = said("drop_out_a", "off_below_a", "coil_drop_out_a")
    is_said = lets_go_v is not None or lets_go_a is not None
    made = load.load
    if not is_said and made is not None and made.volts and made.works in SURELY_OUT:
        lets_go_v = made.volts * SURELY_OUT[made.works]
    held = HeldOn(
        tuple(contacts),
        load,
        leakage_a,
        fed_v * share,
        rated_a * share,
        lets_go_v,
        lets_go_a,
        is_said,
    )
    if not held.surely_off:
        yield held
