"""How far the proofs reach: ladders of growing size, and circuits that are hard by design.

    python -m tests.benchmarks.reach [--only WORDS] [--runs N] [--sizes 100 1000] [--beside]

Each case runs in a process of its own, several times; printed are the medians of processor
seconds with the least and the most, the peak memory, how that grows against the smallest
ladder, and what was answered.  With `--beside`, the knotted cases are also put to the listing
of every state and to each kind of proof alone.  Nothing here is asserted.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import statistics
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from netcheck.facts.as_built import AsBuilt, build
from netcheck.facts.closed_loops import ClosedLoops
from netcheck.facts.seen_states import samples_of
from netcheck.loading import Loader
from netcheck.model.build import build_panel
from netcheck.model.devices import Part
from netcheck.reading.project import gather
from netcheck.review import judge
from netcheck.states.answers import Answer, Budget, Instant, Reached, Undecided
from netcheck.states.behaviour import Behaviour
from netcheck.states.conditions import Conditions, Sum
from netcheck.states.machine import Machine
from netcheck.states.proof import Prover
from tests.annotated import Texts
from tests.benchmarks import knotted
from tests.benchmarks.ladders import ladder

ROOT = Path(__file__).parents[2]
SIZES = (100, 1000, 3000)
MOST_SECONDS = 120

Result = dict[str, object]


class Costs:
    """Processor seconds by what they were spent on, and how many answers of each kind."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self.answers: dict[str, Counter[str]] = {}

    @contextmanager
    def of(self, what: str) -> Iterator[None]:
        start = time.process_time()
        try:
            yield
        finally:
            spent = time.process_time() - start
            self.seconds[what] = self.seconds.get(what, 0.0) + spent

    def note(self, what: str, answer: Answer | str) -> None:
        self.answers.setdefault(what, Counter())[kind_of(answer)] += 1

    def told(self) -> Result:
        return {"seconds": self.seconds, "answers": self.answers, "peak_mb": peak_mb()}


def kind_of(answer: Answer | str) -> str:
    if isinstance(answer, str):
        return answer
    if isinstance(answer, Reached):
        return answer.kind
    return "not decided" if isinstance(answer, Undecided) else "never"


def peak_mb() -> float:
    """The most memory this process ever held.  Its parent's does not count, where that is told."""
    try:
        status = Path("/proc/self/status").read_text(encoding="ascii")
        return int(status.partition("VmHWM:")[2].split()[0]) / 1024
    except (OSError, IndexError, ValueError):
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


# ---- ladders --------------------------------------------------------------------------------


def of_a_ladder(rungs: int, *, as_text: bool = False, local: bool = True) -> Costs:
    drawing = ladder(rungs, local=local)
    costs = Costs()
    panel = drawing.panel()
    if as_text:
        with costs.of("reading"):
            panel, mistakes = build_panel(
                "a.panel", gather("a.panel", Texts({"a.panel": drawing.text()}))
            )
        assert not mistakes
    with costs.of("behaviour"):
        built = build(panel)
    behaviour = built.wide
    _loops(costs, built)
    with costs.of("states seen"):
        seen = samples_of(behaviour)
        seen.happen(0)
    with costs.of("never energised"):
        loads = {part.index: behaviour.energised(part) for part in panel.parts if _is_load(part)}
        for condition in loads.values():
            costs.note("never energised", _seen(seen.happen, behaviour, condition, "settled"))
    with costs.of("never pulls in"):
        for mover in behaviour.machine.movers.values():
            costs.note("never pulls in", _seen(seen.happen, behaviour, mover.state, "any instant"))
    return costs


def of_conditions(rungs: int) -> Costs:
    """Every load's condition in words' reach, as drawn and in full."""
    costs = Costs()
    behaviour = build(ladder(rungs).panel()).wide
    with costs.of("conditions"):
        for load in Conditions(behaviour).loads():
            costs.note("conditions", "told" if isinstance(load.full.sure, Sum) else "too large")
    return costs


def _is_load(part: Part) -> bool:
    return part.load is not None


def _loops(costs: Costs, built: AsBuilt) -> None:
    behaviour, loops = built.wide, ClosedLoops(built.wide, built.certain)
    with costs.of("shorts"):
        found = loops.of(loops.panel)
        for loop in found:
            costs.note("shorts", behaviour.prover.can_happen(loop.way.condition))
    with costs.of("races"):
        for loop in found:
            costs.note("races", loops.answer(loop))


def _seen(
    happen: Callable[[int], bool], behaviour: Behaviour, condition: int, at: Instant
) -> Answer | str:
    return "seen" if happen(condition) else behaviour.prover.can_happen(condition, at=at)


# ---- knotted circuits ------------------------------------------------------------------------


def of_a_knot(make: Callable[[], tuple[Machine, int]], budget: Budget | None = None) -> Costs:
    costs = Costs()
    with costs.of("making"):
        machine, bad = make()
    with costs.of("proof"):
        costs.note("proof", Prover(machine, budget).can_happen(bad))
    return costs


def of_a_grid(size: int, *, closes: bool) -> Costs:
    costs = Costs()
    panel = knotted.grid(size, closes=closes)
    with costs.of("behaviour"):
        built = build(panel)
    _loops(costs, built)
    return costs


def of_the_greenhouse() -> Costs:
    """All proofs of one whole review, the solver's loading apart."""
    costs = Costs()
    path = ROOT / "samples" / "panels" / "greenhouse.panel"
    texts: Loader = Texts({"a.panel": path.read_text(encoding="utf-8")})
    panel, _ = build_panel("a.panel", gather("a.panel", texts))
    plain = Prover.can_happen

    def timed(
        prover: Prover, bad: int, *, at: Instant = "any instant", same_instant: bool = False
    ) -> Answer:
        with costs.of("proofs"):
            answer = plain(prover, bad, at=at, same_instant=same_instant)
        costs.note("proofs", answer)
        return answer

    Prover.can_happen = timed  # type: ignore[assignment, method-assign]
    with costs.of("whole review"):
        judge(panel)
    return costs


EACH_WAY = {
    "listed in tables": Budget(whole_variables=400, table_variables=20, rounds=()),
    "by induction": Budget(whole_variables=400, table_variables=-1, rounds=((50_000_000, 0),)),
    "by diagrams": Budget(whole_variables=400, table_variables=-1, rounds=((0, 1_000_000),)),
}

KNOTS: dict[str, Callable[[], tuple[Machine, int]]] = {
    "40 relays all interlocked": lambda: knotted.interlocked(40),
    "relay chain 300": lambda: knotted.chain(300),
    "Gray counter of 12 relays": lambda: knotted.reflected_counter(12),
    "400 relays without locality": lambda: knotted.no_locality(400),
}
SMALL_KNOTS: dict[str, Callable[[], tuple[Machine, int]]] = {
    "10 relays all interlocked": lambda: knotted.interlocked(10),
    "relay chain 18": lambda: knotted.chain(18),
    "Gray counter of 8 relays": lambda: knotted.reflected_counter(8),
    "10 relays without locality": lambda: knotted.no_locality(10),
}


def cases(sizes: Iterable[int], *, beside: bool) -> dict[str, Callable[[], Costs]]:
    found: dict[str, Callable[[], Costs]] = {}
    for rungs in sizes:
        found[f"ladder {rungs}"] = lambda rungs=rungs: of_a_ladder(rungs)  # type: ignore[misc]
    for rungs in sizes:
        found[f"ladder text {rungs}"] = lambda rungs=rungs: of_a_ladder(rungs, as_text=True)  # type: ignore[misc]
    for rungs in sizes:
        found[f"ladder conditions {rungs}"] = lambda rungs=rungs: of_conditions(rungs)  # type: ignore[misc]
    found["ladder 400 without locality"] = lambda: of_a_ladder(400, local=False)
    for name, make in KNOTS.items():
        found[name] = lambda make=make: of_a_knot(make)  # type: ignore[misc]
    found["bridge grid 10 x 10"] = lambda: of_a_grid(10, closes=True)
    found["bridge grid 10 x 10 that never closes"] = lambda: of_a_grid(10, closes=False)
    found["greenhouse panel"] = of_the_greenhouse
    if beside:
        for name, make in {**SMALL_KNOTS, **KNOTS}.items():
            for how, budget in EACH_WAY.items():
                found[f"{name}, {how}"] = lambda make=make, budget=budget: of_a_knot(make, budget)  # type: ignore[misc]
    return found


# ---- running and printing ---------------------------------------------------------------------


def run(name: str) -> Result:
    """One case in a process of its own."""
    command = [sys.executable, "-m", "tests.benchmarks.reach", "--case", name]
    try:
        done = subprocess.run(
            command,
            cwd=ROOT,
            env=dict(os.environ),
            capture_output=True,
            text=True,
            timeout=MOST_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return {"failed": f"stopped after {MOST_SECONDS} s"}
    if done.returncode:
        return {"failed": (done.stderr.strip().splitlines() or ["no reason"])[-1]}
    result: Result = json.loads(done.stdout)
    return result


def printed(name: str, results: list[Result], first: dict[str, float] | None, limit: float) -> None:
    failed = next((result["failed"] for result in results if "failed" in result), None)
    if failed:
        print(f"{name}\n    {failed}")
        return
    seconds = [dict(result["seconds"]) for result in results]  # type: ignore[call-overload]
    answers: dict[str, dict[str, int]] = results[0]["answers"]  # type: ignore[assignment]
    peak = statistics.median(float(str(result["peak_mb"])) for result in results)
    print(f"{name}: peak {peak:.0f} MB")
    rows = [*seconds[0], "all"]
    for what in rows:
        spent = [sum(one.values()) if what == "all" else one[what] for one in seconds]
        middle = statistics.median(spent)
        growth = ""
        if first is not None and first.get(what, 0.0) >= 0.005:
            growth = f"  x {middle / first[what]:6.1f} of {limit:.0f}"
        told = ", ".join(f"{count} {kind}" for kind, count in sorted(answers.get(what, {}).items()))
        print(
            f"    {what:16}{middle:8.3f} s ({min(spent):.3f} to {max(spent):.3f}){growth}  {told}"
        )


def medians(results: list[Result]) -> dict[str, float]:
    seconds = [dict(result["seconds"]) for result in results if "seconds" in result]  # type: ignore[call-overload]
    if not seconds:
        return {}
    found = {what: statistics.median(one[what] for one in seconds) for what in seconds[0]}
    found["all"] = statistics.median(sum(one.values()) for one in seconds)
    return found


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--only", default="", help="cases whose name holds these words")
    arguments.add_argument("--runs", type=int, default=3)
    arguments.add_argument("--sizes", type=int, nargs="+", default=SIZES)
    arguments.add_argument("--beside", action="store_true")
    arguments.add_argument("--case", help=argparse.SUPPRESS)
    asked = arguments.parse_args()
    if asked.case:
        every = cases((*SIZES, *_numbers(asked.case)), beside=True)
        print(json.dumps(every[asked.case]().told()))
        return
    smallest: dict[str, dict[str, float]] = {}
    for name in cases(asked.sizes, beside=asked.beside):
        if asked.only not in name:
            continue
        results = [run(name) for _ in range(asked.runs)]
        kind = name.rstrip("0123456789")
        rungs = (_numbers(name) or [1])[-1]
        grows = kind.startswith("ladder") and kind != name
        first = smallest.get(kind) if grows else None
        printed(name, results, first, (rungs / min(asked.sizes)) ** 1.5)
        if grows and kind not in smallest:
            smallest[kind] = medians(results)


def _numbers(name: str) -> list[int]:
    return [int(word) for word in name.split() if word.isdigit()]


if __name__ == "__main__":
    main()
