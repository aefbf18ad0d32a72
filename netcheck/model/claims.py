"""Intents, assumptions, interlocks and acceptances: read, resolved, checked for sense."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from netcheck.model.devices import Device, Drive, Mechanism
from netcheck.model.maker import Made
from netcheck.model.names import NameMistake, scopes
from netcheck.model.panel import (
    Acceptance,
    All,
    Any,
    Assumption,
    Claim,
    Condition,
    Intent,
    Is,
    Not,
    Order,
)
from netcheck.model.scope import Scope
from netcheck.model.wire_names import shared_numbers, wire_called
from netcheck.model.wires import Wire
from netcheck.reading import statements as say
from netcheck.reading.near import did_you_mean
from netcheck.reading.project import Scoped
from netcheck.reading.token import Token
from netcheck.reading.unit_mistakes import with_article
from netcheck.text import Span

SAME = {
    "energised": "in", "energized": "in", "dropped": "out", "operating": "operated",
    "lost": "absent", "held": "pressed", "let go": "released",
}  # fmt: skip
"""Other words for a position."""

RUN_OUT = {"on-delay timer": "in", "off-delay timer": "out"}
"""Where a timer's contacts stand when it has run out."""

MOST_APART = 40
"""Things of which no two may be in one state; each pair of them is a condition."""


class ClaimBuilder:
    def __init__(self, scope: Scope, made: Made, wires: Sequence[Wire]) -> None:
        self.scope = scope
        self.names = scope.names
        self.made = made
        self.wires = wires
        self.tell = scope.tell
        self.interlocks: list[tuple[str, ...]] = []
        self.opposing: list[tuple[str, str]] = []
        self.assumptions: list[Assumption] = []
        self.intents: list[Intent] = []
        self.acceptances: list[Acceptance] = []

    def read(self, statements: list[Scoped]) -> None:
        for scoped in statements:
            statement = scoped.statement
            self.scope.prefix = scoped.prefix
            if isinstance(statement, say.Interlock):
                self._interlock(scoped, statement)
            elif isinstance(statement, say.Opposing):
                self._opposing(scoped, statement)
            elif isinstance(statement, say.Assume):
                self._assume(scoped, statement)
            elif isinstance(statement, say.Intent):
                self._intent(scoped, statement)
            elif isinstance(statement, say.Accept):
                self._accept(scoped, statement)

    # ---- names of things that move ---------------------------------------------------------

    def _device(self, token: Token, scoped: Scoped) -> Device | None:
        try:
            return self.names.device(token, scoped.prefix)
        except NameMistake as error:
            self.scope.name_mistake(scoped.statement.origin.span(token), error)
            return None

    def _mover(self, token: Token, scoped: Scoped) -> Mechanism | None:
        device = self._device(token, scoped)
        if device is None:
            return None
        for name in device.mechanisms:
            mechanism = self.made.mechanisms[name]
            if mechanism.moved_by_coil or mechanism.drive is Drive.PROTECTION:
                return mechanism
        self.tell(
            scoped.statement.origin.span(token),
            f"{device.name} is {with_article(device.kind)}: nothing of it can be blocked",
            "contactors, relays, breakers and disconnects block one another",
        )
        return None

    def _interlock(self, scoped: Scoped, statement: say.Interlock) -> None:
        movers = [self._mover(token, scoped) for token in statement.names]
        names = [mover.name for mover in movers if mover is not None]
        if len(names) == len(movers):
            if len(set(names)) != len(names):
                self.tell(
                    statement.origin.span(statement.names[-1]),
                    "a device cannot interlock with itself",
                    "name two different ones",
                )
                return
            self.interlocks.append(tuple(names))

    def _opposing(self, scoped: Scoped, statement: say.Opposing) -> None:
        movers = [self._mover(token, scoped) for token in statement.names]
        if movers[0] is not None and movers[1] is not None:
            self.opposing.append((movers[0].name, movers[1].name))

    # ---- conditions ------------------------------------------------------------------------

    def _condition(self, condition: say.Condition, scoped: Scoped) -> Condition | None:
        if isinstance(condition, say.IsSo):
            return self._is_so(condition, scoped)
        if isinstance(condition, say.Deny):
            inner = self._condition(condition.inner, scoped)
            return Not(inner) if inner is not None else None
        parts = [self._condition(part, scoped) for part in condition.parts]
        known = tuple(part for part in parts if part is not None)
        if len(known) != len(parts):
            return None
        return All(known) if isinstance(condition, say.Both) else Any(known)

    def _is_so(self, condition: say.IsSo, scoped: Scoped) -> Condition | None:
        found = self._is(condition.name, condition.state, scoped)
        return Not(found) if found is not None and condition.denied else found

    def _is(self, name: Token, state: Token, scoped: Scoped) -> Condition | None:
        written = state[1:-1] if state.type == "STRING" else str(state)
        device_token = name.saying(name.partition(":")[0]) if ":" in name else name
        device = self._device(device_token, scoped)
        if device is None:
            return None
        wanted = SAME.get(written, written)
        if any(self.made.mechanisms[known].drive is Drive.SOURCE for known in device.mechanisms):
            wanted = {"on": "present", "off": "absent"}.get(wanted, wanted)
        if wanted == "run out":
            wanted = RUN_OUT.get(device.kind, wanted)
        words = f"{name} is {written}"
        for mechanism in self._mechanisms(device, name, wanted):
            if wanted in mechanism.positions:
                index = mechanism.positions.index(wanted)
                return Is(mechanism.name, frozenset((index,)), words=words)
        loads = [i for i in device.parts if self.made.parts[i].load is not None]
        if loads and wanted in ("on", "off") and ":" not in name:
            on = Is("", frozenset(), load=device.name, words=f"{device.name} is on")
            return on if wanted == "on" else Not(on)
        self._never_so(name, device, written, scoped.statement.origin.span(state), bool(loads))
        return None

    def _never_so(
        self, name: Token, device: Device, written: str, span: Span, is_load: bool
    ) -> None:
        from netcheck.reading.mistakes import NO_TIMES, TIMING

        if set(TIMING) & set(written.split()):
            self.tell(span, *NO_TIMES)
            return
        if ":" in name and not self._mechanisms(device, name, ""):
            marks = [known.rpartition(" ")[2] for known in device.mechanisms if " " in known]
            mark = name.partition(":")[2]
            has = f"its outputs: {', '.join(marks[:16])}" if marks else "name the device alone"
            self.tell(span, f"{device.name} has no output {mark}", did_you_mean(mark, marks, has))
            return
        can_be = [
            position
            for mechanism in self._mechanisms(device, name, "")
            for position in mechanism.positions
            if not position.startswith(("between", "half"))
        ]
        if is_load and not can_be:
            can_be = ["on", "off"]
        where = f"{name}" if ":" in name else with_article(device.kind)
        self.tell(
            span,
            f"{name} is never `{written}`",
            did_you_mean(
                written,
                can_be,
                f"{where} can be {', '.join(can_be)}" if can_be else f"{where} has no state",
            ),
        )

    def _mechanisms(self, device: Device, name: Token, wanted: str) -> list[Mechanism]:
        found = [self.made.mechanisms[known] for known in device.mechanisms]
        if ":" in name:
            suffix = name.partition(":")[2]
            return [mechanism for mechanism in found if mechanism.name.endswith(f" {suffix}")]
        if wanted in ("on", "off"):
            found.sort(key=lambda mechanism: wanted not in mechanism.positions)
        if device.kind == "source" and wanted in ("on", "off"):
            return []
        return found

    # ---- sentences -------------------------------------------------------------------------

    def _claim(self, claim: say.Claim | say.Apart, scoped: Scoped) -> Claim | None:
        if isinstance(claim, say.Apart):
            return self._apart(claim, scoped)
        condition = self._condition(claim.condition, scoped)
        given = self._condition(claim.given, scoped) if claim.given is not None else None
        if condition is None or (claim.given is not None and given is None):
            return None
        return Claim(claim.form, condition, given)

    def _apart(self, claim: say.Apart, scoped: Scoped) -> Claim | None:
        span = scoped.statement.origin.span(claim.names[0])
        if len(set(claim.names)) != len(claim.names):
            self.tell(span, "one thing is named twice here", "name each of them once")
            return None
        if len(claim.names) > MOST_APART:
            self.tell(span, f"more than {MOST_APART} things are kept apart here", "name fewer")
            return None
        parts = [self._is(token, claim.state, scoped) for token in claim.names]
        known = tuple(part for part in parts if part is not None)
        return _never_two(known) if len(known) == len(parts) else None

    def _assume(self, scoped: Scoped, statement: say.Assume) -> None:
        span = statement.origin.span(statement.keyword)
        body = statement.body
        if isinstance(body, say.Order):
            self._order(body, scoped, span)
            return
        if isinstance(body, say.Claim) and body.form == "sometimes":
            self.tell(
                span,
                "an assumption says what always holds",
                "say it with `never`, `always` or `whenever`",
            )
            return
        words = statement.title[1:-1] if statement.title else ""
        if isinstance(body, say.Apart) and not words:
            words = f"{' and '.join(body.names)} are never {body.state} together"
        claim = self._claim(body, scoped)
        if claim is not None:
            self._add_assumption(claim, span, words)

    def _order(self, order: say.Order, scoped: Scoped, span: Span) -> None:
        """One timer always runs out before another."""
        timers = [self._timer(token, scoped) for token in (order.first, order.second)]
        first, second = timers
        if first is None or second is None:
            return
        if first is second:
            self.tell(
                scoped.statement.origin.span(order.second),
                f"{second.name} cannot run out before itself",
                "name two timers",
            )
            return
        words = f"{first.name} runs out before {second.name}"
        self.assumptions.append(Assumption(Order(first.name, second.name), span, words))

    def _timer(self, token: Token, scoped: Scoped) -> Device | None:
        device = self._device(token, scoped)
        if device is None or device.kind in RUN_OUT:
            return device
        self.tell(
            scoped.statement.origin.span(token),
            f"{device.name} is {with_article(device.kind)}, no timer",
            "name two timers",
        )
        return None

    def _add_assumption(self, claim: Claim, span: Span, words: str) -> None:
        self.assumptions.append(Assumption(claim, span, words or describe_claim(claim)))

    def _intent(self, scoped: Scoped, statement: say.Intent) -> None:
        claim = self._claim(statement.claim, scoped)
        if claim is not None:
            self.intents.append(
                Intent(
                    statement.title[1:-1],
                    claim,
                    statement.proviso,
                    statement.origin.span(statement.title),
                )
            )

    def _accept(self, scoped: Scoped, statement: say.Accept) -> None:
        origin = statement.origin
        devices = [self._device(token, scoped) for token in statement.devices]
        wires = [self._wire(wire, scoped) for wire in statement.wires]
        if not statement.reason[1:-1].strip():
            self.tell(
                origin.span(statement.reason),
                "an acceptance needs a reason",
                "say between the double quotes why this is right as it is",
            )
            return
        if None in devices or None in wires:
            return
        self.acceptances.append(
            Acceptance(
                " ".join(statement.rule),
                tuple(device.name for device in devices if device is not None),
                tuple(wire for wire in wires if wire is not None),
                statement.reason[1:-1],
                self._until(statement),
                origin.span(statement.rule[0]).through(origin.span(statement.rule[-1])),
            )
        )

    def _until(self, statement: say.Accept) -> str:
        if statement.until is None:
            return ""
        try:
            date.fromisoformat(statement.until)
        except ValueError:
            self.tell(
                statement.origin.span(statement.until),
                f"`{statement.until}` is no date",
                "write year, month, day: `2027-01-31`",
            )
        return str(statement.until)

    def _wire(self, named: say.WireName, scoped: Scoped) -> str | None:
        """A wire that is drawn, as findings list it: `204`, or `204 S1:12 to S2:13`."""
        number = str(named.number or "")
        unread = self.scope.gathered.unread
        if number and (number in unread.wires or unread.files):
            return None
        try:
            ends = None
            if named.ends is not None:
                first, second = named.ends
                ends = (
                    self.names.terminal(first, scoped.prefix),
                    self.names.terminal(second, scoped.prefix),
                )
            wire = wire_called(self._own_wires(number, scoped.prefix), number, ends)
        except NameMistake as error:
            span = scoped.statement.origin.span(named.number or named.word)
            self.scope.name_mistake(span, error)
            return None
        shared = wire.number in shared_numbers(self.wires)
        return (wire.full_label if shared else wire.label).removeprefix("wire ")

    def _own_wires(self, number: str, prefix: str) -> Sequence[Wire]:
        """The wires among which a number is looked for: first those of the own assembly."""
        for scope in scopes(prefix):
            own = [w for w in self.wires if w.a.startswith(scope) or w.b.startswith(scope)]
            if any(wire.number == number for wire in own):
                return own
        return self.wires


def _never_two(known: tuple[Condition, ...]) -> Claim:
    """No two of these at the same time."""
    pairs: list[Condition] = [All((a, b)) for i, a in enumerate(known) for b in known[i + 1 :]]
    return Claim("never", pairs[0] if len(pairs) == 1 else Any(tuple(pairs)))


def describe_claim(claim: Claim) -> str:
    """The claim in words: `never (S1 is pressed and S2 is pressed)`."""
    if claim.form == "only while" and claim.given is not None:
        return f"{describe(claim.given)} only while {describe(claim.condition)}"
    if claim.form == "whenever" and claim.given is not None:
        return f"{describe(claim.condition)} whenever {describe(claim.given)}"
    return f"{claim.form} {describe(claim.condition)}"


def describe(condition: Condition) -> str:
    if isinstance(condition, Is):
        return condition.words
    if isinstance(condition, Not):
        inner = condition.inner
        if isinstance(inner, Is):
            return inner.words.replace(" is ", " is not ", 1)
        return f"not ({describe(inner)})"
    word = " and " if isinstance(condition, All) else " or "
    return f"({word.join(describe(part) for part in condition.parts)})"
