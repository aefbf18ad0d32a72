"""One unknown fault to look for: chosen by difficulty and number, metered, named, told.

The page of a report sets the same exercises: the same number is the same fault there and here,
the same plan is held against what the trainee did, and the same slips are counted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cached_property

from netcheck.bench.drills import Task
from netcheck.bench.ohms import Ohms
from netcheck.bench.readings import Reading
from netcheck.bench.search_plan import searched
from netcheck.bench.trial import Trial
from netcheck.bench.troubles import Trouble
from netcheck.model.devices import Drive, Mechanism, device_of
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.record import record

SHOWN_V = 0.5
"""Less on a meter is taken for nothing."""

SAFE = {
    "refused": "asked for ohms on a live circuit",
    "powered": "measured ohms with a source still on: off by a contactor or stop is not isolated",
    "unproved": "measured ohms where it had not been proved dead: "
    "volts from each point to ground or a pole of the source first",
    "unknown": "trusted a dead reading of a meter that had not shown a known live source before",
    "reclosed": "closed again onto a short that had just been opened",
}
"""What safe work asks for, told at the end where it was missed."""

BEST = "the best plan, the one that on average takes fewest,"
GOOD = "a good plan, which always parts what is left most evenly,"


@record
class Drill:
    """A load that does not work, the faults it may be, and the one it is."""

    task: Task
    troubles: tuple[Trouble, ...]
    trouble: Trouble


@record
class Plan:
    """Readings that tell the fault from the others, red lead first, and those that none tells
    from it; `best` if on average over all the faults no plan takes fewer."""

    pairs: tuple[tuple[str, str], ...]
    left: tuple[Trouble, ...]
    best: bool


@record
class Verdict:
    """`right` if it was the fault, or one that no reading of volts tells from it."""

    right: bool
    words: str


def numbers(seed: int) -> Iterator[int]:
    """The quick generator of 32 bits of Numerical Recipes, the upper 24 bits of each."""
    state = seed
    while True:
        state = (state * 1664525 + 1013904223) % 2**32
        yield state >> 8


def chosen(tasks: Sequence[Task], level: str, seed: int) -> Drill:
    """Every load as likely as another, then every sort of fault, then every fault of it."""
    drawn = numbers(seed)
    task = tasks[next(drawn) % len(tasks)]
    troubles = task.troubles(level)
    sorts = list(dict.fromkeys(one.sort for one in troubles))
    sort = sorts[next(drawn) % len(sorts)]
    of_sort = [one for one in troubles if one.sort == sort]
    return Drill(task, troubles, of_sort[next(drawn) % len(of_sort)])


class Exercise:
    """The panel with the fault in it, and what was done and missed so far."""

    def __init__(self, panel: Panel, drill: Drill) -> None:
        self.panel = panel
        self.drill = drill
        self.trial = Trial(panel, drill.trouble.edit)
        self.readings = 0
        self.hints = 0
        self.wrong = 0
        self.missed: Counter[str] = Counter()
        self._opened: set[str] = set()
        self._dead: set[str] = set()
        self._meter_shown = False
        self.begun = self._followed(self.trial.powered())
        """What followed when the power came on."""

    # ---- operating ---------------------------------------------------------------------------

    def barred(self, mechanism: Mechanism, position: int) -> str:
        """Why it cannot be put there; empty where it can."""
        if mechanism.held is not None:
            return f"{mechanism.name} stays where it is"
        if mechanism.moved_by_coil:
            runs = mechanism.name in self.trial.running()
            return "" if runs else f"{mechanism.name} does not run"
        if position not in mechanism.resting:
            return f"{mechanism.name} cannot rest there"
        return self.trial.barred(mechanism.name, position)

    def put(self, name: str, position: int) -> list[str]:
        """Move a switch, or let a timer run out; what can be seen to follow."""
        self._dead.clear()
        if position == 1 and name in self._opened:
            self.missed["reclosed"] += 1
        return self._followed(self.trial.put(name, position))

    def _followed(self, said: list[str]) -> list[str]:
        for name in self.panel.mechanisms:
            if f"{name} opens: a short" in said:
                self._opened.add(name)
        return [one for one in said if one and not self._is_unseen(one)]

    def _is_unseen(self, said: str) -> bool:
        """A fuse blows behind its cover."""
        return any(
            said.startswith(f"{name} ") for name in self.panel.mechanisms if self.hides(name)
        )

    def hides(self, name: str) -> bool:
        """Whether nobody sees where it stands."""
        return self.panel.devices[self.panel.mechanisms[name].device].kind == "fuse"

    # ---- metering ----------------------------------------------------------------------------

    def volts(self, red: str, black: str) -> Reading | None:
        """None where there are no numbers."""
        self.readings += 1
        reading = self.trial.reading(red, black)
        if reading is not None and reading.size_v >= SHOWN_V:
            self._meter_shown = True
            return reading
        if reading is None:  # no number proves nothing
            return None
        for one, other in ((red, black), (black, red)):
            if self._is_of_a_source(other):
                self._dead.add(one)
        return reading

    def ohms(self, red: str, black: str) -> Ohms | str:
        """The reason in words where it must not be measured."""
        if self._powered and (live := self.trial.live_at((red, black))):
            self.missed["refused"] += 1
            terminal, pole, reading = live
            return (
                f"refused: {terminal} stands {reading} against {pole}; on a live circuit the "
                "reading is false and the meter or your hand may burn.  "
                "Power off and prove it dead first."
            )
        self.readings += 1
        if self._powered:
            self.missed["powered"] += 1
        elif not {red, black} <= self._dead:
            self.missed["unproved"] += 1
        elif not self._meter_shown:
            self.missed["unknown"] += 1
        return self.trial.ohms(red, black)

    @property
    def _powered(self) -> bool:
        mechanisms = self.panel.mechanisms.values()
        return any(
            one.drive is Drive.SOURCE and self.trial.position(one.name) == 1 for one in mechanisms
        )

    def _is_of_a_source(self, terminal: str) -> bool:
        """Whether wire alone joins it to a pole of a source or to its grounding terminal."""
        return terminal in self._at_sources

    @cached_property
    def _at_sources(self) -> frozenset[str]:
        devices = {source.device for source in self.panel.sources}
        nodes = find_nodes(self.panel).members
        return frozenset(
            end for node in nodes if any(device_of(one) in devices for one in node) for end in node
        )

    # ---- the plan, hints, the end ------------------------------------------------------------

    @cached_property
    def plan(self) -> Plan:
        """Of volts, with everything where the load should work."""
        task, troubles = self.drill.task, self.drill.troubles
        looks = [self._look(one) for one in troubles]
        found = searched(looks, troubles.index(self.drill.trouble))
        pairs = tuple(task.pairs[pair] for pair in found.pairs)
        return Plan(pairs, tuple(troubles[at] for at in found.left), found.best)

    def score(self) -> str:
        """The readings taken against those of the plan."""
        count, taken = len(self.drill.troubles), len(self.plan.pairs)
        plan = BEST if self.plan.best else GOOD
        return (
            f"readings taken: {self.readings}; of the {count} faults that it may be, {plan} "
            f"tells this one after {taken}"
        )

    def _look(self, trouble: Trouble) -> list[Reading]:
        """What a meter shows with it at every pair of points worth metering."""
        trial = Trial(self.panel, trouble.edit).after(self.drill.task.moves)
        return [trial.reading(*pair) or Reading() for pair in self.drill.task.pairs]

    def hint(self) -> str:
        """The next reading of the plan, and after the last one the sort of the fault."""
        self.hints += 1
        if self.hints <= len(self.plan.pairs):
            red, black = self.plan.pairs[self.hints - 1]
            return f"do what should make it work, then meter {red} against {black}"
        return f"it is a fault of this sort: {self.drill.trouble.sort}"

    def name(self, words: str) -> Verdict:
        """The fault, as the trainee has it."""
        if words == self.drill.trouble.words:
            return Verdict(True, "right")
        if any(words == one.words for one in self.plan.left):
            return Verdict(True, "right, as far as volts can tell")
        self.wrong += 1
        return Verdict(False, f"not {words}: with that the readings would be others; go on")
