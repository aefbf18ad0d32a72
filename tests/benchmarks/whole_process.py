"""A whole review as a process, against a process that only imports lark and click.

    python -m tests.benchmarks.whole_process [PANEL] [--runs N]

Both are run in turn, so that whatever else the machine does hits both, with compiled
modules kept, as an installed package has them.  Prints the median ratio with its quartiles,
by the clock and by processor time (which a busy machine disturbs less), and by cProfile where
the time goes.  Nothing here is asserted.
"""

from __future__ import annotations

import argparse
import cProfile
import os
import pstats
import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path

from netcheck.cli.status import Status
from netcheck.record import record

ROOT = Path(__file__).parents[2]
GREENHOUSE = ROOT / "samples" / "panels" / "greenhouse.panel"


@record
class Spent:
    """What one process took, in seconds."""

    clock_s: float
    processor_s: float


class Failed(SystemExit):
    """A command that did not do its work: what it took says nothing."""


def spent(command: list[str], **variables: str) -> Spent:
    """Raises Failed."""
    start = time.perf_counter()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run(command, **variables)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Spent(time.perf_counter() - start, processor_s)


def run(command: list[str], **variables: str) -> None:
    """Raises Failed.  The exit status alone does not tell: 3 is both what is left open and a fault
    in netcheck itself, which it says on standard error, where a command that works says nothing."""
    environment = {**os.environ, **variables}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    null, pipe = subprocess.DEVNULL, subprocess.PIPE
    done = subprocess.run(command, cwd=ROOT, env=environment, stdout=null, stderr=pipe, check=False)
    if done.stderr or done.returncode not in (Status.NOTHING, Status.FOUND, Status.OPEN):
        said = done.stderr.decode(errors="replace").strip()
        raise Failed(f"failed, exit status {done.returncode}: {' '.join(command)}\n{said}")


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("panel", nargs="?", default=str(GREENHOUSE))
    arguments.add_argument("--runs", type=int, default=15)
    asked = arguments.parse_args()
    review = [sys.executable, "-m", "netcheck", "review", asked.panel]
    bare = [sys.executable, "-c", "import lark, click"]
    for command in (review, bare):
        spent(command)
    pairs = [(spent(review), spent(bare)) for _ in range(asked.runs)]
    by_clock = [(own.clock_s, base.clock_s) for own, base in pairs]
    by_processor = [(own.processor_s, base.processor_s) for own, base in pairs]
    for what, each in (("by the clock", by_clock), ("processor time", by_processor)):
        own_ms, base_ms = (statistics.median(one) * 1000 for one in zip(*each, strict=True))
        low, middle, high = statistics.quantiles([own / base for own, base in each], n=4)
        print(
            f"{what}: review {own_ms:.0f} ms, import lark, click {base_ms:.0f} ms, "
            f"ratio {middle:.2f} (quartiles {low:.2f} to {high:.2f}, {asked.runs} runs)"
        )
    profile(asked.panel)


def profile(panel: str) -> None:
    """Where the time goes inside the process, imports apart from work."""
    watched = cProfile.Profile()
    with watched:
        from netcheck.cli.main import run

        run(["review", panel, "--quiet"])
    stats = pstats.Stats(watched, stream=sys.stderr)
    stats.sort_stats("cumulative").print_stats("netcheck", 25)


if __name__ == "__main__":
    main()
