"""What is told of a rung since another was of its form, beside each rung worked out by itself."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.behaviour import Behaviour
from netcheck.states.conditions import Conditions, LoadCondition, Relay
from netcheck.states.terms import Form, Terms
from tests.annotated import Texts
from tests.benchmarks.ladders import ladder

SOME = settings(max_examples=60, suppress_health_check=list(HealthCheck))
LADDERS = [ladder(60, seed).panel() for seed in range(4)]
LADDERS += [ladder(30, seed, group=10, local=False).panel() for seed in range(4)]

Told = list[LoadCondition | Relay]


def told_of(panel: Panel) -> Told:
    behaviour = Behaviour(panel, find_nodes(panel))
    conditions = Conditions(behaviour)

    def told() -> Iterator[LoadCondition | Relay]:
        yield from conditions.loads()
        yield from map(conditions.relay, behaviour.machine.movers)

    return list(told())


def with_names(terms: Terms, *diagrams: int) -> tuple[list[str], Form]:
    """A form that is met again with the very same names only."""
    names, form = FORM(terms, *diagrams)
    return names, (tuple(names), *form)


FORM = Terms.form


@pytest.mark.parametrize("panel", LADDERS)
def test_what_is_told_by_its_form_is_what_would_be_worked_out_for_each_rung(panel: Panel) -> None:
    agree(panel)


OWN, OTHER, BUTTON = "{own}:13-14", "{other}:{of}3-{of}4", "{button}:{of}3-{of}4"
SECOND = "{second}:{of}3-{of}4"
NOT_OWN, NOT_OTHER = "{own}:31-32", "{other}:{not_of}1-{not_of}2"
COILS: tuple[tuple[tuple[str, ...], ...], ...] = (
    ((OWN, BUTTON),),
    ((OWN, OTHER),),
    ((BUTTON, OTHER),),
    ((BUTTON,), (NOT_OTHER,)),
    ((OWN, BUTTON), (NOT_OTHER,)),
    ((OWN, OTHER), (BUTTON,)),
    ((OWN, BUTTON), (OTHER,)),
    ((NOT_OWN,), (BUTTON,)),
    ((BUTTON, OTHER), (OWN,)),
    ((OWN, BUTTON), (SECOND,)),
    ((SECOND,),),
)
"""How a coil is fed: contacts side by side, and the next after them."""


KINDS = (
    "relay {} coil 24 V DC; ",
    "relay {} coil 24 V DC; ",
    "off-delay timer {} 2 s; coil 24 V DC; ",
)
CONTACTS = (
    "open 13-14",
    "open 23-24",
    "open 33-34",
    "closed 31-32",
    "closed 41-42",
    "closed 51-52",
)


@st.composite
def pairs(draw: st.DrawFn) -> str:
    """Many pairs of relays, each with buttons of its own, over contacts of their pair only: of so
    few makes that what is almost alike meets."""
    lines = ['panel "Greenhouse"', "battery B1 24 V DC, ungrounded"]
    chains: list[str] = []
    for number in range(1, 17):
        one, two, button, second = (f"{kind}{number}" for kind in ("KA", "KB", "S", "R"))
        for name in (button, second):
            sort = draw(st.sampled_from(["open", "closed"]))
            lines.append(f"button {name} normally {sort} 23-24; normally {sort} 33-34")
        for own, other, of in draw(st.permutations([(one, two, 2), (two, one, 3)])):
            kind = draw(st.sampled_from(KINDS)).format(own)
            timed = "timed " * kind.startswith("off-delay")
            lines.append(kind + "; ".join(f"{timed}normally {contact}" for contact in CONTACTS))
            names = {"own": own, "other": other, "button": button, "second": second}
            put = {**names, "of": str(of), "not_of": str(of + 2)}
            chains += circuit_of(own, draw(st.sampled_from(COILS)), put)
    return "\n".join([*lines, 'circuit "All"', *chains, ""])


def circuit_of(own: str, coil: tuple[tuple[str, ...], ...], put: dict[str, str]) -> Iterator[str]:
    passes = []
    for beside in coil:
        first, *others = (each.format(**put) for each in beside)
        passes.append(first)
        device, _, ends = first.partition(":")
        start, _, end = ends.partition("-")
        yield from (f"{device}:{start} -- {each} -- {device}:{end}" for each in others)
    yield " -- ".join(["B1:+", *passes, f"{own}:A1"])
    yield f"{own}:A2 -- B1:-"


@SOME
@given(pairs())
def test_so_it_is_where_relays_are_almost_alike(text: str) -> None:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    agree(panel)


def agree(panel: Panel) -> None:
    by_form = told_of(panel)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Terms, "form", with_names)
        assert by_form == told_of(panel)
