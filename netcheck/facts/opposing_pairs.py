"""Contactors declared to pull opposite ways: can both be in, and what keeps one out.

Only declared pairs are asked about (`opposing K1 and K2`); whether contactors are to be held
apart is never guessed from their names.  Pairs whose poles would close a short circuit are
marked so: that short is found with its path, and is not told twice.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import ask
from netcheck.facts.seen_states import SeenStates
from netcheck.facts.shorts import Short, Shorts
from netcheck.model.devices import Mechanism, Part
from netcheck.record import record
from netcheck.states.answers import Answer, Instant, Never, Reached
from netcheck.states.behaviour import Behaviour as Behaving
from netcheck.states.expressions import TRUE

IN = frozenset((1,))


@record
class OpposingPair:
    """`together` says whether both can be in once relays have settled, `passing` whether they can
    be at any instant; `against` whether, settled, the coil of one can be energised while the
    other is in.  `unseen` are those of the two whose coil is not kept dead by a contact of the
    other itself."""

    first: Mechanism
    second: Mechanism
    held_apart: bool
    """By a mechanical interlock."""
    together: Answer
    passing: Answer
    against: Answer
    unseen: tuple[Mechanism, ...]
    shorts: bool


@record
class OpposingPairs:
    pairs: tuple[OpposingPair, ...]


@concludes(Behaviour, CertainBehaviour, SeenStates, Shorts)
def find_opposing_pairs(view: View) -> OpposingPairs:
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    panel, shorts = view.panel, view[Shorts].found

    def together(first: Mechanism, second: Mechanism, at: Instant) -> Answer:
        def both_in(behaviour: Behaving) -> int:
            return behaviour.logic.all_of(
                [behaviour.in_positions(one.name, IN) for one in (first, second)]
            )

        return ask(wide, certain, both_in, at)

    def against(first: Mechanism, second: Mechanism) -> Answer:
        def one_in_and_the_other_fed(behaviour: Behaving) -> int:
            return behaviour.logic.any_of(
                [
                    behaviour.logic.both(
                        behaviour.in_positions(one.name, IN), _coil(behaviour, other)
                    )
                    for one, other in ((first, second), (second, first))
                ]
            )

        return ask(wide, certain, one_in_and_the_other_fed, "settled")

    def pair(names: tuple[str, str]) -> OpposingPair:
        first, second = (panel.mechanisms[name] for name in names)
        return OpposingPair(
            first,
            second,
            any({first.name, second.name} <= set(group) for group in panel.interlocks),
            together(first, second, "settled"),
            together(first, second, "any instant"),
            against(first, second),
            tuple(
                one
                for one, other in ((first, second), (second, first))
                if _pulls_in_beside(wide, one, other)
            ),
            any({first.name, second.name} <= _relays_on(short) for short in shorts),
        )

    return OpposingPairs(
        tuple(
            pair(names)
            for names in dict.fromkeys(panel.opposing)
            if all(panel.mechanisms[name].moved_by_coil for name in names)
        )
    )


def _coil(behaviour: Behaving, mechanism: Mechanism) -> int:
    """When its coil is energised; of a latching relay the one that sets it."""
    return behaviour.energised(behaviour.panel.parts[mechanism.coils[0]])


def _pulls_in_beside(behaviour: Behaving, one: Mechanism, other: Mechanism) -> bool:
    """Whether the coil of one can be energised though the other is in for good, as if welded."""
    stuck = {behaviour.in_positions(other.name, IN): TRUE}
    literal = behaviour.logic.substitute(_coil(behaviour, one), stuck)
    return not isinstance(behaviour.prover.can_happen(literal), Never)


def _relays_on(short: Short) -> set[str]:
    return {passed.by.mechanism for passed in short.path if isinstance(passed.by, Part)}


def by_settled_operation(answer: Answer) -> bool:
    return isinstance(answer, Reached) and answer.kind == "settled operation"
