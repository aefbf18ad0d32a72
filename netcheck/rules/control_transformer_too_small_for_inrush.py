"""A control transformer's voltage falls too far as coils on it pull in.

Coils that are energised on the very same condition pull in together, with the other loads
that can be on beside them; what is left through the transformer's impedance must be 85 %.
The impedance is what the text says, or 5 %.

It keeps silent on coils of which no inrush is said, on what the conductors lose on top, and
on coils that happen to pull in one after the other within their inrush.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.transformer_inrush import LEFT_SHARE, Inrush, TransformerInrush
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed


@rule(
    family=Family.SUPPLY,
    severity=Severity.QUERY,
    summary="a control transformer sags too far as coils pull in",
    why="contactors chatter as they close, and weld or burn",
    source="transformer selection practice: inrush VA, 85 % left (NEMA ICS), second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(TransformerInrush,),
)
def find(view: View) -> Iterator[Outcome]:
    for one in view[TransformerInrush].too_much:
        place = Place(one.device.span, figure(one.rated_va, "VA"))
        if isinstance(one.answer, Undecided):
            reason = f"how far `{one.device.name}` falls as coils pull in: {one.answer.reason}"
            yield NotDecided(reason, place, (one.device.name,))
        elif isinstance(one.answer, Reached):
            yield _finding(view, one, one.answer, place)


def _finding(view: View, one: Inrush, answer: Reached, place: Place) -> Finding:
    left, needed = figures_apart("%", one.left_share * 100, LEFT_SHARE * 100)
    witness = tell(view.panel, answer)
    coils = listed([load.name for load in one.coils])
    verb = "pulls" if len(one.coils) == 1 else "pull"
    return Finding(
        f"`{one.device.name}` falls to {left} of its voltage as {coils} {verb} in, and {needed} "
        "must be left",
        place,
        devices=(one.device.name, *dict.fromkeys(load.device for load in one.coils)),
        condition="inrush",
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(one)),
        assumed=() if one.device.number("impedance") else (f"{one.impedance:.0%} impedance",),
        help="a larger transformer, or coils that take less as they pull in",
    )


def _working(one: Inrush) -> Iterator[Working]:
    for load in one.coils:
        yield Working(f"{load.name} is among those that pull in", load.name, "", "same condition")
    yield Working("inrush", one.inrush_va, "VA", "as described")
    yield Working("other loads on", one.sealed_va, "VA", f"{len(one.others)} of them, as rated")
    yield Working("must be given", one.needed_va, "VA", "root of the sum of both squares")
    said = one.device.number("impedance") is not None
    source = "as described" if said else "usual of small control transformers, from memory"
    yield Working(f"impedance of {one.device.name}", one.impedance * 100, "%", source, said)
    yield Working("left", one.left_share * 100, "%", "all as if at one angle")
