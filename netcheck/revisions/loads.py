"""Which loads are energised under other conditions than before, and a state that shows it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from netcheck.model.devices import Drive, Mechanism, Part, mark_of
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.revisions.joint import Joint, Side
from netcheck.revisions.pairs import Pairs
from netcheck.states.answers import Answer, Never, Reached, Step, Undecided
from netcheck.states.behaviour import Behaviour

Conditions = tuple[tuple[str, str], ...]
"""Lines of an account: what the load does, and when (`pulls in`, `while S1 is pressed`)."""

MOST_ACCOUNTS = 30
"""Loads whose conditions are told in words, before and now."""


@record
class LoadChange:
    """A load that is on where it was off, or off where it was on; or of which that is open.

    `reason` is there where it is not decided, and then nothing else.
    """

    name: str
    was_on: bool = False
    state: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    before: Conditions = ()
    now: Conditions = ()
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


class _Held:
    def __init__(self, old: Behaviour, new: Behaviour, pairs: Pairs) -> None:
        self.old, self.new, self.pairs = old, new, pairs
        self.joint = Joint(old, new, pairs)
        self._told = 0

    def all(self) -> Loads:
        changed: list[LoadChange] = []
        same = 0
        for name in self.pairs.new.devices:
            was = self.pairs.device(name)
            if was in self.pairs.old.devices:
                found = [self._one(name, was, a, b) for a, b in self._parts(was, name)]
                same += sum(one is None for one in found)
                changed += dict.fromkeys(one for one in found if one is not None)
        return Loads(tuple(self._with_accounts(changed)), same)

    def _parts(self, was: str, name: str) -> Iterator[tuple[Part, Part]]:
        """The loads of one device, by their marks."""
        before = {(mark_of(part.a), mark_of(part.b)): part for part in _loads(self.pairs.old, was)}
        for part in _loads(self.pairs.new, name):
            match = before.get((mark_of(part.a), mark_of(part.b)))
            if match is not None:
                yield match, part

    def _one(self, name: str, was: str, old: Part, new: Part) -> LoadChange | None:
        label = name if len(list(_loads(self.pairs.new, name))) == 1 else new.label
        if new.load and new.load.phases == 3:
            label = name
        try:
            literals = self._literals(old, new)
        except KeyError:
            return LoadChange(label, reason="what feeds it leads back to itself")
        sure, maybe = (self.joint.differ(*both) for both in literals)
        differ = self.joint.machine.logic.either(sure, maybe)
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
                return self._changed(label, reached, differ, literals[0][0], (old, new))
        raise AssertionError

    def _literals(self, old: Part, new: Part) -> tuple[tuple[int, int], tuple[int, int]]:
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

    def _changed(
        self, label: str, reached: Reached, differ: int, before: int, parts: tuple[Part, Part]
    ) -> LoadChange:
        reason = self._doubt(reached, differ, parts)
        if reason:
            return LoadChange(label, reason=reason)
        told = _Words(self.joint).tell(reached)
        was_on = self.joint.value(before, reached)
        return LoadChange(label, was_on, tuple(told[0].items()), told[1])

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
            yield one if one not in decided else replace(one, before=was, now=told)


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


class _Words:
    """A state of the joint machine as somebody at the panel would put it."""

    def __init__(self, joint: Joint) -> None:
        self._known: dict[str, Mechanism] = dict(joint.old.panel.mechanisms)
        for mechanism in joint.new.panel.mechanisms.values():
            self._known[joint.pairs.mechanism(mechanism.name)] = mechanism

    def tell(self, reached: Reached) -> tuple[dict[str, str], tuple[str, ...]]:
        state = {}
        for name, value in reached.state.items():
            mechanism = self._known.get(name)
            if mechanism is None or mechanism.drive is Drive.SOURCE or isinstance(value, bool):
                continue
            if value != mechanism.positions[0]:
                state[mechanism.name] = value
        steps = [
            self._step(name, value)
            for name, value in reached.start.items()
            if isinstance(value, str) and value != self._rest(name)
        ]
        steps += [self._steps(step) for step in reached.steps]
        return state, tuple(step for step in steps if step)

    def _rest(self, name: str) -> str:
        mechanism = self._known.get(name)
        return mechanism.positions[0] if mechanism else ""

    def _steps(self, step: Step) -> str:
        return " and ".join(
            filter(None, (self._step(change.name, change.after) for change in step.changes))
        )

    def _step(self, name: str, value: str | bool) -> str:
        """Hands and the process; of relays only timers, which run out of their own accord."""
        for side in (" before", " now"):
            name = name.removesuffix(side)
        mechanism = self._known.get(name)
        if mechanism is None:
            return ""
        if isinstance(value, bool):
            timer = mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY)
            return mechanism.steps[int(value)] if timer else ""
        return (
            mechanism.steps[mechanism.positions.index(value)]
            if value in mechanism.positions
            else ""
        )
