"""A network solved block by block, against the same network solved in one piece."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.solve.blocks import Blocks, Element, KnownBlocks
from netcheck.solve.nodal import Branch, Solution, SourcesInConflict, Undetermined, Winding, solve

NODES = st.sampled_from("abcdefgh")
OHMS = st.sampled_from((None, 0, 0, 1.0, 10.0, 470.0, 8 + 6j))
VOLTS = st.sampled_from((0, 0, 0, 24.0, -120.0))
BRANCHES = st.lists(st.builds(Branch, NODES, NODES, OHMS, VOLTS), max_size=14)
WINDINGS = st.lists(
    st.builds(Winding, NODES, NODES, NODES, NODES, st.just(0.5), st.just(2.0)), max_size=2
)
NO_NUMBERS = (SourcesInConflict, Undetermined)


class BlockByBlock:
    """Raises SourcesInConflict and Undetermined."""

    def __init__(self, branches: list[Branch], windings: list[Winding], known: KnownBlocks) -> None:
        elements: list[Element] = [
            (("part", place, ""), one.a, one.b) for place, one in enumerate(branches)
        ]
        self.blocks = Blocks(elements, windings, known)
        self.at: dict[int, tuple[Solution, int]] = {}
        self.solved: dict[object, Solution] = {}
        for block in self.blocks.blocks:
            inside = [branches[label[1]] for label, _, _ in block.elements]
            volts = {place: one.volts for place, one in enumerate(inside) if one.volts}
            solution = self.solved[block] = block.solve([one.ohm for one in inside], volts)
            for place, (label, _, _) in enumerate(block.elements):
                self.at[label[1]] = solution, place

    def volts(self, a: str, b: str) -> complex | None:
        steps = self.blocks.steps(a, b)
        if steps is None:
            return None
        volts: complex = 0
        for block, here, there in steps:
            try:
                across = self.solved[block].volts(here, there)
            except KeyError:
                return None
            if across is None:
                return None
            volts += across
        return volts


def in_one_piece(found: Solution, a: str, b: str) -> complex | None:
    try:
        return found.volts(a, b)
    except KeyError:
        return None


def close(first: complex | None, second: complex | None) -> bool:
    if first is None or second is None:
        return first is second
    return abs(first - second) <= 1e-6 + 1e-6 * abs(first)


@given(BRANCHES, WINDINGS)
def test_a_network_is_in_blocks_what_it_is_in_one_piece(
    branches: list[Branch], windings: list[Winding]
) -> None:
    try:
        whole = solve(branches, windings)
    except NO_NUMBERS:
        with pytest.raises(NO_NUMBERS):  # of two the other may be met first
            BlockByBlock(branches, windings, KnownBlocks())
        return
    apart = BlockByBlock(branches, windings, KnownBlocks())
    for a, b in combinations("abcdefgh", 2):
        assert close(in_one_piece(whole, a, b), apart.volts(a, b)), (a, b)
    for place, one in enumerate(branches):
        solution, at = apart.at[place]
        if one.ohm is not None:
            assert close(whole.current_a(place), solution.current_a(at)), one


@given(st.lists(BRANCHES, min_size=2, max_size=6))
def test_blocks_met_before_are_solved_as_if_they_were_new(networks: list[list[Branch]]) -> None:
    known = KnownBlocks()
    for branches in networks:
        try:
            apart = BlockByBlock(branches, [], KnownBlocks())
        except SourcesInConflict:
            with pytest.raises(SourcesInConflict):
                BlockByBlock(branches, [], known)
            continue
        again = BlockByBlock(branches, [], known)
        for a, b in combinations("abcdefgh", 2):
            assert apart.volts(a, b) == again.volts(a, b)


def test_what_is_joined_in_one_node_is_two_blocks() -> None:
    loops = [("1", "m"), ("1", "m"), ("2", "m"), ("2", "m")]
    elements: list[Element] = [(("part", place, ""), a, b) for place, (a, b) in enumerate(loops)]
    known = KnownBlocks()
    first = Blocks(elements, [], known).blocks
    second = Blocks([*elements[:2], (("part", 7, ""), "2", "m")], [], known).blocks
    assert [len(block.elements) for block in first] == [2, 2]
    assert second[0] is first[0]
