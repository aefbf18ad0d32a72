"""What `netcheck meter` tells, whatever form it takes."""

from __future__ import annotations

from netcheck.bench.cold_ohms import ColdOhms
from netcheck.bench.metering import Between, Clamped, Node
from netcheck.bench.ohms import OhmReading
from netcheck.finding import Mistake
from netcheck.record import record


@record
class MeterDocument:
    """Of volts `against` is where the black lead stays; of `off` readings the power is off."""

    path: str
    supposed: tuple[str, ...] = ()
    standing: tuple[str, ...] = ()
    against: str = ""
    off: bool = False
    highest_v: float = 0.0
    highest_between: str = ""
    """Two points between which there is that, `K1:1 to MAINS:L2`."""
    nodes: tuple[Node, ...] = ()
    between: tuple[Between, ...] = ()
    clamped: tuple[Clamped, ...] = ()
    ohms: tuple[OhmReading, ...] = ()
    loads: tuple[ColdOhms, ...] = ()
    assumed: tuple[str, ...] = ()
    open_questions: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    unsaid: tuple[str, ...] = ()
    """Of which sources no ground is said, so that what is live is told against a pole."""

    @property
    def tells_something(self) -> bool:
        """Whether there is any reading, or a question why there is none."""
        told = (self.nodes, self.between, self.clamped, self.ohms, self.loads, self.open_questions)
        return any(told)
