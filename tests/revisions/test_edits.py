"""Edits of made-up circuits, each with an effect known without netcheck: that, and nothing else."""

from __future__ import annotations

import itertools
import re

import pytest

from netcheck.case import Case
from netcheck.finding import Review
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.revisions.comparison import Comparison, Read, compare
from tests.annotated import Texts
from tests.revisions.scheme import (
    Scheme,
    made_up,
    truth,
    with_a_contact_swapped,
    with_a_group_less,
    written,
)

SEEDS = range(40)


def read(text: str) -> Read:
    """A text read and not reviewed: what its findings are is tested elsewhere."""
    gathered = gather("a.panel", Texts({"a.panel": text}))
    panel, mistakes = build_panel("a.panel", gathered)
    assert [] == [*gathered.mistakes, *mistakes]
    return Read(panel, gathered.sources, (), Review(), Case(panel))


def compared(old: str, new: str) -> Comparison:
    return compare("a.panel", read(old), read(new))


def loads(found: Comparison) -> set[str]:
    assert [] == [load for load in found.loads if load.reason]
    return {load.name for load in found.loads}


def differing(old: Scheme, new: Scheme) -> set[str]:
    before, now = truth(old), truth(new)
    return {load for load in before if before[load] != now[load]}


@pytest.mark.parametrize("seed", SEEDS)
def test_another_order_and_direction_of_the_lines_is_the_same_panel(seed: int) -> None:
    scheme = made_up(seed)
    found = compared(written(scheme), written(scheme, seed + 1))
    assert found.same, (found.changes, found.loads)
    assert len(scheme.branches) == found.same_loads


@pytest.mark.parametrize("seed", SEEDS)
def test_a_contact_of_the_other_kind_changes_the_loads_whose_truth_table_changes(seed: int) -> None:
    scheme = made_up(seed)
    edited = with_a_contact_swapped(scheme, seed)
    found = compared(written(scheme), written(edited, seed))
    assert differing(scheme, edited) == loads(found)
    assert {("device", "changed")} == {(c.of, c.kind) for c in found.changes}
    assert 1 == len(found.changes)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_state_that_is_shown_does_tell_the_two_apart(seed: int) -> None:
    scheme = made_up(seed)
    edited = with_a_contact_swapped(scheme, seed)
    before, now = truth(scheme), truth(edited)
    for load in compared(written(scheme), written(edited)).loads:
        state = dict(load.state)
        pressed = [state.get(name) == "pressed" for name in scheme.switches]
        row = int("".join("01"[one] for one in pressed), 2)
        assert (load.was == "on") == before[load.name][row] != now[load.name][row]
        assert (load.now == "on") == now[load.name][row]


@pytest.mark.parametrize("seed", [*SEEDS, 71, 75, 80, 120, 151, 157, 188])
def test_no_state_with_fewer_buttons_pressed_tells_the_two_apart(seed: int) -> None:
    scheme = made_up(seed)
    edited = with_a_contact_swapped(scheme, seed)
    before, now = truth(scheme), truth(edited)
    rows = list(itertools.product((0, 1), repeat=len(scheme.switches)))
    for load in compared(written(scheme), written(edited)).loads:
        told = zip(rows, before[load.name], now[load.name], strict=True)
        fewest = min(sum(pressed) for pressed, was, now_is in told if was != now_is)
        assert fewest == list(dict(load.state).values()).count("pressed"), load


@pytest.mark.parametrize("seed", SEEDS)
def test_a_load_led_past_some_contacts_is_on_where_it_was_off(seed: int) -> None:
    scheme = made_up(seed)
    edited = with_a_group_less(scheme, seed)
    if edited is None:
        pytest.skip("no load of this one has two groups")
    found = compared(written(scheme), written(edited, seed))
    assert differing(scheme, edited) == loads(found)
    assert {"wire"} <= {change.of for change in found.changes}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_return_landed_on_another_terminal_of_its_node_is_re_routed_and_no_more(
    seed: int,
) -> None:
    scheme = made_up(seed)
    text = written(scheme, seed)
    first, *_, last = [
        re.search(rf"{b.load}:\w2(?= --200)", written(scheme)) for b in scheme.branches
    ]
    if first is None or last is None or first[0] == last[0]:
        pytest.skip("this one has one return only")
    new = re.sub(
        rf"(?:E1:0V --200-- {last[0]}|{last[0]} --200-- E1:0V)",
        f"{last[0]} --200-- {first[0]}",
        text,
    )
    found = compared(text, new)
    assert [("wire", "re-routed")] == [(c.of, c.kind) for c in found.changes]
    assert (len(scheme.branches), ()) == (found.same_loads, found.loads)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_renamed_device_is_one_renamed_and_every_load_is_proved_the_same(seed: int) -> None:
    scheme = made_up(seed)
    old = written(scheme)
    used = [name for name in scheme.switches if f"button {name} " in old]
    name = used[seed % len(used)]
    found = compared(old, re.sub(rf"\b{name}\b", "PB77", written(scheme, seed)))
    assert [("device", "renamed", name, "PB77")] == [
        (c.of, c.kind, c.before, c.after) for c in found.changes
    ]
    assert (len(scheme.branches), ()) == (found.same_loads, found.loads)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_wire_renumbered_is_renumbered_and_nothing_else(seed: int) -> None:
    scheme = made_up(seed)
    found = compared(written(scheme), written(scheme, seed).replace("--18--", "--777--"))
    assert [("renumbered", "wire 18")] == [(c.kind, c.before) for c in found.changes]
    assert () == found.loads


@pytest.mark.parametrize("seed", SEEDS)
def test_other_wire_is_changed_wire_and_no_other_machine(seed: int) -> None:
    scheme = made_up(seed)
    found = compared(written(scheme), written(scheme, seed, size="16 AWG"))
    told = {(c.of, c.kind, c.before, c.after) for c in found.changes}
    assert {("wire", "changed", "18 AWG", "16 AWG")} == {one for one in told if one[0] != "load"}
    fed = ("load", "changed", "fed over 18 AWG copper", "fed over 16 AWG copper")
    assert {fed} == {one for one in told if one[0] == "load"}
    assert len(scheme.branches) == found.same_loads


def test_the_made_up_circuits_and_edits_are_not_all_without_effect() -> None:
    effects = [
        bool(differing(made_up(seed), with_a_contact_swapped(made_up(seed), seed)))
        for seed in SEEDS
    ]
    assert sum(effects) > len(SEEDS) / 2
