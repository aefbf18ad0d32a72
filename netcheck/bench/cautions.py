"""The cautions that what is told at the bench comes with."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.bench.readings import SHOCK_V
from netcheck.report.closing import CAUTION

DESCRIPTION = "Right only if the wiring is as described.  0 V is not proof that it is dead:"
PROVE = "test the meter on a known live point, the point, the known live point again."
ELV = "50 V is a shock line, not an arc line: 24 V across a spanner burns."
SHOCK = f"{SHOCK_V:g} V or more: shock and arc-flash assessment first."
LIVE = (
    "Live test: rated meter, fused leads, protective equipment, not alone.  No arc-flash "
    "study is made here."
)
NEVER = "Never jump a safety contact, overload or fuse to find a fault, nor fit a larger fuse."
CLEARS = "Machines start when a fault clears: stand clear, prevent restart."
OFF = (
    "Ohms only with power off: open, lock and tag every source, release stored energy, prove "
    "it dead, lift one end.  Off by a contactor, stop or controller is not isolated."
)
CLAMP = (
    "One conductor in the clamp at a time.  Never open a neutral or grounding conductor "
    "under load, nor a current transformer's secondary."
)


def of_live_test(highest_v: float) -> Iterator[str]:
    """What holds where a meter is put on live points of up to so many volts."""
    yield f"{DESCRIPTION} {PROVE}"
    yield f"{LIVE}  {ELV if 0 < highest_v < SHOCK_V else SHOCK}"


def closing() -> tuple[str, ...]:
    return CAUTION
