"""What `netcheck spare` tells, whatever form it takes."""

from __future__ import annotations

from netcheck.bench.sparing import Sparing
from netcheck.finding import Mistake
from netcheck.record import record


@record
class SpareDocument:
    """`sparing` is None where the panel's text, or the spare's line, cannot be read."""

    path: str
    sparing: Sparing | None = None
    mistakes: tuple[Mistake, ...] = ()
