"""What version control asks for, as whole processes: comparing, many panels, the same ones again.

    python -m tests.benchmarks.folders [--panels N] [--runs N]

Comparing is held against one review of the same panel, two workers against one, and a run with
nothing changed against the run before it; beside each figure stands what is to be reached, and
whether it is.  What is held against each other runs in turn, so that whatever else the machine does
hits both; two workers need two idle cores, so the load is printed too.  Nothing here is asserted.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import statistics
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.benchmarks.whole_process import ROOT, Spent, spent
from tests.cli.repository import Repository
from tests.revisions.scheme import made_up, written

MOST_TO_COMPARE = 3.0
"""Of one review of the same panel."""
LEAST_OF_TWO = 1.7
"""How much quicker two workers are than one."""
MOST_AGAIN = 0.1
"""Of the run before it, with nothing changed since."""

NETCHECK = [sys.executable, "-m", "netcheck"]

EDITS: dict[str, Callable[[str], str]] = {
    "nothing changed": lambda text: text,
    "lines moved": lambda text: "# moved\n" + text,
    "a device renamed": lambda text: re.sub(r"\bK1\b", "K91", text),
    "a wire resized": lambda text: text.replace("14 AWG", "12 AWG", 1),
    "a contact swapped": lambda text: text.replace("normally closed", "normally open", 1),
    "every wire resized": lambda text: text.replace("18 AWG", "16 AWG"),
}


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--panels", type=int, default=2000)
    arguments.add_argument("--runs", type=int, default=5)
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for line in (*comparing(Path(folder), asked.runs), *many(Path(folder), asked.panels)):
            print(line, flush=True)


def comparing(folder: Path, runs: int) -> Iterator[str]:
    """Two revisions of the greenhouse panel, the old one read from git."""
    project = folder / "greenhouse"
    shutil.copytree(ROOT / "samples" / "panels", project)
    repository = Repository(project)
    repository.commit()
    panel = project / "greenhouse.panel"
    before = panel.read_text(encoding="utf-8")
    review = [*NETCHECK, "review", panel.name]
    compare = [*NETCHECK, "compare", "HEAD:", panel.name]
    for what, edited in EDITS.items():
        panel.write_text(edited(before), encoding="utf-8")
        pairs = [(in_folder(compare, project), in_folder(review, project)) for _ in range(runs)]
        ratios = [one.processor_s / other.processor_s for one, other in pairs]
        yield (
            f"compare, {what}: {at_most(statistics.median(ratios), 'a review', MOST_TO_COMPARE)} "
            f"(processor time, {min(ratios):.2f} to {max(ratios):.2f})"
        )


def many(folder: Path, panels: int) -> Iterator[str]:
    """A folder of small circuits made up at random, kept results in a folder of its own."""
    project = folder / "many"
    project.mkdir()
    for seed in range(panels):
        (project / f"made_{seed:04}.panel").write_text(written(made_up(seed)), encoding="utf-8")
    review = [*NETCHECK, "review", ".", "--output", "json=out.json", "--quiet"]
    load = os.getloadavg()[0]
    two = in_folder([*review, "--no-cache", "--workers", "2"], project)
    one = in_folder([*review, "--cache", str(folder / "kept")], project)
    again = in_folder([*review, "--cache", str(folder / "kept")], project)
    yield (
        f"{panels} panels, two workers: "
        f"{at_least(one.clock_s / two.clock_s, 'as quick as one', LEAST_OF_TWO)} "
        f"(by the clock: {one.clock_s:.1f} s with one, {two.clock_s:.1f} s with two; "
        f"{two.processor_s / one.processor_s:.2f} x the processor time; load before {load:.1f})"
    )
    yield (
        f"{panels} panels again: "
        f"{at_most(again.clock_s / one.clock_s, 'the run before', MOST_AGAIN)} "
        f"(by the clock: {again.clock_s:.2f} s; "
        f"{again.processor_s / one.processor_s:.3f} x the processor time)"
    )


def at_most(ratio: float, what: str, limit: float) -> str:
    """The figure beside what is to be reached."""
    return f"{ratio:.3g} x {what}, at most {limit:g}: {'met' if ratio <= limit else 'NOT MET'}"


def at_least(ratio: float, what: str, limit: float) -> str:
    """The figure beside what is to be reached."""
    return f"{ratio:.3g} x {what}, at least {limit:g}: {'met' if ratio >= limit else 'NOT MET'}"


def in_folder(command: list[str], folder: Path) -> Spent:
    return spent(["sh", "-c", 'cd "$0" && exec "$@"', str(folder), *command], PYTHONPATH=str(ROOT))


if __name__ == "__main__":
    main()
