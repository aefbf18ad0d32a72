"""Wires and plain joints one after the other with nothing between: whichever of them is open,
everything but the places between them reads the same."""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from netcheck.bench.candidates import Candidate
from netcheck.bench.walks import Walk
from netcheck.model.devices import Conducts
from netcheck.model.faults import OPENING
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire

Key = tuple[bool, int]
"""Of a wire or a part."""


class Chains:
    """The chains on some ways, and the terminals `between` their members."""

    def __init__(self, panel: Panel, ways: Iterable[Walk]) -> None:
        self.between: set[str] = set()
        self._chain: dict[Key, Key] = {}
        poles = {f"{source.device}:{pole}" for source in panel.sources for pole in source.poles}
        idle = (Conducts.BOND, Conducts.NOTHING)

        def only_passed(terminal: str) -> bool:
            parts = [p for p in panel.parts_at.get(terminal, ()) if p.conducts not in idle]
            met = len(parts) + len(panel.wires_at.get(terminal, ()))
            return met == 2 and terminal not in poles

        for way in ways:
            chain: Key | None = None
            for step in way.passed:
                by = step.by
                plain = isinstance(by, Wire) or by.conducts is Conducts.JOINS
                if not plain:
                    chain = None
                    continue
                if chain is not None and only_passed(step.start):
                    self.between.add(step.start)
                else:
                    chain = None
                key = (isinstance(by, Wire), by.index)
                chain = self._chain.setdefault(key, chain or key)

    def of(self, candidate: Candidate) -> Hashable | None:
        """The chain that a candidate opens, of two at once what both do; None of anything else."""
        if candidate.both:
            chains = [self.of(one) for one in candidate.both]
            named = zip(chains, candidate.both, strict=True)
            return tuple(chain or one.words for chain, one in named) if any(chains) else None
        if len(candidate.faults) != 1 or candidate.edits:
            return None
        (fault,) = candidate.faults
        if fault.kind not in OPENING or len(fault.wires) + len(fault.parts) != 1:
            return None
        key = (True, fault.wires[0]) if fault.wires else (False, fault.parts[0])
        return self._chain.get(key)
