"""What `netcheck isolate` tells, whatever form it takes."""

from __future__ import annotations

from netcheck.bench.isolating import Isolation
from netcheck.bench.opened import Opened
from netcheck.bench.reaching import Point
from netcheck.finding import Mistake
from netcheck.record import record


@record
class IsolateDocument:
    """`whole`: every device of the panel, rather than the one that was named.  `points` where they
    were asked for, in place of the devices."""

    path: str
    whole: bool = False
    isolations: tuple[Isolation, ...] = ()
    points: tuple[Point, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    opened: Opened | None = None
    """What is live once handles are open, where that was asked instead."""
    unsaid: tuple[str, ...] = ()
    """Which of the sources told do not say how they are grounded, a sentence each."""
