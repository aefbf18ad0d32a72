"""Which loads are energised under other conditions than before, and a state that shows it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

from netcheck.model.devices import Part, mark_of
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.revisions.joint import Joint, Side
from netcheck.revisions.joint_state import JointStates
from netcheck.revisions.pairs import Pairs
from netcheck.states.answers import Answer, Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour

Seen = Literal["on", "off", "perhaps on"]
"""A load that may be on, or not, is `perhaps on`: what it gets is not worked out."""

Conditions = tuple[tuple[str, str], ...]
"""Lines of an account: what the load does, and when (`pulls in`, `while S1 is pressed`)."""

_Literals = tuple[tuple[int, int], tuple[int, int]]
"""When it is surely on, before and now; when it possibly is, before and now."""

MOST_ACCOUNTS = 30
"""Loads whose conditions are told in words, before and now."""


@record
class LoadChange:
    """A load that is on where it was off, or off where it was on; or of which that is open.

    `was` and `now` say what it is in the state shown, `when_before` and `when_now` under which
    conditions it is on.
    `reason` is there where it is not decided, and then nothing else.
    """

    name: str
    was: Seen = "off"
    now: Seen = "off"
    state: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    when_before: Conditions = ()
    when_now: Conditions = ()
    reason: str = ""


@record
class Loads:
    """Loads that do otherwise, and how many do as before: `same` proved."""

    changed: tuple[LoadChange, ...]
    same: int

    @property
    def all(self) -> int:
        return len(self.changed) + self.same


def compare_loads(old: Behaviour, new: Behaviour, pairs: Pairs) -> Loads:
    """Each load that both panels have, held against what it was."""
    return _Held(old, new, pairs).all()


@record
class _Apart:
    """A load that a state tells apart, or seems to, before that is put into words."""

    label: str
    reached: Reached
    literals: _Literals
    differ: int
    parts: tuple[Part, Part]


class _Held:
    def __init__(self, old: Behaviour, new: Behaviour, pairs: Pairs) -> None:
        self.old, self.new, self.pairs = old, new, pairs
        self.joint = Joint(old, new, pairs)
        self._states = JointStates(self.joint)

    def all(self) -> Loads:
        found = [
            self._one(name, was, *parts)
            for name in self.pairs.new.devices
            if (was := self.pairs.device(name)) in self.pairs.old.devices
            for parts in self._parts(was, name)
        ]
        told = self._in_words({n: one for n, one in enumerate(found) if isinstance(one, _Apart)})
        every = [told.get(n, one) for n, one in enumerate(found)]
        changed = dict.fromkeys(one for one in every if isinstance(one, LoadChange))
        return Loads(tuple(self._with_accounts(list(changed))), found.count(None))

    def _in_words(self, found: Mapping[int, _Apart]) -> dict[int, LoadChange]:
        """Those first that depend on most: the state that shows one of them shows others too."""
        most_first = sorted(found, key=lambda n: -len(self.joint.depends_on(found[n].differ)))
        return {n: self._changed(found[n]) for n in most_first}

    def _parts(self, was: str, name: str) -> Iterator[tuple[Part, Part]]:
        """The loads of one device, by their marks."""
        before = {(mark_of(part.a), mark_of(part.b)): part for part in _loads(self.pairs.old, was)}
        for part in _loads(self.pairs.new, name):
            match = before.get((mark_of(part.a), mark_of(part.b)))
            if match is not None:
                yield match, part

    def _one(self, name: str, was: str, old: Part, new: Part) -> _Apart | LoadChange | None:
        label = name if len(list(_loads(self.pairs.new, name))) == 1 else new.label
        if new.load and new.load.phases == 3:
            label = name
        try:
            literals = self._literals(old, new)
        except KeyError:
            return LoadChange(label, reason="what feeds it leads back to itself")
        differ = self._differ(literals)
        if self.joint.never(differ):
            return None
        match self.joint.can_happen(differ):
            case Never(how="assumptions contradict"):
                return LoadChange(label, reason="what is assumed leaves no state to look at")
            case Never() | Reached(kind="race"):
                # In a race any relay that holds itself in differs from itself.
                return None
            case Undecided() as open:
                return LoadChange(label, reason=open.reason)
            case Reached() as reached:
                return _Apart(label, reached, literals, differ, (old, new))
        raise AssertionError

    def _differ(self, literals: _Literals) -> int:
        """Where it is surely energised on one side only, or possibly on one side only."""
        sure, maybe = (self.joint.differ(*both) for both in literals)
        return self.joint.machine.logic.either(sure, maybe)

    def _literals(self, old: Part, new: Part) -> _Literals:
        """When it surely is energised, before and now; and when it possibly is."""
        found = []
        for side, behaviour, part in self._sides(old, new):
            sure = behaviour.energised(part)
            maybe = behaviour.logic.either(sure, behaviour.uncertain(part))
            found.append((self.joint.of(side, sure), self.joint.of(side, maybe)))
        (a, b), (c, d) = found
        return (a, c), (b, d)

    def _sides(self, old: Part, new: Part) -> list[tuple[Side, Behaviour, Part]]:
        return [("before", self.old, old), ("now", self.new, new)]

    # ---- something differs, or seems to ---------------------------------------------------------

    def _changed(self, found: _Apart) -> LoadChange:
        reached = found.reached
        reason = self._doubt(reached, found.differ, found.parts)
        if reason:
            return LoadChange(found.label, reason=reason)
        shorter = self._states.shortest(found.differ, reached)
        if shorter is not reached and not self._doubt(shorter, found.differ, found.parts):
            reached = shorter
        state, steps = self._states.tell(reached)
        was, now = (self._seen(reached, *both) for both in zip(*found.literals, strict=True))
        return LoadChange(found.label, was, now, tuple(state.items()), steps)

    def _seen(self, reached: Reached, sure: int, maybe: int) -> Seen:
        """What a load surely is in a state, or that it may be either."""
        if self.joint.value(sure, reached):
            return "on"
        return "perhaps on" if self.joint.value(maybe, reached) else "off"

    def _doubt(self, reached: Reached, differ: int, parts: tuple[Part, Part]) -> str:
        """Why a state that tells the two apart may be none: empty where it surely is one."""
        concerned = self.joint.depends_on(differ)
        joint = self.joint
        for name in sorted(joint.unlike):
            if f"{name} now" in concerned:
                return f"`{name}` has other positions than before"
        twice = [name for name in sorted(joint.apart) if f"{name} now" in concerned]
        unsure = {*self.old.uncertain_coils, *map(self.pairs.mechanism, self.new.uncertain_coils)}
        if in_doubt := [name for name in twice if name in unsure]:
            return f"it depends on whether {', '.join(in_doubt)} pulls in at the voltage it gets"
        started = reached.start
        for name in twice:
            if started.get(f"{name} before") != started.get(f"{name} now"):
                return f"it depends on how `{name}` was left"
        if twice and self._quicker(parts):
            return "even of one text it depends on which relay is the quicker"
        return ""

    def _quicker(self, parts: tuple[Part, Part]) -> bool:
        """Whether one of the panels by itself can end up in two ways."""
        for twin, behaviour, part in (
            (self._old_twice, self.old, parts[0]),
            (self._new_twice, self.new, parts[1]),
        ):
            on = behaviour.energised(part)
            apart = twin.differ(twin.of("before", on), twin.of("now", on))
            if not twin.never(apart) and _in_settled_operation(twin.can_happen(apart)):
                return True
        return False

    @cached_property
    def _old_twice(self) -> Joint:
        panel = self.pairs.old
        return Joint(self.old, self.old, Pairs(panel, panel, {}), self.joint.apart)

    @cached_property
    def _new_twice(self) -> Joint:
        panel = self.pairs.new
        names = {self.pairs.mechanism(name): name for name in panel.mechanisms}
        apart = {names[name] for name in self.joint.apart if name in names}
        return Joint(self.new, self.new, Pairs(panel, panel, {}), apart)

    # ---- in words --------------------------------------------------------------------------------

    def _with_accounts(self, changed: Sequence[LoadChange]) -> Iterator[LoadChange]:
        """The first ones with their conditions before and now, as `conditions` tells them."""

        decided = [one for one in changed if not one.reason][:MOST_ACCOUNTS]
        names = list(dict.fromkeys(one.name.partition(" ")[0] for one in decided))
        if not names:
            yield from changed
            return
        before = _accounts(self.old, [self.pairs.device(name) for name in names])
        now = _accounts(self.new, names)
        for one in changed:
            device, _, marks = one.name.partition(" ")
            was = before.get((self.pairs.device(device), marks), ())
            told = now.get((device, marks), ())
            yield one if one not in decided else replace(one, when_before=was, when_now=told)


def _in_settled_operation(answer: Answer) -> bool:
    """Whether it can happen so, or may."""
    return isinstance(answer, Undecided) or (
        isinstance(answer, Reached) and answer.kind == "settled operation"
    )


def _loads(panel: Panel, device: str) -> Iterator[Part]:
    for index in panel.devices[device].parts:
        part = panel.parts[index]
        if part.load is not None and not part.spare:
            yield part


def count_of_loads(panel: Panel) -> int:
    """As many as are held against each other where nothing has changed."""
    return sum(len(list(_loads(panel, name))) for name in panel.devices)


def _accounts(behaviour: Behaviour, devices: Sequence[str]) -> dict[tuple[str, str], Conditions]:
    """By device and marks (empty for a device's only load): what is said of each load."""
    from netcheck.report.condition_sheet import Accounts, sheet_of
    from netcheck.states.conditions import Conditions as Worked

    sheet = sheet_of(Worked(behaviour), devices)
    accounts = Accounts(sheet, behaviour.panel)
    found: dict[tuple[str, str], Conditions] = {}
    for load in sheet.loads:
        lines = tuple(
            (line.name, _in_one_line(line.said.lead, line.said.alternatives))
            for line in accounts.of(load)
            if line.name != "as drawn"
        )
        for index in load.parts:
            part = behaviour.panel.parts[index]
            found[load.device, f"{mark_of(part.a)}-{mark_of(part.b)}"] = lines
            found.setdefault((load.device, ""), lines)
    return found


def _in_one_line(lead: str, alternatives: Sequence[str]) -> str:
    """`until one of these: S1 is pressed; K0 drops out`."""
    return " ".join(filter(None, (lead, "; ".join(alternatives))))
