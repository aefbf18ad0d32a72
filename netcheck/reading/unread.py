"""What statements that could not be read would have named.

One mistake is told once: a device whose own line is not understood is not also
unknown in every circuit line that passes it.
"""

from __future__ import annotations

import re
from functools import cache

from netcheck.reading.words import kind_words
from netcheck.record import draft, fresh

_WIRE = r"(?<!\S)--([^\s()]+?)--"
_NAMES = r"[^\W_a-z][\w.]*"


@draft
class Unread:
    """Names, without the prefixes of assemblies and panels, by what they would stand for."""

    devices: set[str] = fresh(factory=set)
    wires: set[str] = fresh(factory=set)
    places: set[str] = fresh(factory=set)
    wire_kinds: set[str] = fresh(factory=set)
    cables: set[str] = fresh(factory=set)
    raceways: set[str] = fresh(factory=set)
    assemblies: set[str] = fresh(factory=set)
    files: bool = False
    """Whether a file could not be had: then any name may have stood in it."""

    def note(self, text: str) -> None:
        """Keep what the unreadable statement `text` seems to name."""
        self.wires.update(re.findall(_WIRE, text))
        found = _opening().match(text)
        if found is None:
            return
        word, rest = " ".join(found[1].split()), found[2]
        name = re.match(_NAMES, rest)
        if word in ("location", "wire kind"):
            target = self.places if word == "location" else self.wire_kinds
            target.add(rest.partition(":")[0].strip())
        elif word == "wire":
            self.wires.add(re.split(r"[\s:]", rest, maxsplit=1)[0])
        elif word == "include":
            self.files = True
        elif word == "use":
            self.devices.update(re.findall(_NAMES, rest)[:2])
        elif name is not None and word == "cable":
            self.cables.add(name.group())
        elif name is not None and word == "raceway":
            self.raceways.add(name.group())
        elif name is not None and word == "assembly":
            self.assemblies.add(name.group())
        elif name is not None:
            self.devices.add(name.group())

    def add(self, other: Unread) -> None:
        self.devices |= other.devices
        self.wires |= other.wires
        self.places |= other.places
        self.wire_kinds |= other.wire_kinds
        self.cables |= other.cables
        self.raceways |= other.raceways
        self.assemblies |= other.assemblies
        self.files |= other.files

    def device(self, name: str) -> bool:
        """Whether `name` (or any part of `Z1.K1`) may be a device of a statement not read."""
        return self.files or not self.devices.isdisjoint(name.split("."))


@cache
def _opening() -> re.Pattern[str]:
    """A statement that declares a name, whatever the case its first word is written in."""
    statements = "location", "wire kind", "wire", "cable", "raceway", "assembly", "use", "include"
    longest_first = sorted((*statements, *kind_words()), key=len, reverse=True)
    either = "|".join(re.escape(word).replace(r"\ ", r"[ \t]+") for word in longest_first)
    return re.compile(rf"\s*({either})(?![\w-])[ \t]*(.*)", re.IGNORECASE | re.DOTALL)
