"""What declaring a class costs: a frozen dataclass with slots against a record, as a ratio.

python tests/benchmarks/records.py
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

from netcheck.record import record

TIMES = 300


def declare_dataclass() -> None:
    @dataclass(frozen=True, slots=True)
    class Lamp:
        """A lamp."""

        name: str
        volts: float
        kind: str = ""
        amperes: float = 0.0


def declare_record() -> None:
    @record
    class Lamp:
        """A lamp."""

        name: str
        volts: float
        kind: str = ""
        amperes: float = 0.0


def microseconds(declare: Callable[[], None]) -> float:
    taken = []
    for _ in range(TIMES):
        start = time.perf_counter()
        declare()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1e6


def main() -> None:
    usual, own = microseconds(declare_dataclass), microseconds(declare_record)
    print(f"dataclass {usual:.0f} us, record {own:.0f} us, ratio {usual / own:.1f}")


if __name__ == "__main__":
    main()
