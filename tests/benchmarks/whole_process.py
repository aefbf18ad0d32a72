"""A whole review as a process, against a process that only imports lark and click.

    python -m tests.benchmarks.whole_process [PANEL] [--runs N]

Both are run in turn, so that whatever else the machine does hits both, with compiled
modules kept, as an installed package has them.  Prints the
median ratio with its quartiles, and where the rest of the time goes by `-X importtime`
and cProfile.  Nothing here is asserted.
"""

from __future__ import annotations

import argparse
import cProfile
import os
import pstats
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
GREENHOUSE = ROOT / "samples" / "panels" / "greenhouse.panel"


def seconds(command: list[str]) -> float:
    environment = {**os.environ}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.perf_counter()
    subprocess.run(
        command,
        cwd=ROOT,
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    )
    return time.perf_counter() - start


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("panel", nargs="?", default=str(GREENHOUSE))
    arguments.add_argument("--runs", type=int, default=15)
    asked = arguments.parse_args()
    review = [sys.executable, "-m", "netcheck", "review", asked.panel]
    bare = [sys.executable, "-c", "import lark, click"]
    for command in (review, bare):
        seconds(command)
    pairs = [(seconds(review), seconds(bare)) for _ in range(asked.runs)]
    ratios = sorted(own / base for own, base in pairs)
    low, middle, high = statistics.quantiles(ratios, n=4)
    print(f"review {statistics.median(own for own, _ in pairs) * 1000:.0f} ms")
    print(f"import lark, click {statistics.median(base for _, base in pairs) * 1000:.0f} ms")
    print(f"ratio {middle:.2f} (quartiles {low:.2f} to {high:.2f}, {asked.runs} runs)")
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
