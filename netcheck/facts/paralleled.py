"""DC sources side by side: one drives against the other, at one nominal voltage.

Of one nominal class are sources, or strings of them, of which neither has more than 1.25
times the other's volts: a 24 V battery and its 27.6 V charger are, 12 V and 24 V are not.
"""

from __future__ import annotations

from netcheck.states.volts import dc_volts, kind_of
from netcheck.states.ways import Way

SPREAD = 1.25
"""Most that one may exceed the other; common practice, no source: from discharged to
boost charge a lead battery spans 1.75 V to 2.4 V for each cell of 2 V."""


def is_side_by_side(way: Way) -> bool:
    """Whether a loop is nothing but DC sources of one nominal class against one another."""
    crossed = [step.volts for step in way.steps if not step.joins]
    if any(kind_of(volts) != "DC" for volts in crossed):
        return False
    along = sum(max(0.0, dc_volts(volts)) for volts in crossed)
    against = sum(max(0.0, -dc_volts(volts)) for volts in crossed)
    return min(along, against) > 0 and max(along, against) <= SPREAD * min(along, against)
