"""Feeds that meet, against every position of every switch tried in turn with networkx."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import networkx as nx
from hypothesis import example, given, settings
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.meeting_feeds import Feed, MeetingFeeds
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from tests.annotated import Texts

PLUS, HOME = "X:1", "X:2"
INNER = ("X:3", "X:4", "X:5", "X:6")
Ends = tuple[str, str]
SOURCE = "B"

TWO_FUSES_AND_A_TIE = [INNER[0], INNER[1]], [(INNER[0], INNER[1])]
FUSE_AND_A_WAY_AROUND = [INNER[0]], [(INNER[0], INNER[1]), (INNER[1], PLUS)]


@st.composite
def wirings(draw: st.DrawFn) -> tuple[list[str], list[Ends]]:
    """Fuses from + to inner places, and switches between places; every inner place has a lamp."""
    fuses = draw(st.lists(st.sampled_from(INNER), min_size=1, max_size=3))
    place = st.sampled_from((PLUS, *INNER))
    return fuses, draw(st.lists(st.tuples(place, place), max_size=5))


def text_of(fuses: Sequence[str], switches: Sequence[Ends]) -> str:
    lines = ['panel "Bench"', f"source {SOURCE} 24 V DC, ungrounded", "strip X terminals 1 to 6"]
    lines += [f"fuse F{n} 2 A" for n in range(len(fuses))]
    lines += [f"switch S{n} normally open 1-2" for n in range(len(switches))]
    lines += [f"lamp H{n} 24 V DC 5 W" for n in range(len(INNER))]
    chains = [f"{SOURCE}:+ -- {PLUS}", f"{HOME} -- {SOURCE}:0V"]
    chains += [f"{PLUS} -- F{n}:1-2 -- {place}" for n, place in enumerate(fuses)]
    chains += [f"{a} -- S{n}:1-2 -- {b}" for n, (a, b) in enumerate(switches)]
    chains += [f"{place} -- H{n}:X1-X2 -- {HOME}" for n, place in enumerate(INNER)]
    return "\n".join([*lines, 'circuit "Bench"', *chains]) + "\n"


def meeting_feeds(text: str) -> MeetingFeeds:
    panel, mistakes = build_panel(
        "bench.panel", gather("bench.panel", Texts({"bench.panel": text}))
    )
    assert not mistakes
    return Case(panel).conclude(MeetingFeeds)


def areas(
    fuses: Sequence[str], switches: Sequence[Ends]
) -> Iterator[list[tuple[set[str], set[str]]]]:
    """For each position of the switches, the places that hang together without the fuses, and
    what feeds each such area."""
    feeds = {PLUS: {SOURCE}}
    for n, place in enumerate(fuses):
        feeds.setdefault(place, set()).add(f"F{n}")
    for closed in itertools.product((False, True), repeat=len(switches)):
        graph = nx.Graph()
        graph.add_nodes_from((PLUS, *INNER))
        graph.add_edges_from(ends for ends, on in zip(switches, closed, strict=True) if on)
        yield [
            (area, set().union(*(feeds.get(place, set()) for place in area)))
            for area in nx.connected_components(graph)
        ]


def pair(one: Feed, other: Feed) -> frozenset[str]:
    return frozenset((one.device, other.device))


@settings(max_examples=80, deadline=None)
@given(wirings())
@example(TWO_FUSES_AND_A_TIE)
@example(FUSE_AND_A_WAY_AROUND)
def test_the_fuses_that_meet_another_feed_are_those_that_some_state_joins_to_one(
    wiring: tuple[list[str], list[Ends]],
) -> None:
    fuses, switches = wiring
    expected = set()
    for state in areas(fuses, switches):
        for _, feeds in state:
            expected |= feeds - {SOURCE} if len(feeds) > 1 else set()
    found = meeting_feeds(text_of(fuses, switches))
    told = {name for one in found.found for name in pair(one.one, one.other)} - {SOURCE}
    assert () == found.undecided
    assert expected == told


@settings(max_examples=80, deadline=None)
@given(wirings())
def test_feeds_in_turn_feed_the_same_lamp_in_different_states_and_never_meet(
    wiring: tuple[list[str], list[Ends]],
) -> None:
    fuses, switches = wiring
    fed_by: dict[str, set[str]] = {place: set() for place in INNER}
    together: set[frozenset[str]] = set()
    for state in areas(fuses, switches):
        for area, feeds in state:
            together |= {frozenset(two) for two in itertools.combinations(feeds, 2)}
            for place in area - {PLUS}:
                fed_by[place] |= feeds
    for found in meeting_feeds(text_of(fuses, switches)).in_turn:
        assert pair(found.one, found.other) not in together
        for load in found.loads:
            place = INNER[int(load.device[1:])]
            assert pair(found.one, found.other) <= fed_by[place]


def test_two_fuses_that_a_switch_joins_meet() -> None:
    (found,) = meeting_feeds(text_of(*TWO_FUSES_AND_A_TIE)).found
    assert {"F0", "F1"} == pair(found.one, found.other)
    assert {"H0", "H1"} == set(found.loads)
