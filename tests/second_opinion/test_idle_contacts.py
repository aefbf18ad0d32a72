"""Contacts said never to matter, opened and bridged in every state tried in turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from hypothesis import HealthCheck, Phase, assume, given, settings

from netcheck.facts.idle_contacts import IdleContact, IdleContacts
from netcheck.facts.shorts import Shorts
from netcheck.rule import all_rules
from tests.second_opinion.panel_oracle import Network, PanelOracle, State
from tests.second_opinion.random_panels import Contact, Drawn, panels
from tests.second_opinion.test_conduction import both

SOME = settings(
    max_examples=25,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # smaller ones take minutes to find
)
SMALL = panels(most_switches=3, most_relays=2)
all_rules()


def with_contact(oracle: PanelOracle, number: int, closed: bool) -> PanelOracle:
    """The panel with one contact always closed, or never."""
    drawn = oracle.panel
    contact = drawn.contacts[number]
    places = range(len(drawn.positions.get(contact.device, (True, True))))
    moved = Contact(contact.ends, contact.device, frozenset(places) if closed else frozenset())
    contacts = (*drawn.contacts[:number], moved, *drawn.contacts[number + 1 :])
    return oracle.changed(panel=replace(drawn, contacts=contacts))


def does(network: Network) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    return network.live, network.energised, network.maybe


def number_of(drawn: Drawn, idle: IdleContact) -> int:
    ends = {idle.part.a, idle.part.b}
    return next(n for n, contact in enumerate(drawn.contacts) if set(contact.ends) == ends)


def around_those_that_change_nothing(drawn: Drawn) -> Iterator[bool]:
    """Of each contact told idle, once it has changed nothing: whether there is a way round it."""
    two = both(drawn)
    assume(not two.case.conclude(Shorts).found)
    states: set[State] = two.oracle.reached(certain=False, settled=False)
    assume(not any(two.oracle.network(state).short for state in states))
    for idle in two.case.conclude(IdleContacts).found:
        number = number_of(drawn, idle)
        opened, bridged = (with_contact(two.oracle, number, closed) for closed in (False, True))
        for state in states:
            before = does(two.oracle.network(state))
            assert before == does(opened.network(state)), (drawn.text, idle.part.label)
            assert before == does(bridged.network(state)), (drawn.text, idle.part.label)
        yield bool(idle.around)


def test_a_contact_that_never_matters_changes_nothing_opened_or_bridged() -> None:
    met: set[bool] = set()
    SOME(given(SMALL)(lambda drawn: met.update(around_those_that_change_nothing(drawn))))()
    assert {True, False} == met, "with and without a way round it"
