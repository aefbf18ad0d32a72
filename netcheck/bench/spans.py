"""Where on a straight line something may be: by halving, for what is judged of a whole span."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

Span = tuple[float, float]
"""Shares of the line, from one to another."""

Judge = Callable[[float, float], bool | None]
"""Whether it may be all over a span, or nowhere in it; None where it may be in some of it."""

WHOLE: Span = (0.0, 1.0)
FINEST = 1 / 256
"""Spans no wider are not halved: of the volts that a joint leaves a load much less than a meter
tells."""


def spans_left(spans: Iterable[Span], judge: Judge) -> Iterator[Span]:
    """What is left of these, in order, those that meet as one."""
    left: Span | None = None
    for span in spans:
        for low, high in _halved(*span, judge):
            if left is not None and left[1] == low:
                left = left[0], high
            else:
                yield from () if left is None else (left,)
                left = low, high
    yield from () if left is None else (left,)


def _halved(low: float, high: float, judge: Judge) -> Iterator[Span]:
    judged = judge(low, high)
    if judged is None and high - low > FINEST:
        middle = (low + high) / 2
        yield from _halved(low, middle, judge)
        yield from _halved(middle, high, judge)
    elif judged is not False:
        yield low, high
