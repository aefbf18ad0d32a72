"""The review of the greenhouse panel with and without the rules of the arithmetic.

    python -m tests.benchmarks.arithmetic [PANEL] [--runs N]

Without: the families that numbers decide are left out (mismatched voltage, undersized conductor,
unprotected branch, supply), and with them every fact that only they ask for.  First the work
alone, in this process, panel read once and judged afresh each time; then whole processes.  Both
in turn within one run; prints the median ratio with its quartiles.  Nothing here is asserted.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable, Sequence

import netcheck.review
from netcheck.model.panel import Panel
from netcheck.rule import Rule, all_rules
from tests.benchmarks.whole_process import GREENHOUSE, spent
from tests.facts.panels import panel_of
from tests.published_count import FAMILIES

WITHOUT = """
import sys
import netcheck.rule as rule
families = {families!r}
kept = tuple(one for one in rule.all_rules() if one.family.value not in families)
rule.all_rules = lambda: kept
sys.argv = ["netcheck", "review", {panel!r}]
from netcheck.__main__ import main
main()
"""


def judged_ms(panel: Panel, rules: tuple[Rule, ...]) -> float:
    """One review of a panel that is read already, by these rules alone; processor time."""
    netcheck.review.all_rules = lambda: rules  # type: ignore[attr-defined, assignment]
    start = time.process_time()
    netcheck.review.judge(panel)
    return (time.process_time() - start) * 1000


def show(what: str, pairs: Sequence[tuple[float, float]]) -> None:
    all_ms, without_ms = (statistics.median(one) for one in zip(*pairs, strict=True))
    low, middle, high = statistics.quantiles([own / bare for own, bare in pairs], n=4)
    print(
        f"{what}: with {all_ms:.0f} ms, without {without_ms:.0f} ms, "
        f"ratio {middle:.2f} (quartiles {low:.2f} to {high:.2f}, {len(pairs)} runs)"
    )


def in_turn(
    runs: int, one: Callable[[], float], other: Callable[[], float]
) -> list[tuple[float, float]]:
    one(), other()
    return [(one(), other()) for _ in range(runs)]


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("panel", nargs="?", default=str(GREENHOUSE))
    arguments.add_argument("--runs", type=int, default=15)
    asked = arguments.parse_args()
    every = all_rules()
    kept = tuple(rule for rule in every if rule.family not in FAMILIES)
    print(f"{len(every)} rules, {len(every) - len(kept)} of them the arithmetic's")
    with open(asked.panel, encoding="utf-8") as text:
        panel = panel_of(text.read())
    judged = in_turn(asked.runs, lambda: judged_ms(panel, every), lambda: judged_ms(panel, kept))
    show("judging alone, processor time", judged)
    names = sorted(family.value for family in FAMILIES)
    program = WITHOUT.format(families=names, panel=asked.panel)
    whole = [sys.executable, "-m", "netcheck", "review", asked.panel]
    bare = [sys.executable, "-c", program]
    for command in (whole, bare):
        spent(command)
    pairs = [(spent(whole), spent(bare)) for _ in range(asked.runs)]
    show("whole process, by the clock", [(a.clock_s * 1e3, b.clock_s * 1e3) for a, b in pairs])
    by_processor = [(a.processor_s * 1e3, b.processor_s * 1e3) for a, b in pairs]
    show("whole process, processor time", by_processor)


if __name__ == "__main__":
    main()
