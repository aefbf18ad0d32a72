"""What `netcheck trace` tells, whatever form it takes."""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.bench.tracing import Traced
from netcheck.finding import Mistake
from netcheck.record import fresh, record


@record
class TraceDocument:
    """`conditions` is for each load when it is energised, in words, a line each."""

    path: str
    supposed: tuple[str, ...] = ()
    traced: tuple[Traced, ...] = ()
    conditions: Mapping[str, tuple[str, ...]] = fresh(factory=dict)
    mistakes: tuple[Mistake, ...] = ()

    @property
    def left_open(self) -> int:
        return sum(bool(traced.open_questions) for traced in self.traced)
