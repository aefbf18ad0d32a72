"""What `netcheck lamps` tells, whatever form it takes."""

from __future__ import annotations

from netcheck.bench.lamps import Lamps
from netcheck.finding import Mistake
from netcheck.record import record


@record
class LampsDocument:
    """`lamps` is None where the panel's text cannot be read."""

    path: str
    supposed: tuple[str, ...] = ()
    lamps: Lamps | None = None
    mistakes: tuple[Mistake, ...] = ()
