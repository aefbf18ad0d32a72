"""An auxiliary contact of a breaker that fails by itself, while the poles stand as they should."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from netcheck.bench.candidates import Candidate
from netcheck.bench.likelihoods import Sort
from netcheck.bench.walks import Walk
from netcheck.model.devices import Part
from netcheck.model.faults import FaultKind, can_weld, moves_with_poles, of_parts, welded
from netcheck.model.panel import Panel


def stuck(panel: Panel, ways: Iterable[Walk], *, stays_on: bool) -> Iterator[Candidate]:
    """With `stays_on` also one that keeps a way closed."""
    for way in ways:
        for passed in way.passed:
            if isinstance(passed.by, Part) and moves_with_poles(panel, passed.by):
                place = panel.devices[passed.by.device].location
                fault = of_parts(panel, [passed.by], FaultKind.OPEN)
                yield Candidate(fault.words, Sort.CONTACT, place, (fault,))
                if stays_on and can_weld(passed.by):
                    fault = welded(panel, passed.by)
                    yield Candidate(fault.words, Sort.WELD, place, (fault,))
