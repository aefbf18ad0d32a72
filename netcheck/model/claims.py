"""Intents, assumptions, interlocks and acceptances: read, resolved, checked for sense."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from datetime import date

from lark import Token

from netcheck.model.devices import Device, Drive, Mechanism
from netcheck.model.maker import Made
from netcheck.model.names import NameMistake, Names
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
from netcheck.reading import statements as say
from netcheck.reading.project import Scoped
from netcheck.text import Span

Tell = Callable[[Span, str, str], None]

SAME = {
    "energised": "in", "energized": "in", "dropped": "out", "closed": "closed", "on": "on",
    "off": "off", "operating": "operated", "lost": "absent",
}  # fmt: skip
"""Other words for a position."""

_ON_OFF = {"source": ("absent", "present")}


class ClaimBuilder:
    def __init__(self, names: Names, made: Made, tell: Tell) -> None:
        self.names = names
        self.made = made
        self.tell = tell
        self.interlocks: list[tuple[str, ...]] = []
        self.opposing: list[tuple[str, str]] = []
        self.assumptions: list[Assumption] = []
        self.intents: list[Intent] = []
        self.acceptances: list[Acceptance] = []

    def read(self, statements: list[Scoped]) -> None:
        for scoped in statements:
            statement = scoped.statement
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
            self.tell(scoped.statement.origin.span(token), error.message, error.help)
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
            f"{device.name} is a {device.kind}; only contactors, relays, breakers and disconnects interlock",
            "name devices whose moving parts block one another",
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
        span = scoped.statement.origin.span(state)
        written = state[1:-1] if state.type == "STRING" else str(state)
        device_token = name.update(value=name.partition(":")[0]) if ":" in name else name
        device = self._device(device_token, scoped)
        if device is None:
            return None
        wanted = SAME.get(written, written)
        words = f"{name} is {written}"
        for mechanism in self._mechanisms(device, name, wanted):
            if wanted in mechanism.positions:
                index = mechanism.positions.index(wanted)
                return Is(mechanism.name, frozenset((index,)), words=words)
        loads = [i for i in device.parts if self.made.parts[i].load is not None]
        if loads and wanted in ("on", "off"):
            on = Is("", frozenset(), load=device.name, words=f"{device.name} is on")
            return on if wanted == "on" else Not(on)
        can_be = [
            position
            for mechanism in self._mechanisms(device, name, "")
            for position in mechanism.positions
            if not position.startswith(("between", "half"))
        ]
        if loads and not can_be:
            can_be = ["on", "off"]
        near = difflib.get_close_matches(wanted, can_be, 1)
        self.tell(
            span,
            f"{device.name} is never `{written}`",
            f"did you mean `{near[0]}`?"
            if near
            else f"a {device.kind} can be {', '.join(can_be) or 'in no state of its own'}",
        )
        return None

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

    def _claim(self, claim: say.Claim, scoped: Scoped) -> Claim | None:
        condition = self._condition(claim.condition, scoped)
        given = self._condition(claim.given, scoped) if claim.given is not None else None
        if condition is None or (claim.given is not None and given is None):
            return None
        return Claim(claim.form, condition, given)

    def _assume(self, scoped: Scoped, statement: say.Assume) -> None:
        span = statement.origin.span(statement.keyword)
        body = statement.body
        if isinstance(body, say.Order):
            first, second = self._device(body.first, scoped), self._device(body.second, scoped)
            for token, device in ((body.first, first), (body.second, second)):
                if device is not None and not device.kind.endswith("timer"):
                    self.tell(
                        statement.origin.span(token),
                        f"{device.name} is no timer",
                        "name two timers",
                    )
            if first is not None and second is not None:
                self.assumptions.append(
                    Assumption(
                        Order(first.name, second.name),
                        span,
                        f"{first.name} runs out before {second.name}",
                    )
                )
            return
        if isinstance(body, say.Apart):
            parts = [self._is(token, body.state, scoped) for token in body.names]
            known = tuple(part for part in parts if part is not None)
            if len(known) == len(parts):
                words = f"{' and '.join(body.names)} are never {body.state} together"
                self._add_assumption(_never_two(known), span, words)
            return
        if body.form == "sometimes":
            self.tell(
                span, "an assumption cannot be `sometimes`", "say `never`, `always` or `whenever`"
            )
            return
        claim = self._claim(body, scoped)
        if claim is not None:
            self._add_assumption(claim, span, statement.title[1:-1] if statement.title else "")

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
        if not statement.reason[1:-1].strip():
            self.tell(origin.span(statement.reason), "an acceptance needs a reason", "say why")
        until = ""
        if statement.until is not None:
            until = str(statement.until)
            try:
                date.fromisoformat(until)
            except ValueError:
                self.tell(
                    origin.span(statement.until), f"`{until}` is no date", "write `2027-01-31`"
                )
        self.acceptances.append(
            Acceptance(
                " ".join(statement.rule),
                tuple(device.name for device in devices if device is not None),
                tuple(str(token) for token in statement.wires),
                statement.reason[1:-1],
                until,
                origin.span(statement.rule[0]).through(origin.span(statement.rule[-1])),
            )
        )


def _never_two(known: tuple[Condition, ...]) -> Claim:
    """No two of these at the same time."""
    pairs: list[Condition] = [All((a, b)) for i, a in enumerate(known) for b in known[i + 1 :]]
    return Claim("never", pairs[0] if len(pairs) == 1 else Any(tuple(pairs)))


def describe_claim(claim: Claim) -> str:
    """The claim in words: `never (S1 is pressed and S2 is pressed)`."""
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
