"""The state table: loads that few switches and relays decide, in each of their positions."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import product
from math import prod

from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import ask
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Drive
from netcheck.model.panel import Panel
from netcheck.report.condition_words import ConditionWords
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table
from netcheck.states.answers import Never, Undecided
from netcheck.states.conditions import LoadCondition, names_in
from netcheck.states.terms import Term

MOST_ROWS = 16
"""A group with more positions together is no table to read."""
MOST_GROUPS = 40


def state_table(bench: Bench) -> Table:
    """What is asked is asked of the proof engine, row by row and load by load."""
    groups = list(_groups(bench).items())
    rows: list[tuple[Cell, ...]] = []
    left = 0
    for names, loads in groups[:MOST_GROUPS]:
        asked = _Rows(bench, names, loads)
        rows += asked.rows()
        left += asked.undecided
    columns = ("decided by", "position", "on", "off", "on or off, by more than this", "not decided")
    notes = (
        "Loads that move or heat, and relays, that few switches, relays and timers decide; others "
        "are told in words among the loads.",
        "All sources present, all relays settled, every other switch anywhere.",
        *_left_out(len(groups)),
    )
    empty = "no load that so few switches decide"
    return Table("states", "State table of small groups", columns, tuple(rows), notes, empty,
                 open=left, grouped=True)  # fmt: skip


def _left_out(groups: int) -> tuple[str, ...]:
    more = groups - MOST_GROUPS
    return (f"{more} more groups are not printed here.",) if more > 0 else ()


def _groups(bench: Bench) -> Mapping[tuple[str, ...], list[LoadCondition]]:
    """Loads by the names their conditions hold, sources apart."""
    panel = bench.panel
    place = {name: number for number, name in enumerate(panel.mechanisms)}
    found: dict[tuple[str, ...], list[LoadCondition]] = {}
    for load in bench.conditions.loads:
        made = panel.parts[load.parts[0]].load
        if not load.relay and not (made and made.moves_or_heats):
            continue
        moving = {n for n in names_in(load.full) if panel.mechanisms[n].drive is not Drive.SOURCE}
        names = tuple(sorted(moving, key=place.__getitem__))
        if load.relay in names:  # it holds itself in: told in words
            continue
        if names and prod(len(panel.mechanisms[name].resting) for name in names) <= MOST_ROWS:
            found.setdefault(names, []).append(load)
    return found


class _Rows:
    """The rows of one group."""

    def __init__(self, bench: Bench, names: tuple[str, ...], loads: list[LoadCondition]) -> None:
        self.panel: Panel = bench.panel
        self.names, self.loads = names, loads
        self.accounts = bench.accounts
        self.words = ConditionWords(bench.panel)
        self.wide = bench.fact(Behaviour)
        self.certain = bench.fact(CertainBehaviour).behaviour
        self.seen = bench.fact(SeenStates)
        self.undecided = 0

    def rows(self) -> Iterator[tuple[Cell, ...]]:
        head = ", ".join(self.words.name(name) for name in self.names)
        for positions in product(
            *(sorted(self.panel.mechanisms[name].resting) for name in self.names)
        ):
            here = dict(zip(self.names, positions, strict=True))
            told: dict[str, list[str]] = {key: [] for key in ("on", "off", "either", "open")}
            for load in self.loads:
                if (verdict := self._verdict(here, load)) in told:
                    told[verdict].append(self.accounts.label(load))
            self.undecided += len(told["open"])
            terms = tuple(Term(name, frozenset((at,))) for name, at in here.items())
            cells = [", ".join(told[key]) for key in ("on", "off", "either", "open")]
            if not any(cells):
                cells[1] = "cannot be"
            yield head, self.words.product(terms), *cells

    def _verdict(self, here: Mapping[str, int], load: LoadCondition) -> str:
        on, off = (self._happens(self._condition(here, load, wanted)) for wanted in (True, False))
        if on is None or off is None:
            return "open"
        return {(True, True): "either", (True, False): "on", (False, True): "off"}.get(
            (on, off), "cannot be"
        )

    def _condition(
        self, here: Mapping[str, int], load: LoadCondition, wanted: bool
    ) -> Callable[[Behaviour], int]:
        def condition(behaviour: Behaviour) -> int:
            held = [behaviour.in_positions(name, frozenset((at,))) for name, at in here.items()]
            held += [
                behaviour.in_positions(mechanism.name, frozenset((1,)))
                for mechanism in self.panel.mechanisms.values()
                if mechanism.drive is Drive.SOURCE
            ]
            on = behaviour.logic.any_of(
                [behaviour.energised(self.panel.parts[index]) for index in load.parts]
            )
            return behaviour.logic.all_of([*held, on if wanted else on ^ 1])

        return condition

    def _happens(self, condition: Callable[[Behaviour], int]) -> bool | None:
        """None where it is not decided."""
        if self.seen.happen(condition(self.certain)):
            return True
        answer = ask(self.wide, self.certain, condition, "settled")
        if isinstance(answer, Undecided):
            return None
        return not isinstance(answer, Never) and answer.kind == "settled operation"
