"""What a meter shows between two points, and in which words."""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.figure import figure
from netcheck.model.devices import Load, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.solve.steady import DC, Steady

Volts = Mapping[str, complex]
"""By system, against the other point."""

NOUGHT_V = 0.05
"""Less than this is printed as 0 V, as the last figure of a meter's range."""
SHOCK_V = 50.0
"""From here on (to ground, or between the points) a live test is shock-hazard work: OSHA
1910.333(a)(1), NFPA 70E 110.4: from memory."""

SAID_MORE = 0.02
"""By so little more a text names what it is: 230 V between line and neutral are 398 V between
lines, and called 400 V."""


@record
class Reading:
    """Volts of the red lead's point against the black one's: `dc_v` with its sign, `ac_v` as a
    meter on AC shows it.  `floats`: nothing fixes it."""

    dc_v: float = 0.0
    ac_v: float = 0.0
    floats: bool = False

    @property
    def size_v(self) -> float:
        return abs(self.dc_v) + self.ac_v

    @property
    def is_nought(self) -> bool:
        return not self.floats and self.size_v < NOUGHT_V

    @property
    def kind(self) -> str:
        """`DC`, `AC`, `AC and DC`, or nothing where it reads nothing."""
        kinds = [
            kind for kind, volts in (("AC", self.ac_v), ("DC", self.dc_v)) if abs(volts) >= NOUGHT_V
        ]
        return " and ".join(kinds)

    def __str__(self) -> str:
        if self.floats:
            return "floats"
        if self.is_nought:
            return "0 V"
        words = []
        if abs(self.dc_v) >= NOUGHT_V:
            words.append(f"{_volts(self.dc_v)} DC")
        if self.ac_v >= NOUGHT_V:
            words.append(f"{_volts(self.ac_v)} AC")
        return " and ".join(words)

    def like(self, other: Reading, within: float = 0.05) -> bool:
        """Whether a meter would tell them apart: by a share of the larger, or half a volt."""
        if self.floats or other.floats:
            return self.floats == other.floats
        room = max(0.5, within * max(self.size_v, other.size_v))
        return abs(self.dc_v - other.dc_v) <= room and abs(self.ac_v - other.ac_v) <= room


def as_said(panel: Panel, volts: float, kind: str = "") -> float:
    """The highest volts at some place, V, as the panel's sources call it: 400 V, not 398 V."""
    said = [one.volts for one in panel.sources if kind in ("", one.kind)]
    return min((v for v in said if volts <= v <= volts * (1 + SAID_MORE)), default=volts)


def fits(reading: Reading, load: Load) -> bool:
    """Whether a voltage is one that a load is made for: kind, size, way round."""
    if reading.floats or reading.is_nought:
        return False
    if load.volts is None:
        return True
    if load.kind and reading.kind != load.kind:
        return False
    if load.polarised and reading.dc_v < 0 and reading.kind == "DC":
        return False
    return load.volts * load.low * 0.999 <= reading.size_v <= load.volts * load.high * 1.001


def made_for(load: Load) -> str:
    """To be put behind what it gets; empty where its text says no volts."""
    return f", made for {load.volts:g} V {load.kind}".rstrip() if load.volts else ""


def _volts(volts: float) -> str:
    """To a tenth, as a meter on that range shows it."""
    return f"{figure(round(volts, 1))} V"


def read(steady: Steady, red: str, black: str) -> Reading:
    """What an ideal meter shows."""
    return shown(steady.volts(red, black))


def shown(volts: Volts | None) -> Reading:
    """What it shows of these; of None, which floats, that."""
    if volts is None:
        return Reading(floats=True)
    direct = volts.get(DC, 0j).real
    alternating = sum(abs(value) for basis, value in volts.items() if basis != DC)
    return Reading(_clean(direct), _clean(alternating))


def along(first: Volts, last: Volts, low: float, high: float) -> list[Reading]:
    """What it shows at two shares of the straight line from `first` to `last`, and where between
    these its volts are fewest: those AC turn as they change, and either may pass through nought."""
    shares = [low, high]
    for basis in first.keys() | last.keys():
        begin, way = first.get(basis, 0j), last.get(basis, 0j) - first.get(basis, 0j)
        if way:
            least = -(begin.conjugate() * way).real / abs(way) ** 2
            shares.append(min(max(least, low), high))
    bases = sorted(first.keys() | last.keys())
    return [
        shown({b: first.get(b, 0j) * (1 - share) + last.get(b, 0j) * share for b in bases})
        for share in shares
    ]


def amperes(steady: Steady, part: Part) -> tuple[float, float] | None:
    """Through a part, A: direct ones from its `a` to its `b`, and the size of alternating ones.
    None where they are not known."""
    found = steady.part_a(part.index)
    if None in found.values():
        return None
    direct = found.get(DC) or 0j
    return direct.real, sum(abs(a) for basis, a in found.items() if a and basis != DC)


def _clean(volts: float) -> float:
    """Without what rounding left of nought."""
    return 0.0 if abs(volts) < 1e-6 else volts
