"""Conductor sizes as the rows of tables name them."""

from __future__ import annotations

from functools import lru_cache

from netcheck.reading.conductor_size import ConductorSize
from netcheck.reading.quantities import read_quantity


@lru_cache(maxsize=4096)
def trade_size(name: str) -> ConductorSize:
    """The size that a row names `14 AWG`, `4/0 AWG`, `250 kcmil` or `2.5 mm2`."""
    size = read_quantity(name)
    if not isinstance(size, ConductorSize):
        raise TypeError(f"{name!r} is no size of a conductor")
    return size
