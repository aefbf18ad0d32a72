"""How long the report of a panel takes against one review of it, and how big its files are.

    python -m tests.benchmarks.reports [--rungs 25 100 300] [--sheets]

The greenhouse panel and start/stop ladders.  Each report is made by the command, in a process
of its own, as is the review beside it; printed are processor seconds, their ratio, the most
memory, and the sizes of the page, of the workbook and of all CSV files.  With `--sheets` also
what each sheet takes.  Nothing here is asserted.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
import time
from pathlib import Path

from netcheck.cli.loader import FileLoader
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.every import SHEETS
from tests.benchmarks.ladders import ladder
from tests.benchmarks.whole_process import GREENHOUSE, run

RUNGS = (25, 100, 300)


def took(*words: str) -> tuple[float, float]:
    """Processor seconds of one command, and the megabytes of the largest so far.

    Raises Failed.
    """
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "netcheck", *words]
    run(command)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return seconds, after.ru_maxrss / 1024


def measure(name: str, path: Path, folder: Path) -> None:
    review_s, _ = took("review", str(path))
    report_s, peak_mb = took("report", str(path), "-o", str(folder))
    sizes = {file.name: file.stat().st_size / 1e6 for file in folder.iterdir()}
    lists_mb = sum(size for file, size in sizes.items() if file.endswith(".csv"))
    print(
        f"{name:14}review {review_s:6.1f} s  report {report_s:6.1f} s  ratio "
        f"{report_s / review_s:5.1f}  at most {peak_mb:4.0f} MB  page "
        f"{sizes['report.html']:5.1f} MB  workbook {sizes.get('lists.xlsx', 0.0):.1f} MB  "
        f"CSV {lists_mb:.1f} MB"
    )


def each_sheet(path: Path) -> None:
    """Those that take a hundredth of a second; what several share counts for the first."""
    panel, _ = build_panel(str(path), gather(str(path), FileLoader({str(path): str(path.parent)})))
    bench = Bench(panel)
    for title, make in SHEETS:
        start = time.process_time()
        rows = len(make(bench).rows)
        spent = time.process_time() - start
        if spent >= 0.01:
            print(f"    {title:36}{spent:7.2f} s  {rows:5} rows")


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rungs", type=int, nargs="*", default=RUNGS)
    arguments.add_argument("--sheets", action="store_true", help="what each sheet takes")
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as made:
        panels = {"greenhouse": GREENHOUSE}
        for rungs in asked.rungs:
            name = f"{rungs} rungs"
            panels[name] = Path(made) / f"ladder-{rungs}.panel"
            panels[name].write_text(ladder(rungs).text(), encoding="utf-8")
        for name, path in panels.items():
            measure(name, path, Path(made) / name)
            if asked.sheets:
                each_sheet(path)


if __name__ == "__main__":
    main()
