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
from netcheck.bench.trial import Trial
from netcheck.bench.troubles import Trouble
from netcheck.model.devices import Drive, Mechanism, device_of
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.record import record

SHOWN_V = 0.5
"""Less on a meter is taken for nothing."""
LIKE = 0.15
"""A share that readings must differ by to be told apart."""

SAFE = {
    "refused": "asked for ohms on a live circuit",
    "powered": "measured ohms with a source still on: off by a contactor or stop is not isolated",
    "unproved": "measured ohms where it had not been proved dead: "
    "volts from each point to ground or a pole of the source first",
    "unknown": "trusted a dead reading of a meter that had not shown a known live source before",
    "reclosed": "closed again onto a short that had just been opened",
}
"""What safe work asks for, told at the end where it was missed."""


@record
class Drill:
    """A load that does not work, the faults it may be, and the one it is."""

    task: Task
    troubles: tuple[Trouble, ...]
    trouble: Trouble


@record
class Plan:
    """Readings that part the faults most evenly, red lead first, and the faults they leave."""

    pairs: tuple[tuple[str, str], ...]
    left: tuple[Trouble, ...]


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
        """Always the reading that parts what is left most evenly, with everything where the load
        should work."""
        looks = [self._look(one) for one in self.drill.troubles]
        pairs, left = parted(looks, self.drill.troubles.index(self.drill.trouble))
        return Plan(
            tuple(self.drill.task.pairs[pair] for pair in pairs),
            tuple(self.drill.troubles[at] for at in left),
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


Looks = list[list[Reading]]
"""Of each fault what every pair reads."""


def parted(looks: Looks, target: int) -> tuple[list[int], list[int]]:
    """The pairs that are metered in turn until no pair tells what is left from the target."""
    left = list(range(len(looks)))
    pairs = []
    while best := _most_even(left, looks):
        pair, groups = best
        pairs.append(pair)
        left = next(group for group in groups if target in group)
    return pairs, left


def _most_even(left: list[int], looks: Looks) -> tuple[int, list[list[int]]] | None:
    best: tuple[int, int, list[list[int]]] | None = None
    for pair in range(len(looks[0])):
        groups = _groups(left, looks, pair)
        rank = sum(len(group) ** 2 for group in groups)
        if len(groups) > 1 and (best is None or rank < best[0]):
            best = rank, pair, groups
    return None if best is None else best[1:]


def _groups(left: list[int], looks: Looks, pair: int) -> list[list[int]]:
    """Faults that one reading does not tell apart stand together."""
    groups: list[list[int]] = []
    for at in left:
        same = (one for one in groups if _alike(looks[one[0]][pair], looks[at][pair]))
        group = next(same, None)
        if group is None:
            groups.append([at])
        else:
            group.append(at)
    return groups


def _alike(one: Reading, other: Reading) -> bool:
    """What floats may show nought."""
    first, second = (Reading() if reading.floats else reading for reading in (one, other))
    return first.like(second, LIKE)
