"""What `netcheck isolate` tells, whatever form it takes."""

from __future__ import annotations

from netcheck.bench.isolating import Isolation
from netcheck.finding import Mistake
from netcheck.record import record


@record
class IsolateDocument:
    """`whole`: every device of the panel, rather than the one that was named."""

    path: str
    whole: bool = False
    isolations: tuple[Isolation, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
