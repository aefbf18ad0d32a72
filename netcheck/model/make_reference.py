"""Writes the parts of the language's reference that follow from the program: kinds, units, states.

    python -m netcheck.model.make_reference

Each stands in `grammar/reference.md` between two markers; a test holds them equal to this.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from netcheck.loading import CannotLoad
from netcheck.model.build import build_panel
from netcheck.model.devices import mark_of
from netcheck.model.kinds import (
    KINDS,
    electronics,
    generic,
    loads,
    monitors,
    passive,
    protection,
    relays,
    safety,
    sources,
    supplies,
    switches,
    terminals,
    transformers,
)
from netcheck.model.kinds.common import COIL, LOADED, SWITCHED
from netcheck.model.maker import ANYWHERE, Kind
from netcheck.model.panel import Panel
from netcheck.model.vocabulary import WIRE_PHRASES
from netcheck.reading.make_units import SPELLINGS
from netcheck.reading.phrases import Group, Phrase
from netcheck.reading.project import gather
from netcheck.reading.slots import COLOURS, INSULATIONS
from netcheck.reading.units import SIZE_UNITS
from netcheck.text import Source

SORTS = (
    ("Where electricity comes from", sources),
    ("Supplies", supplies),
    ("Transformers", transformers),
    ("What protects and isolates", protection),
    ("What a hand or the process moves", switches),
    ("What a coil moves", relays),
    ("Electronic devices", electronics),
    ("Safety", safety),
    ("Loads", loads),
    ("Monitors and meters", monitors),
    ("Small parts", passive),
    ("Where wires meet", terminals),
    ("Anything else", generic),
)

SHARED = (
    ("what any coil says", COIL.properties),
    ("what any load says", LOADED),
    ("what any contact says", SWITCHED),
    ("what any device says", ANYWHERE),
)
"""Properties that many kinds share: written out once, and named elsewhere."""

PLACES = (
    "location pump house: outside\nlocation nutrient tank: outside\n"
    "location roof vent: outside\nlocation bed 4: outside\n"
)
"""The places that the examples of kinds speak of."""


def example_panel(kind: Kind) -> Panel:
    """The panel of one device that a kind's example describes; ValueError where it is none."""
    text = PLACES + kind.example
    gathered = gather("example", _Text(text))
    panel, mistakes = build_panel("example", gathered)
    if gathered.mistakes or mistakes:
        raise ValueError(f"{kind.example}: {(*gathered.mistakes, *mistakes)[0].message}")
    return panel


class _Text:
    """One text that includes nothing."""

    def __init__(self, text: str) -> None:
        self.text = text

    def load(self, path: str) -> Source:
        return Source(path, self.text)

    def resolve(self, included: str, from_path: str) -> str:
        raise CannotLoad("an example includes nothing")

    def project_file(self, path: str) -> Source | None:
        return None


# ---- kinds -------------------------------------------------------------------------------


def kinds_part() -> str:
    lines: list[str] = []
    for title, properties in reversed(SHARED):
        lines += [f"{title.capitalize()} of itself, where it applies:", ""]
        rest, names = _shared(properties, but=title)
        lines += [_said(phrase) for phrase in rest]
        lines += [*(f"- {name}" for name in names), ""]
    for title, module in SORTS:
        lines += [f"### {title}", ""]
        for kind in module.KINDS:
            lines += [*_kind(kind), ""]
    return "\n".join(lines).rstrip()


def _kind(kind: Kind) -> Iterator[str]:
    (device,) = example_panel(kind).devices.values()
    yield f"#### {kind.words}"
    yield ""
    yield "```panel kind"
    yield kind.example
    yield "```"
    yield ""
    yield kind.note
    yield f"Terminals here: {' '.join(mark_of(name) for name in device.terminals)}."
    yield ""
    own = kind.groups[0]
    rest, names = _shared(own.properties)
    yield from (_said(phrase) for phrase in rest)
    for group in kind.groups[1:]:
        yield _headed(group)
    yield from (f"- {name}" for name in names)


def _headed(group: Group) -> str:
    assert group.head is not None
    rest, names = _shared(group.properties)
    after = [*names, *(f"`{phrase.example}`" for phrase in rest)]
    return f"{_said(group.head)}; after it {', '.join(after)}" if after else _said(group.head)


def _said(phrase: Phrase) -> str:
    return f"- `{phrase.example}`: {phrase.note}"


def _shared(properties: Sequence[Phrase], but: str = "") -> tuple[list[Phrase], list[str]]:
    """The properties, and the names of whole shared sets among them, those taken out."""
    left, names = list(properties), []
    for name, known in SHARED:
        if name != but and all(phrase in left for phrase in known):
            names.append(name)
            left = [phrase for phrase in left if phrase not in known]
    return left, names


# ---- wires, units, states ------------------------------------------------------------------


def wires_part() -> str:
    return "\n".join(
        [
            *(_said(phrase) for phrase in WIRE_PHRASES),
            "",
            f"Colours: {_marked(sorted(COLOURS))}; two of them with a slash, `white/blue`.",
            "",
            "Insulations, and what they are rated for where the text does not say: "
            + ", ".join(f"`{name}` {degrees} degC" for name, degrees in INSULATIONS.items())
            + ".",
        ]
    )


def units_part() -> str:
    lines = [f"- {dimension}: {_marked(units)}" for dimension, units in SPELLINGS.items()]
    return "\n".join([*lines, f"- size of a conductor: {_marked(SIZE_UNITS)}"])


def states_part() -> str:
    """What can be said of a device in an intent or assumption, from the kinds' own examples."""
    said: dict[str, list[str]] = {}
    for kind in KINDS.values():
        states = _states(kind)
        if states:
            said.setdefault(states, []).append(kind.words)
    return "\n".join(f"- {', '.join(kinds)}: {states}" for states, kinds in said.items())


def _states(kind: Kind) -> str:
    panel = example_panel(kind)
    (device,) = panel.devices.values()
    found: list[str] = []
    for name in device.mechanisms:
        found += [
            position
            for index, position in enumerate(panel.mechanisms[name].positions)
            if index in panel.mechanisms[name].resting
        ]
    loaded = any(panel.parts[index].load is not None for index in device.parts)
    if loaded and not device.mechanisms:
        found = ["on", "off"]
    return ", ".join(f"`is {word}`" for word in dict.fromkeys(found))


def _marked(words: Iterable[str]) -> str:
    return ", ".join(f"`{word}`" for word in words)


# ---- the file ----------------------------------------------------------------------------

PARTS = {"kinds": kinds_part, "wires": wires_part, "units": units_part, "states": states_part}


def with_parts(reference: str) -> str:
    """The reference with every part between its markers written anew."""
    for name, part in PARTS.items():
        begin, end = f"<!-- {name}: made by netcheck.model.make_reference -->", f"<!-- {name} -->"
        pattern = re.compile(f"{re.escape(begin)}.*?{re.escape(end)}", re.DOTALL)
        places = pattern.findall(reference)
        if len(places) != 1:
            raise ValueError(f"the reference has {len(places)} places for {name}")
        reference = reference.replace(places[0], f"{begin}\n\n{part()}\n\n{end}")
    return reference


if __name__ == "__main__":
    path = Path(__file__).parents[2] / "grammar" / "reference.md"
    path.write_text(with_parts(path.read_text(encoding="utf-8")), encoding="utf-8")
