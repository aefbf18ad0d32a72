"""What becomes of each intent that the text states.

The opposite of what it says is looked for: in settled states, or in every state passed
through where it says `at every instant`; with `even if any one ...`, also once one fault has
come.  An intent that demands something to be on is asked with every source present that it
does not name itself: losing a source is no way of switching off.  `only while` demands
nothing to be on, it forbids.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import StrEnum
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import Condition as Literal
from netcheck.facts.load_feeds import ask
from netcheck.facts.seen_states import SeenStates
from netcheck.facts.single_faults import OneFault
from netcheck.model.devices import Drive, Part
from netcheck.model.panel import Claim, Condition, Intent, Is, Not, Panel
from netcheck.network.nodes import find_nodes
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.answers import Answer, Instant, Never, Reached, Undecided
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.volts import in_band
from netcheck.states.witness import Witness, assignment, tell

if TYPE_CHECKING:
    from netcheck.model.faults import Fault
    from netcheck.states.single_faults import Broken, SingleFaults

PROVISOS = {"even if any one wire opens": "opens", "even if any one contact welds": "welds"}


class Outcome(StrEnum):
    PROVED = "proved"
    BROKEN = "a state breaks it"
    RACE = "a race breaks it"
    NO_STATE = "no state meets it"
    EMPTY = "its condition never happens: it is empty"
    UNDECIDED = "not decided"


@record
class OnPath:
    """A load that is on though the intent says otherwise, and how its current flows."""

    load: Part
    path: tuple[Passed, ...]


@record
class IntentVerdict:
    """One intent and what became of it: how it is broken and by which fault (the others that
    break it in `also`), the state with the steps to it, the path that shows it; or why it is
    not decided, and on which devices it depends."""

    intent: Intent
    outcome: Outcome
    fault: Fault | None = None
    also: tuple[Fault, ...] = ()
    witness: Witness | None = None
    shown: OnPath | None = None
    reason: str = ""
    devices: tuple[str, ...] = ()


@record
class Intents:
    verdicts: tuple[IntentVerdict, ...]


@concludes(Behaviour, CertainBehaviour, SeenStates, OneFault)
def judge_intents(view: View) -> Intents:
    judge = _Judge(view)
    return Intents(tuple(judge.verdict(intent) for intent in view.panel.intents))


class _Judge:
    def __init__(self, view: View) -> None:
        self.panel = view[Behaviour].panel
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.seen = view[SeenStates]
        self.one_fault = view[OneFault]

    def verdict(self, intent: Intent) -> IntentVerdict:
        claim = intent.claim
        at: Instant = "any instant" if intent.proviso == "at every instant" else "settled"
        if claim.form == "sometimes":
            return self._possible(intent, at)
        present: Present = _anyhow
        if _demands_on(claim, self.panel):
            present = _all_present(claim, self.panel)
        if claim.given is not None:
            given = self._never(lambda b: _with(b, b.condition(_given(claim)), present), at)
            if isinstance(given, Undecided):
                return self._undecided(intent, given)
            if isinstance(given, Never):
                return _never_asked(intent, given)
        answer = self._ask(lambda b: _with(b, b.claim(claim) ^ 1, present), at)
        if isinstance(answer, Undecided):
            return self._undecided(intent, answer)
        if isinstance(answer, Reached):
            return self._broken(intent, answer)
        if answer.how == "assumptions contradict":
            return IntentVerdict(intent, Outcome.UNDECIDED, reason="no state is left to look at")
        if intent.proviso in PROVISOS:
            if self._plainly_proved(intent, present):
                return IntentVerdict(intent, Outcome.PROVED)
            faults: SingleFaults = getattr(self.one_fault, PROVISOS[intent.proviso])
            return self._with_one_fault(intent, faults, present)
        return IntentVerdict(intent, Outcome.PROVED)

    def _possible(self, intent: Intent, at: Instant) -> IntentVerdict:
        """`sometimes` and `can be`: one state is enough, but one fault may take any of them."""
        if intent.proviso in PROVISOS:
            reason = f"only what must hold in every state is proved `{intent.proviso}`"
            return IntentVerdict(intent, Outcome.UNDECIDED, reason=reason)
        answer = self._never(lambda b: b.condition(intent.claim.condition, demanded=True), at)
        if isinstance(answer, Undecided):
            return self._undecided(intent, answer)
        if answer is None or (isinstance(answer, Reached) and answer.kind == "settled operation"):
            return IntentVerdict(intent, Outcome.PROVED)
        return IntentVerdict(intent, Outcome.NO_STATE)

    def _plainly_proved(self, intent: Intent, present: Present) -> bool:
        """Whether what breaks it needs loads that are on, and no open wire can bring it about."""
        claim = intent.claim
        wrong = [*_atoms(claim.condition, claim.form == "never")]
        wrong += [*_atoms(claim.given)] if claim.given is not None else []
        if PROVISOS[intent.proviso] != "opens" or any(one.load and not on for one, on in wrong):
            return False
        bad = _with(self.wide, self.wide.claim(claim) ^ 1, present)
        return self.one_fault.no_open_wire.cannot_let(bad)

    def _with_one_fault(
        self, intent: Intent, faults: SingleFaults, present: Present
    ) -> IntentVerdict:
        from netcheck.states.single_faults import Broken

        answers = faults.all_ways(
            lambda b: _with(b, b.claim(intent.claim) ^ 1, present), at="settled"
        )
        ways = [answer for answer in answers if isinstance(answer, Broken)]
        settled = [way for way in ways if way.reached.kind == "settled operation"]
        if settled:
            others = [(one.fault, *one.alike) for one in settled[1:]]
            also = (*settled[0].alike, *(fault for group in others for fault in group))
            return self._broken(intent, settled[0].reached, settled[0], also)
        last = answers[-1]
        if isinstance(last, Undecided):
            return self._undecided(intent, last)
        if ways:
            return self._broken(intent, ways[0].reached, ways[0])
        return IntentVerdict(intent, Outcome.PROVED)

    # ---- questions -----------------------------------------------------------------------

    def _never(self, literal: Literal, at: Instant) -> Answer | None:
        """As `_ask`; None where it is seen to happen, which spares a proof."""
        return None if self.seen.happen(literal(self.certain)) else self._ask(literal, at)

    def _ask(self, literal: Literal, at: Instant) -> Answer:
        """Whether it can happen, whatever coils do that may or may not pull in."""
        return ask(self.wide, self.certain, literal, at)

    # ---- telling -------------------------------------------------------------------------

    def _broken(
        self,
        intent: Intent,
        reached: Reached,
        way: Broken | None = None,
        also: tuple[Fault, ...] = (),
    ) -> IntentVerdict:
        outcome = Outcome.BROKEN if reached.kind == "settled operation" else Outcome.RACE
        panel, behaviour, fault = self.panel, self.certain, None
        if way is not None:
            from netcheck.model.faults import broken
            from netcheck.states.single_faults import with_fault_told

            fault = way.fault
            panel = with_fault_told(panel, fault)
            faulty = broken(self.panel, fault)
            behaviour = Behaviour(faulty, find_nodes(faulty), certain=True)
        shown = _shown(behaviour, intent.claim, reached)
        return IntentVerdict(intent, outcome, fault, also, tell(panel, reached), shown)

    def _undecided(self, intent: Intent, answer: Undecided) -> IntentVerdict:
        claim = intent.claim
        said = self.wide.claim(Claim("always", claim.condition, claim.given))
        names = self.wide.prover.depends_on(said)
        devices = tuple(dict.fromkeys(self.panel.mechanisms[name].device for name in names))
        return IntentVerdict(intent, Outcome.UNDECIDED, reason=answer.reason, devices=devices)


def _never_asked(intent: Intent, given: Never) -> IntentVerdict:
    if given.how == "assumptions contradict":
        return IntentVerdict(intent, Outcome.UNDECIDED, reason="no state is left to look at")
    return IntentVerdict(intent, Outcome.EMPTY)


def _given(claim: Claim) -> Condition:
    assert claim.given is not None
    return claim.given


# ---- sources that are present ------------------------------------------------------------------

Present = Callable[[Behaviour, int], int]
"""Of a literal, the same with the sources present that it is asked with."""


def _with(behaviour: Behaviour, literal: int, present: Present) -> int:
    return present(behaviour, literal)


def _anyhow(behaviour: Behaviour, literal: int) -> int:
    return literal


def _all_present(claim: Claim, panel: Panel) -> Present:
    parts = [claim.condition, *([claim.given] if claim.given is not None else [])]
    named = {one.mechanism for part in parts for one, _ in _atoms(part)}
    sources = [
        mechanism.name
        for mechanism in panel.mechanisms.values()
        if mechanism.drive is Drive.SOURCE and mechanism.name not in named
    ]

    def present(behaviour: Behaviour, literal: int) -> int:
        there = [behaviour.in_positions(name, frozenset((1,))) for name in sources]
        return behaviour.logic.all_of([literal, *there])

    return present


def _demands_on(claim: Claim, panel: Panel) -> bool:
    """Whether something must be on, or a relay in."""
    if claim.form == "only while":
        return False
    atoms = _atoms(claim.condition, claim.form != "never")
    return any(_says_on(panel, one, plain) for one, plain in atoms)


def _says_on(panel: Panel, one: Is, plain: bool) -> bool:
    """Whether a load is said to be on, or a relay to be in."""
    if one.load:
        return plain
    mechanism = panel.mechanisms[one.mechanism]
    return mechanism.moved_by_coil and plain == (1 in one.positions)


def _atoms(condition: Condition, plain: bool = True) -> Iterator[tuple[Is, bool]]:
    """What a condition is made of, each plain or denied."""
    if isinstance(condition, Is):
        yield condition, plain
    elif isinstance(condition, Not):
        yield from _atoms(condition.inner, not plain)
    else:
        for part in condition.parts:
            yield from _atoms(part, plain)


# ---- the path that shows it ----------------------------------------------------------------------


def _shown(behaviour: Behaviour, claim: Claim, reached: Reached) -> OnPath | None:
    """The feed of what is on in the state reached and should not be, or else of what is on."""
    values, panel = assignment(behaviour, reached), behaviour.panel
    wrong = list(_atoms(claim.condition, claim.form == "never"))
    given = list(_atoms(claim.given)) if claim.given is not None else []
    for one, plain in (*wrong, *given):
        for part in _loads(panel, one) if _says_on(panel, one, plain) else ():
            path = _path(behaviour, part, values)
            if path is not None:
                return OnPath(part, path)
    return None


def _loads(panel: Panel, one: Is) -> Iterator[Part]:
    """The loads of what is on, the coils of what is in."""
    device = panel.devices[one.load] if one.load else None
    for index in device.parts if device else panel.mechanisms[one.mechanism].coils:
        if panel.parts[index].load is not None:
            yield panel.parts[index]


def _path(behaviour: Behaviour, part: Part, values: dict[int, bool]) -> tuple[Passed, ...] | None:
    assert part.load is not None
    for feed in behaviour.feeds(part):
        if in_band(feed.volts, part.load) and behaviour.logic.evaluate(feed.condition, values):
            ends = (poles_at(behaviour, feed.rail_a), poles_at(behaviour, feed.rail_b))
            return feed_path(behaviour, Circuit(part, *ends, feed.volts), values)
    return None
