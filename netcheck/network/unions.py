"""Disjoint sets: which items have been joined to which, directly or through others."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

Item = TypeVar("Item", bound=Hashable)


class Unions(Generic[Item]):
    """Items in disjoint groups. An item not seen before is a group of its own."""

    def __init__(self) -> None:
        self._parent: dict[Item, Item] = {}
        self._size: dict[Item, int] = {}

    def copy(self) -> Unions[Item]:
        """The same groups, to go on from."""
        other = Unions[Item]()
        other._parent, other._size = dict(self._parent), dict(self._size)
        return other

    def find(self, item: Item) -> Item:
        """The one item that stands for the group of `item`, until its group next grows."""
        parent = self._parent
        if item not in parent:
            parent[item] = item
            self._size[item] = 1
            return item
        while parent[item] != item:
            # Halving the path as it is walked keeps every later walk short.
            parent[item] = item = parent[parent[item]]
        return item

    def join(self, first: Item, second: Item) -> bool:
        """Make one group of two; False if they already were one."""
        larger, smaller = self.find(first), self.find(second)
        if larger == smaller:
            return False
        if self._size[larger] < self._size[smaller]:
            larger, smaller = smaller, larger
        self._parent[smaller] = larger
        self._size[larger] += self._size.pop(smaller)
        return True

    def joined(self, first: Item, second: Item) -> bool:
        """Whether two items are in one group."""
        return self.find(first) == self.find(second)

    def groups(self) -> list[list[Item]]:
        """Every group; groups and their items in the order in which items were first seen."""
        members: dict[Item, list[Item]] = {}
        for item in self._parent:
            members.setdefault(self.find(item), []).append(item)
        return list(members.values())
