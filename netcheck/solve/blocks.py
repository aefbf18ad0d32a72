"""What a panel in one state is made of, in blocks: what flows in one flows in no other.

A fault, a contact or a supply that starts changes one block or two.  All others are laid out and
solved as they were in the round before, or in another state of the same panel: with all in one
piece that took twice as long.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from netcheck.network.blocks import NO_BLOCK, EdgesBetween
from netcheck.network.unions import Unions
from netcheck.solve.nodal import Branch, Layout, Node, Solution, Winding

Label = tuple[str, int, str]
"""What an element stands for, by its sort and number, of a source's also the pole:
`("part", 7, "")`, `("pole", 0, "L1")`."""
Element = tuple[Label, Node, Node]
"""Something that may conduct from one node to the other."""


class Block:
    """Elements for any ohms and volts of them.  Those that windings lie between are one."""

    def __init__(self, elements: Sequence[Element], windings: Sequence[Winding]) -> None:
        self.elements, self.windings = elements, windings
        self._layouts: dict[Hashable, Layout] = {}

    def solve(self, ohms: Sequence[complex | None], volts: Mapping[int, complex]) -> Solution:
        """`ohms` of each element, None where it is open, `volts` of those that have some, both
        by their places.  Raises SourcesInConflict and Undetermined."""
        shape = (tuple([ohm if ohm is None else ohm != 0 for ohm in ohms]), tuple(volts.items()))
        layout = self._layouts.get(shape)
        if layout is None:
            branches = [
                Branch(a, b, ohms[place], volts.get(place, 0))
                for place, (_, a, b) in enumerate(self.elements)
            ]
            layout = self._layouts[shape] = Layout(branches, self.windings)
        return layout.solve(ohms)


class KnownBlocks:
    """Blocks that were met before, by all that they are made of."""

    def __init__(self) -> None:
        self._blocks: dict[Hashable, Block] = {}

    def block(self, elements: Sequence[Element], windings: Sequence[Winding]) -> Block:
        made_of = tuple(elements), tuple(windings)
        if made_of not in self._blocks:
            self._blocks[made_of] = Block(*made_of)
        return self._blocks[made_of]


class Blocks:
    """Those of one state, and how they hang on each other."""

    def __init__(
        self, elements: Sequence[Element], windings: Sequence[Winding], known: KnownBlocks
    ) -> None:
        ends = [(a, b) for _, a, b in elements]
        for one in windings:
            ends += [(one.a, one.b), (one.c, one.d)]
        self._nodes = list(dict.fromkeys(node for pair in ends for node in pair))
        self._number = {node: number for number, node in enumerate(self._nodes)}
        number = self._number
        between = EdgesBetween(len(number), [(number[a], number[b]) for a, b in ends])
        self._tree = between.tree
        # What leads from a node to itself is by itself.
        pieces = [
            piece if piece != NO_BLOCK else -1 - place
            for place, piece in enumerate(between.block_of)
        ]
        coupled = Unions[int]()
        for place in range(len(elements), len(pieces), 2):
            coupled.join(pieces[place], pieces[place + 1])
        inside: dict[int, tuple[list[Element], list[Winding]]] = {}
        for element, piece in zip(elements, pieces, strict=False):
            inside.setdefault(coupled.find(piece), ([], []))[0].append(element)
        for winding, piece in zip(windings, pieces[len(elements) :: 2], strict=True):
            inside.setdefault(coupled.find(piece), ([], []))[1].append(winding)
        blocks = {piece: known.block(*made_of) for piece, made_of in inside.items()}
        self.blocks = list(blocks.values())
        self._block_of = [blocks[coupled.find(piece)] for piece in range(len(self._tree.top))]
        """Of each of the tree's."""

    def steps(self, a: Node, b: Node) -> list[tuple[Block, Node, Node]] | None:
        """From one node to the other through one block after another; None where nothing joins
        the two."""
        try:
            here, there = self._number[a], self._number[b]
        except KeyError:
            return None
        if self._tree.root[here] != self._tree.root[there]:
            return None
        nodes = self._nodes
        return [
            (self._block_of[piece], nodes[enters], nodes[leaves])
            for piece, enters, leaves in self._tree.steps_between(here, there)
        ]
