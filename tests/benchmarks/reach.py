"""How far the proofs reach, each line beside what it shall reach: met, or NOT MET.

    python -m tests.benchmarks.reach [--only WORDS] [--runs N] [--sizes 100 1000 3000]

Ladders of growing size, circuits that are hard by design, the greenhouse panel.  Each case runs
in a process of its own, several times, and starts with its panel in memory: what making or
reading that costs is printed apart.  Printed are the medians of processor seconds with the least
and the most, the peak memory of the whole process, how that grows from ladder to ladder, what was
answered, and how many other processes wanted the machine.  Beside stand small circuits of
the same makes, and the same asked of a list of every state: knots by tables, panels state by
state.  Past some 16 relays and switches the second does not end, past some 20 neither does the
first; where it was not begun the line says how many states there are.

What is one number for two cores is asked of one process here.  Nothing is asserted.
"""

from __future__ import annotations

import argparse
import gc
import json
import math
import os
import resource
import statistics
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from netcheck.case import Case
from netcheck.facts.as_built import AsBuilt, build
from netcheck.facts.closed_loops import ClosedLoops
from netcheck.facts.restarts import Restarts
from netcheck.facts.seen_states import samples_of
from netcheck.facts.single_faults import OneFault
from netcheck.facts.unstopped_loads import UnstoppedLoads
from netcheck.loading import Loader
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
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
from tests.benchmarks.listing import Listing, TooManyStates
from tests.benchmarks.single_faults import stopped_but_in, word

ROOT = Path(__file__).parents[2]
SIZES = (100, 1000, 3000)
MOST_SECONDS = 300

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


def of_a_ladder(rungs: int, *, local: bool = True) -> Costs:
    """All that is asked of every ladder, in one process."""
    return of_a_panel(ladder(rungs, local=local).panel(), conditions=local)


def of_a_listed_panel(make: Callable[[], Panel]) -> Costs:
    """As of every panel but for conditions, with nothing seen beforehand: by proofs, or by a list
    of all states where that is short enough to begin."""
    costs, panel = Costs(), make()
    built = build(panel)
    try:
        for behaviour in (built.wide, built.certain):
            behaviour.__dict__["prover"] = Listing(behaviour.machine)
    except TooManyStates as too_many:
        costs.note("every state listed", str(too_many))
        costs.seconds["every state listed"] = 0.0
        return costs
    return _asked_of(costs, built)


def of_an_unseen_panel(make: Callable[[], Panel]) -> Costs:
    return _asked_of(Costs(), build(make()))


def _asked_of(costs: Costs, built: AsBuilt) -> Costs:
    _loops(costs, built)
    _loads_and_relays(costs, built.wide, lambda _: False)
    return costs


def of_a_panel(panel: Panel, *, conditions: bool = True) -> Costs:
    costs = Costs()
    with costs.of("behaviour"):
        built = build(panel)
    behaviour = built.wide
    _loops(costs, built)
    with costs.of("states seen"):
        seen = samples_of(behaviour)
        seen.happen(0)
    _loads_and_relays(costs, behaviour, seen.happen)
    if conditions:
        with costs.of("conditions"):
            for load in Conditions(behaviour).loads():
                told = isinstance(load.full.sure, Sum)
                costs.note("conditions", _word(told, load.full.decided))
    return costs


def _word(told: bool, is_decided: bool) -> str:
    if not is_decided:
        return "not decided"
    return "told" if told else "too large to print"


def of_a_text(rungs: int) -> Costs:
    """What reading the same ladder costs before anything is asked."""
    costs, text = Costs(), ladder(rungs).text()
    with costs.of("reading"):
        _, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    return costs


def of_further_proofs(rungs: int) -> Costs:
    """Stops and restarts as the review concludes them; then of every rung whether its relay is
    in while its stop is pressed: as drawn, with any contact welded, with any wire open."""
    costs, case = Costs(), Case(ladder(rungs).panel())
    with costs.of("behaviour"):
        behaviour = case.conclude(AsBuilt).wide
    with costs.of("stop"):
        stops = case.conclude(UnstoppedLoads)
    for unstopped in stops.loads:
        costs.note("stop", unstopped.answer)
    with costs.of("restart"):
        restarts = case.conclude(Restarts).restarts
    for restart in restarts:
        costs.note("restart", restart.answer)
    one_fault, asked = OneFault(behaviour), [stopped_but_in(rung) for rung in range(rungs)]
    with costs.of("stop of its own rung"):
        for condition in asked:
            answer = behaviour.prover.can_happen(condition(behaviour), at="settled")
            costs.note("stop of its own rung", answer)
    for what, faults in (("single weld", one_fault.welds), ("single open wire", one_fault.opens)):
        with costs.of(what):
            for condition in asked:
                costs.note(what, word(faults.can_happen(condition)))
    return costs


def _loops(costs: Costs, built: AsBuilt) -> None:
    behaviour, loops = built.wide, ClosedLoops(built.wide, built.certain)
    with costs.of("shorts"):
        found = loops.of(loops.panel)
        for loop in found:
            costs.note("shorts", behaviour.prover.can_happen(loop.way.condition))
    with costs.of("races"):
        for loop in found:
            costs.note("races", loops.answer(loop))


def _loads_and_relays(costs: Costs, behaviour: Behaviour, happen: Callable[[int], bool]) -> None:
    with costs.of("never energised"):
        parts = behaviour.panel.parts
        loads = {part.index: behaviour.energised(part) for part in parts if part.load}
        for condition in loads.values():
            costs.note("never energised", _seen(happen, behaviour, condition, "settled"))
    with costs.of("never pulls in"):
        for mover in behaviour.machine.movers.values():
            costs.note("never pulls in", _seen(happen, behaviour, mover.state, "any instant"))


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
    """As of a ladder, and beside it what the proofs of its whole review take."""
    panel = greenhouse()
    costs = of_a_panel(panel)
    plain = Prover.can_happen

    def timed(
        prover: Prover, bad: int, *, at: Instant = "any instant", same_instant: bool = False
    ) -> Answer:
        with costs.of("other proofs of its review"):
            answer = plain(prover, bad, at=at, same_instant=same_instant)
        costs.note("other proofs of its review", answer)
        return answer

    Prover.can_happen = timed  # type: ignore[assignment, method-assign]
    judge(panel)
    return costs


def greenhouse() -> Panel:
    path = ROOT / "samples" / "panels" / "greenhouse.panel"
    texts: Loader = Texts({"a.panel": path.read_text(encoding="utf-8")})
    panel, _ = build_panel("a.panel", gather("a.panel", texts))
    return panel


BY_LISTING = Budget(whole_variables=400, table_variables=20, rounds=())

KNOTS: dict[str, Callable[[], tuple[Machine, int]]] = {
    "40 relays all interlocked": lambda: knotted.interlocked(40),
    "relay chain 300": lambda: knotted.chain(300),
    "16 contactors in at once": lambda: knotted.contactors(16),
    "Gray counter of 12 relays": lambda: knotted.reflected_counter(12),
    "400 relays without locality": lambda: knotted.no_locality(400),
}
SMALL_KNOTS: dict[str, Callable[[], tuple[Machine, int]]] = {
    "10 relays all interlocked": lambda: knotted.interlocked(10),
    "relay chain 18": lambda: knotted.chain(18),
    "6 contactors in at once": lambda: knotted.contactors(6),
    "Gray counter of 12 relays": lambda: knotted.reflected_counter(12),
    "6 relays without locality": lambda: knotted.no_locality(6),
}
SMALL_PANELS: dict[str, Callable[[], Panel]] = {
    "ladder of 2 rungs": lambda: ladder(2).panel(),
    "ladder of 3 rungs": lambda: ladder(3).panel(),
    "ladder of 100 rungs": lambda: ladder(100).panel(),
    "bridge grid 3 x 3": lambda: knotted.grid(3, closes=True),
    "bridge grid 10 x 10": lambda: knotted.grid(10, closes=True),
    "greenhouse panel": greenhouse,
}


# ---- what they shall reach ------------------------------------------------------------------


@dataclass(frozen=True)
class Target:
    """At most so much of each, by medians; what is None is not asked."""

    seconds: float | None = None
    peak_mb: float | None = None
    power: float | None = None
    all_decided: bool = True

    def verdicts(self, results: list[Result], power: float | None) -> Iterator[str]:
        if self.seconds is not None:
            spent = statistics.median(seconds_of(result)["all"] for result in results)
            yield _verdict(spent <= self.seconds, f"{spent:.3g} s of {self.seconds:g} s")
        if self.peak_mb is not None:
            peak = statistics.median(float(str(result["peak_mb"])) for result in results)
            yield _verdict(peak <= self.peak_mb, f"{peak:.0f} MB of {self.peak_mb:.0f} MB")
        if self.power is not None and power is not None:
            yield _verdict(power <= self.power, f"grows as n^{power:.2f}, n^{self.power:g} allowed")
        undecided = sum(
            kinds.get("not decided", 0) for result in results for kinds in answers_of(result)
        )
        if self.all_decided:
            yield _verdict(not undecided, f"{undecided} not decided")


def _verdict(is_met: bool, what: str) -> str:
    return f"{'met' if is_met else 'NOT MET'}: {what}"


@dataclass(frozen=True)
class Trial:
    """A case, what it shall reach, and whether it is one of a row that grows."""

    run: Callable[[], Costs]
    target: Target
    row: str = ""
    rungs: int = 0


def trials(sizes: Iterable[int]) -> dict[str, Trial]:
    found: dict[str, Trial] = {}
    for rungs in sizes:
        largest = rungs == max(SIZES)
        target = Target(10 if largest else None, 300 if largest else None, power=1.5)
        found[f"ladder {rungs}"] = Trial(partial(of_a_ladder, rungs), target, "ladder", rungs)
    for rungs in sizes:
        target = Target(power=1.5)
        found[f"text of ladder {rungs}"] = Trial(partial(of_a_text, rungs), target, "text", rungs)
    further = Target(seconds=60)
    found["further proofs, ladder 1000"] = Trial(partial(of_further_proofs, 1000), further)
    for name, make in KNOTS.items():
        target = Target(seconds=None if "locality" in name else 10, all_decided="400" not in name)
        found[name] = Trial(partial(of_a_knot, make), target)
    for closes in (True, False):
        name = "bridge grid 10 x 10" + ("" if closes else " that never closes")
        found[name] = Trial(partial(of_a_grid, 10, closes=closes), Target(seconds=10))
    loose = Target(all_decided=False)
    found["ladder 400 without locality"] = Trial(partial(of_a_ladder, 400, local=False), loose)
    greenhouse = Target(seconds=0.1)
    found["greenhouse panel"] = Trial(of_the_greenhouse, greenhouse)
    for name, make in SMALL_KNOTS.items():
        found[f"beside: {name}"] = Trial(partial(of_a_knot, make), Target())
        listed = partial(of_a_knot, make, BY_LISTING)
        found[f"beside: {name}, every state listed"] = Trial(listed, Target())
    for name, draw in SMALL_PANELS.items():
        found[f"beside: {name}"] = Trial(partial(of_an_unseen_panel, draw), Target())
        each = partial(of_a_listed_panel, draw)
        found[f"beside: {name}, every state listed"] = Trial(each, Target())
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
        return {"failed": f"stopped after {MOST_SECONDS} s of the clock"}
    if done.returncode:
        return {"failed": (done.stderr.strip().splitlines() or ["no reason"])[-1]}
    result: Result = json.loads(done.stdout)
    return result


def seconds_of(result: Result) -> dict[str, float]:
    spent: dict[str, float] = dict(result["seconds"])  # type: ignore[call-overload]
    return {**spent, "all": sum(spent.values())}


def answers_of(result: Result) -> Iterable[dict[str, int]]:
    answers: dict[str, dict[str, int]] = result["answers"]  # type: ignore[assignment]
    return answers.values()


def printed(
    name: str, results: list[Result], trial: Trial, before: tuple[int, float] | None
) -> None:
    failed = next((result["failed"] for result in results if "failed" in result), None)
    if failed:
        print(f"{name}\n    NOT MET: {failed}", flush=True)
        return
    spent = [seconds_of(result) for result in results]
    answers: dict[str, dict[str, int]] = results[0]["answers"]  # type: ignore[assignment]
    peaks = [float(str(result["peak_mb"])) for result in results]
    print(f"{name}: peak {statistics.median(peaks):.0f} MB ({min(peaks):.0f} to {max(peaks):.0f})")
    for what in spent[0]:
        one = [each[what] for each in spent]
        told = ", ".join(f"{count} {kind}" for kind, count in sorted(answers.get(what, {}).items()))
        print(
            f"    {what:27}{statistics.median(one):8.3f} s"
            f" ({min(one):.3f} to {max(one):.3f})  {told}".rstrip()
        )
    power = None
    if before is not None:
        rungs, seconds = before
        power = math.log(middle(results) / seconds) / math.log(trial.rungs / rungs)
    for verdict in trial.target.verdicts(results, power):
        print(f"    {verdict}")
    sys.stdout.flush()


def middle(results: list[Result]) -> float:
    return statistics.median(seconds_of(result)["all"] for result in results)


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--only", default="", help="cases whose name holds these words")
    arguments.add_argument("--runs", type=int, default=3)
    arguments.add_argument("--sizes", type=int, nargs="+", default=SIZES)
    arguments.add_argument("--case", help=argparse.SUPPRESS)
    asked = arguments.parse_args()
    if asked.case:
        gc.disable()  # as the command does
        sizes = [int(word) for word in asked.case.split() if word.isdigit()]
        print(json.dumps(trials((*SIZES, *sizes))[asked.case].run().told()))
        return
    print(f"load of the machine at the start: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    last: dict[str, tuple[int, float]] = {}
    for name, trial in trials(asked.sizes).items():
        if asked.only not in name:
            continue
        results = [run(name) for _ in range(asked.runs)]
        printed(name, results, trial, last.get(trial.row))
        if trial.row and not any("failed" in result for result in results):
            last[trial.row] = trial.rungs, middle(results)
    print(f"load of the machine at the end: {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
