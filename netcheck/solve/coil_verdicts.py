"""Whether an uncertain coil surely pulls in, or surely stays out, pattern by pattern.

A coil that gets some voltage, but not surely enough, stands in a neighbourhood of few
contacts.  Each way these can stand is solved once, with the sources around it live.  At or
above the voltage at which the coil surely pulls in it must; below that at which it surely
drops out it cannot; else it may do either, as before.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import TYPE_CHECKING

from netcheck.model.devices import Conducts, Part
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE

if TYPE_CHECKING:
    from netcheck.solve.near_loads import Near, NearLoads, Spread

MOST_VARIABLES = 6
MOST_PATTERNS = 400
"""Of one panel; what is left may do either."""
DROPS_OUT = {"AC": 0.20, "DC": 0.10}
"""Of its rated voltage, below which any contactor is out: IEC 60947-4-1 8.2.1.2, second-hand."""
SLACK = 1e-6


class CoilVerdicts:
    """Judges the uncertain coils of one panel.  Handed to `Behaviour`, which asks it."""

    def __init__(self) -> None:
        self._near: NearLoads | None = None
        self._left = MOST_PATTERNS

    def __call__(self, states: Behaviour, coil: Part, uncertain: int) -> tuple[int, int]:
        """When (as literals) it must pull in, and when it cannot.

        `uncertain` is when the coil gets some voltage, but not surely enough.
        """
        if self._near is None or self._near.states is not states:
            from netcheck.solve.near_loads import NearLoads

            self._near = NearLoads(states)
        near = self._near.around(coil)
        if near is None or coil.load is None or coil.load.volts is None or coil.load.polarised:
            return FALSE, FALSE
        logic = states.logic
        live = logic.all_of([states.live(index) for index in near.sources])
        surely: dict[bool, list[int]] = {True: [], False: []}
        for pattern, spread in self._patterns(states, coil, near, uncertain):
            pulls_in = _pulls_in(states, coil, near.basis, spread)
            if pulls_in is not None:
                surely[pulls_in].append(pattern)
        surely_in, surely_out = (
            logic.both(live, logic.any_of(surely[way])) for way in (True, False)
        )
        return surely_in, surely_out

    def _patterns(
        self, states: Behaviour, coil: Part, near: Near, uncertain: int
    ) -> Iterator[tuple[int, Spread]]:
        """Each way the contacts around may stand, as a literal, and what the coil then gets."""
        logic = states.logic
        known: dict[frozenset[int], Spread | None] = {}
        moving = [p for p in near.parts if p.conducts in (Conducts.CONTACT, Conducts.JOINS)]
        literals = {part.index: states.closed(part) for part in moving}
        variables = sorted({v for one in literals.values() for v in logic.support(one)})
        if len(variables) > MOST_VARIABLES:
            return
        for values in product((False, True), repeat=len(variables)):
            at = dict(zip(variables, values, strict=True))
            if logic.substitute(uncertain, {v: int(value) for v, value in at.items()}) == FALSE:
                continue
            closed = frozenset(i for i, one in literals.items() if logic.evaluate(one, at))
            if closed not in known:
                self._left -= 1
                if self._left < 0:
                    return
                assert self._near is not None
                spreads = self._near.spreads(near, lambda part, now=closed: part.index in now)  # type: ignore[misc]
                known[closed] = spreads.get(coil.index) if spreads else None
            spread = known[closed]
            if spread is not None:
                yield logic.all_of([v ^ (not value) for v, value in at.items()]), spread


def _pulls_in(states: Behaviour, coil: Part, basis: str, spread: Spread) -> bool | None:
    """None where it may do either."""
    load, device = coil.load, states.panel.devices[coil.device]
    assert load is not None
    assert load.volts is not None
    kind = "DC" if basis == "DC" else "AC"
    if load.kind and load.kind != kind:
        return None
    drops_out_v = device.number("coil_drop_out_v") or load.volts * DROPS_OUT[kind]
    if spread.most_v < drops_out_v - SLACK:
        return False
    enough = spread.least_v >= load.volts * load.low - SLACK
    return True if enough and spread.most_v <= load.volts * load.high + SLACK else None
