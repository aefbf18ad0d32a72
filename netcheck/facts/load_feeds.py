"""Of every load: can it be energised, and if not, is it fed some other way?

Energised is nominal: a load-free path over circuit conductors from each end to poles
whose voltage the load is made for.  A three-phase load is energised when all its
windings are.  Loads are judged in settled states; a coil also in passing ones, for it
has done its work once its relay has moved.  A resistor has no voltage of its own and
is made to stand in series: for it any path that carries current counts.  Other loads that
are fed only through loads are `loads in series`, and not judged further here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import StrEnum

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided, depends_on_luck
from netcheck.facts.loads_in_series import SeriesLoads
from netcheck.facts.seen_states import SeenStates
from netcheck.facts.wrongly_fed import WronglyFedLoads
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.answers import Answer, Instant, Never, Reached, Undecided
from netcheck.states.feeds_through_loads import Neighbourhoods


class Verdict(StrEnum):
    """What becomes of a load, over all reachable states."""

    ENERGISED = "energised"
    MOMENTARY = "energised only while relays are moving"
    WRONG_VOLTAGE = "fed, but never at a voltage it is made for"
    IN_SERIES = "fed only through other loads"
    NEVER = "never energised"
    UNDECIDED = "not decided"


@record
class LoadFeed:
    """One load: its parts (three of a three-phase one), the instants that count, the verdict.

    `name` is the device's where it has no other load, else `K6 A1-A2`.  `reason` says why
    it was not decided; empty too where a contradiction of assumptions is told elsewhere.
    """

    name: str
    parts: tuple[Part, ...]
    at: Instant
    verdict: Verdict
    reason: str = ""

    @property
    def device(self) -> str:
        return self.parts[0].device

    @property
    def dead(self) -> bool:
        return self.verdict in (Verdict.NEVER, Verdict.MOMENTARY)


@record
class LoadFeeds:
    """Every load that is wired and not spare, in the order of the text."""

    loads: tuple[LoadFeed, ...]

    def of(self, part: int) -> LoadFeed | None:
        """The load that a part, by its index, belongs to; None where it is not judged."""
        return next(
            (load for load in self.loads if any(part == own.index for own in load.parts)), None
        )


Condition = Callable[[Behaviour], int]
"""A literal, asked of a behaviour: the same question is put to both."""


@concludes(Behaviour, CertainBehaviour, SeenStates, SeriesLoads, WronglyFedLoads)
def find_load_feeds(view: View) -> LoadFeeds:
    judge = _Judge(view)
    return LoadFeeds(tuple(judge.verdict(name, parts) for name, parts in loads_of(view.panel)))


def coil_parts(panel: Panel) -> set[int]:
    """Indexes of the parts that move a relay's contacts."""
    return {coil for mechanism in panel.mechanisms.values() for coil in mechanism.coils}


def loads_of(panel: Panel) -> Iterator[tuple[str, tuple[Part, ...]]]:
    """The loads that are to be judged, by name: not spare, and wired at all."""
    for device in panel.devices.values():
        if "spare" in device.marks or not is_wired(panel, device.name):
            continue
        groups: dict[tuple[str, int], list[Part]] = {}
        for index in device.parts:
            part = panel.parts[index]
            if part.load is not None and not part.spare and not is_unused_input(panel, part):
                one = -1 if part.load.phases == 3 else part.index
                groups.setdefault((part.role, one), []).append(part)
        for parts in groups.values():
            yield device.name if len(groups) == 1 else parts[0].label, tuple(parts)


def is_wired(panel: Panel, device: str) -> bool:
    """Whether any terminal but the one for grounding is wired."""
    terminals = panel.devices[device].terminals
    return any(name in panel.wires_at for name in terminals if name != f"{device}:PE")


def is_unused_input(panel: Panel, part: Part) -> bool:
    """An input of a controller or drive to which nothing is wired."""
    return part.role == "input" and part.load is not None and (
        part.load.works == "input" and part.a not in panel.wires_at
    )  # fmt: skip


def energised(parts: tuple[Part, ...]) -> Condition:
    return lambda behaviour: behaviour.logic.all_of([behaviour.energised(part) for part in parts])


def fed_wrongly(parts: tuple[Part, ...]) -> Condition:
    return lambda behaviour: behaviour.logic.any_of([behaviour.fed_wrongly(part) for part in parts])


def ask(wide: Behaviour, certain: Behaviour, condition: Condition, at: Instant) -> Answer:
    """Whether a condition can come true, whatever coils do that may or may not pull in; Undecided
    where that matters."""
    bad = condition(certain)
    sure = certain.prover.can_happen(bad, at=at)
    if certain is wide:
        return sure
    if isinstance(sure, Reached):
        coils = certain.luck.coils(bad)
        way = certain.luck.way_without(coils, bad, at) if coils else sure
        return way or depends_on_luck(coils, sure)
    answer = wide.prover.can_happen(condition(wide), at=at)
    if isinstance(answer, Reached):
        concerned = wide.prover.depends_on(condition(wide))
        return decided(sure, answer, [name for name in wide.uncertain_coils if name in concerned])
    return decided(sure, answer, wide.uncertain_coils)


def is_settled(answer: Answer) -> bool:
    """Whether settled operation leads to it; a race does not count."""
    return isinstance(answer, Reached) and answer.kind == "settled operation"


def never(answer: Answer) -> bool:
    """Whether it never happens but by a race.  Not where no state is left to consider."""
    if isinstance(answer, Never):
        return answer.how != "assumptions contradict"
    return isinstance(answer, Reached) and not is_settled(answer)


class _Judge:
    def __init__(self, view: View) -> None:
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.coils = coil_parts(view.panel)
        self.in_series = view[SeriesLoads].parts
        self.wrongly_fed = {fed.load.index for fed in view[WronglyFedLoads].found}
        self.seen = view[SeenStates]

    def verdict(self, name: str, parts: tuple[Part, ...]) -> LoadFeed:
        coil = parts[0].index in self.coils
        at: Instant = "any instant" if coil else "settled"
        if self.seen.happen(energised(parts)(self.certain)):
            return LoadFeed(name, parts, at, Verdict.ENERGISED)
        answer = self._ask(energised(parts), at)
        verdict = _plain(answer)
        if verdict is Verdict.NEVER:
            verdict, answer = self._why_not(parts, answer, coil)
        reason = answer.reason if isinstance(answer, Undecided) else ""
        return LoadFeed(name, parts, at, verdict, reason)

    def _ask(self, condition: Condition, at: Instant) -> Answer:
        return ask(self.wide, self.certain, condition, at)

    def _why_not(
        self, parts: tuple[Part, ...], answer: Answer, coil: bool
    ) -> tuple[Verdict, Answer]:
        """Of a load that is never energised: what it is instead."""
        if any(part.index in self.in_series for part in parts):
            return Verdict.IN_SERIES, answer
        if any(part.index in self.wrongly_fed for part in parts):
            return Verdict.WRONG_VOLTAGE, answer
        if is_made_for_series(parts[0]):
            carries = self._ask(fed_through_loads(parts), at="any instant")
            if _plain(carries) is not Verdict.NEVER:
                return _plain(carries), carries
        if self.wide.too_many_ways:
            return Verdict.UNDECIDED, Undecided("more ways between sources than are followed")
        wrongly = self._ask(fed_wrongly(parts), "any instant")
        if not never(wrongly):
            fed = is_settled(wrongly)
            return (Verdict.WRONG_VOLTAGE if fed else Verdict.UNDECIDED), wrongly
        if not coil and not never(self._ask(energised(parts), "any instant")):
            return Verdict.MOMENTARY, answer
        return Verdict.NEVER, answer


def _plain(answer: Answer) -> Verdict:
    if is_settled(answer):
        return Verdict.ENERGISED
    return Verdict.NEVER if never(answer) else Verdict.UNDECIDED


def is_made_for_series(part: Part) -> bool:
    """A resistor without a voltage of its own."""
    return part.load is not None and part.load.works == "resistor" and part.load.volts is None


def fed_through_loads(parts: tuple[Part, ...]) -> Condition:
    """When current comes to any of the parts, be it through other loads."""

    def condition(behaviour: Behaviour) -> int:
        near = Neighbourhoods(behaviour)
        feeds = [feed for part in parts for feed in near.feeds(part)]
        return behaviour.logic.any_of([feed.condition for feed in feeds])

    return condition
