"""How many circuits the second opinions of the suite are asked about, counted as they run.

    python -m tests.second_opinion_count [--quick]

Runs tests/second_opinion, the slow tests too, and prints of each opinion how many circuits it
looked at that differ from one another, how many comparisons came out alike, and the processor
time they took.  With --quick the tests that run by default alone.  It ends badly where a test
fails or, of all tests, an opinion saw fewer circuits than `LEAST`.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import pytest

from tests.second_opinion.tally import TALLIES, Tally

LEAST = 1_000
TESTS = Path(__file__).parent / "second_opinion"


def told(tallies: dict[str, Tally]) -> list[str]:
    lines = [
        f"{name:60} {len(tally.circuits):6} circuits {tally.checks:6} checks {tally.seconds:6.0f} s"
        for name, tally in tallies.items()
    ]
    checks = sum(tally.checks for tally in tallies.values())
    return [*lines, f"{checks} checks in all"]


def short_of(tallies: dict[str, Tally]) -> list[str]:
    return [name for name, tally in tallies.items() if len(tally.circuits) < LEAST]


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--quick", action="store_true", help="without the slow tests")
    quick = arguments.parse_args().quick
    marked = [] if quick else ["-m", ""]
    ended = pytest.main([str(TESTS), "-q", "-p", "no:cacheprovider", *marked])
    print("\n".join(told(TALLIES)))
    few = [] if quick else short_of(TALLIES)
    for name in few:
        print(f"fewer than {LEAST}: {name}")
    return 1 if ended or few else 0


if __name__ == "__main__":
    sys.exit(main())
