"""A panel's things in numbers, as `steady` takes them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from netcheck.record import fresh, record

Holds = Literal["ohm", "current", "power"]


@record
class Draw:
    """What a load part draws: `ohm` at its rated `volts`, and what it holds as these fall.

    On AC `ohm` is complex, its angle that by which the current lags, which it keeps; on DC
    its real part counts.  A heater keeps its ohm, a motor (near full load) its current, an
    electronic input its power.  Below `least_share` of its rating any load keeps the ohm that
    it has there: with a leap in its current, there would be circuits that nothing solves.
    """

    ohm: complex
    volts: float
    holds: Holds = "ohm"
    least_share: float = 0.7


@record
class Coupling:
    """A transformer winding pair: source `second` follows the load part `first` by `ratio`
    (volts of the second for one of the first), with `ohm` in series on the second side."""

    first: int
    second_a: str
    second_b: str
    ratio: float
    ohm: complex


@record
class Conversion:
    """An electronic supply: source `source` is live while load part `input` is within its
    band; it gives `limit_a` at most and takes in what it gives over `efficiency`."""

    source: int
    input: int
    limit_a: float | None
    efficiency: float
    idle_w: float = 0.0


@record
class Ratings:
    """Everything that is not joined ideally: wires by index, load parts, sources.

    A wire that is missing here has no resistance, a load part that is missing draws nothing,
    a source that is missing has no impedance: whoever makes this says what he assumed.
    """

    wire_ohm: Mapping[int, complex] = fresh(factory=dict)
    draws: Mapping[int, Draw] = fresh(factory=dict)
    source_ohm: Mapping[int, complex] = fresh(factory=dict)
    couplings: tuple[Coupling, ...] = ()
    conversions: tuple[Conversion, ...] = ()
