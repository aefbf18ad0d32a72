"""What is drawn otherwise: devices, wires, settings and sentences added, removed, changed.

The order of lines, the way a circuit is traced and where lines are broken are no difference.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from netcheck.model.devices import Device, Part, mark_of
from netcheck.model.panel import Panel, Settings
from netcheck.model.wires import Wire
from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record, replace
from netcheck.revisions.pairs import Pairs, ordered
from netcheck.text import Source

Sources = Mapping[str, Source]

UNITS = {"_m": "m", "_c": "degC", "_v": "V", "_a": "A", "_f_per_km": "F/km", "_hz": "Hz"}


@record
class Change:
    """One difference: of what sort of thing, what became of it, its name, and how it reads.

    `kind` is added, removed, renamed, renumbered, re-routed or changed; `before` and `after`
    are empty where there is nothing of it.
    """

    of: str
    kind: str
    name: str
    before: str = ""
    after: str = ""


def changes(pairs: Pairs, old: Sources, new: Sources) -> tuple[Change, ...]:
    """All of them: devices, wires, and what is said of the panel as a whole."""
    return (
        *_devices(pairs, old, new),
        *_wires(pairs),
        *_cables(pairs),
        *_settings(pairs),
        *_sentences(pairs),
    )


# ---- devices -----------------------------------------------------------------------------------


def _devices(pairs: Pairs, old: Sources, new: Sources) -> Iterator[Change]:
    kept = {pairs.device(name): name for name in pairs.new.devices}
    for name, device in pairs.old.devices.items():
        if name not in kept:
            yield Change("device", "removed", name, _said_of(device))
    for name, device in pairs.new.devices.items():
        was = pairs.device(name)
        if was not in pairs.old.devices:
            yield Change("device", "added", name, "", _said_of(device))
            continue
        if was != name:
            yield Change("device", "renamed", name, was, name)
        before = pairs.old.devices[was]
        now = _under_old_names(pairs, _meaning(pairs.new, device, was))
        if _meaning(pairs.old, before, was) != now:
            removed, added = _apart(_items(before, old), _items(device, new))
            if not (removed or added):
                removed, added = _values_apart(before, device)
            yield Change("device", "changed", name, ", ".join(removed), ", ".join(added))


def _said_of(device: Device) -> str:
    described = f' "{device.description}"' if device.description else ""
    return f"{device.kind}{described}"


def _meaning(panel: Panel, device: Device, name: str) -> tuple[object, ...]:
    """Everything known of a device, under the name given, apart from where it is written."""
    parts = sorted((_part(panel, panel.parts[index]) for index in device.parts), key=repr)
    sources = [
        (
            dict(s.poles), s.kind, s.basis.replace(device.name, name), s.frequency_hz,
            s.available_a, s.current_a, s.current_limited, s.class_2, s.fused_a,
            s.grounded_pole, s.grounding, s.volts, s.isolated,
        )
        for s in (panel.sources[index] for index in device.sources)
    ]  # fmt: skip
    mechanisms = [
        (m.drive, m.positions, m.resting, m.start)
        for m in (panel.mechanisms[each] for each in device.mechanisms)
    ]
    return (
        device.kind,
        device.description,
        device.location,
        dict(device.values),
        device.marks,
        sorted(mark_of(terminal) for terminal in device.terminals),
        parts,
        sources,
        mechanisms,
    )


def _under_old_names(pairs: Pairs, value: Any) -> Any:
    """A device may name others: what it is handle-tied with, what it stands for."""
    if not pairs.renamed:
        return value
    if type(value) is str:
        return _with_old_names(pairs, value)
    if isinstance(value, (tuple, list)):
        return type(value)(_under_old_names(pairs, one) for one in value)
    if isinstance(value, dict):
        return {key: _under_old_names(pairs, one) for key, one in value.items()}
    return value


def _part(panel: Panel, part: Part) -> tuple[object, ...]:
    _, _, output = part.mechanism.partition(" ")
    return (
        part.role, mark_of(part.a), mark_of(part.b), part.conducts, bool(part.mechanism), output,
        sorted(part.closed), part.load, part.volts, part.kind, part.current_a, part.spare,
        part.ratings, part.least_a, part.channel, part.said,
    )  # fmt: skip


def _items(device: Device, sources: Sources) -> list[str]:
    """What stands in a device's statement behind its name, item by item, blanks evened out."""
    source = sources.get(device.statement.path)
    if source is None:
        return []
    number, text = device.statement.line, ""
    while number <= len(source.lines):
        text += " " + without_remark(source.line(number)).strip()
        if not text.rstrip().endswith((",", ";")):
            break
        number += 1
    last = device.name.rpartition(".")[2]
    text = re.sub(rf'^.*?(?<![\w.]){re.escape(last)}\b(\s*"[^"]*")?', "", text.strip(), count=1)
    found = re.findall(r'(?:"[^"]*"|[^,;"])+', text)
    return [" ".join(item.split()) for item in found if item.strip()]


def without_remark(line: str) -> str:
    """A line up to its remark; a `#` between quotes begins none."""
    return re.match(r'(?:"[^"]*"|[^"#])*', line)[0]  # type: ignore[index]


def _apart(before: Sequence[str], after: Sequence[str]) -> tuple[list[str], list[str]]:
    return [one for one in before if one not in after], [one for one in after if one not in before]


def _values_apart(before: Device, after: Device) -> tuple[list[str], list[str]]:
    """For a device written out of an assembly: its text is the same, its settings are not."""
    old: list[str] = []
    new: list[str] = []
    if before.description != after.description:
        old.append(f'"{before.description}"')
        new.append(f'"{after.description}"')
    if before.location != after.location:
        old.append(f"at {before.location}")
        new.append(f"at {after.location}")
    for key in sorted({*before.values, *after.values}):
        if before.values.get(key) != after.values.get(key):
            for values, told in ((before.values, old), (after.values, new)):
                if key in values:
                    told.append(f"{key.replace('_', ' ')} {values[key]}")
    return old, new


# ---- wires -------------------------------------------------------------------------------------


@record
class _Drawn:
    """A wire and its ends, under the names the old panel had for them."""

    wire: Wire
    ends: tuple[str, str]


def _wires(pairs: Pairs) -> Iterator[Change]:
    old = [_Drawn(wire, ordered(wire.a, wire.b)) for wire in pairs.old.wires]
    new = [_Drawn(wire, pairs.ends(wire)) for wire in pairs.new.wires]
    together = pair_wires(old, new)
    renumbered: dict[tuple[str, str], int] = {}
    for a, b in together:
        before, after = a.wire, b.wire
        if a.ends != b.ends:
            yield Change("wire", "re-routed", after.label, _between(before), _between(after))
        if before.number != after.number:
            key = before.label, after.label
            renumbered[key] = renumbered.get(key, 0) + 1
        told = list(_properties_apart(pairs, before, after))
        if told:
            yield Change(
                "wire",
                "changed",
                pairs.new.wire_name(after),
                *map(", ".join, zip(*told, strict=True)),
            )
    for (was, now), count in renumbered.items():
        yield Change(
            "wire", "renumbered", now, was, now if count == 1 else f"{now} ({count} wires)"
        )
    paired = {id(drawn) for both in together for drawn in both}
    for drawn in old:
        if id(drawn) not in paired:
            yield Change("wire", "removed", drawn.wire.label, _between(drawn.wire))
    for drawn in new:
        if id(drawn) not in paired:
            yield Change("wire", "added", drawn.wire.label, "", _between(drawn.wire))


def pair_wires(old: Sequence[_Drawn], new: Sequence[_Drawn]) -> list[tuple[_Drawn, _Drawn]]:
    """Each wire with what it was: same ends and number, then ends, then number and one end."""
    found: list[tuple[_Drawn, _Drawn]] = []
    left, come = list(old), list(new)
    keys = (
        lambda drawn: [(drawn.ends, drawn.wire.number)],
        lambda drawn: [drawn.ends],
        lambda drawn: [(end, drawn.wire.number) for end in drawn.ends if drawn.wire.number],
    )
    for key in keys:
        known: dict[object, list[_Drawn]] = {}
        for drawn in left:
            for one in key(drawn):
                known.setdefault(one, []).append(drawn)
        taken: set[int] = set()
        rest = []
        for drawn in come:
            fits = [
                other
                for one in key(drawn)
                for other in known.get(one, ())
                if id(other) not in taken
            ]
            if fits:
                taken.add(id(fits[0]))
                found.append((fits[0], drawn))
            else:
                rest.append(drawn)
        left, come = [drawn for drawn in left if id(drawn) not in taken], rest
    return found


def drawn_pairs(pairs: Pairs) -> list[tuple[Wire, Wire]]:
    """The wires of both panels that are the same wire, old and new."""
    old = [_Drawn(wire, ordered(wire.a, wire.b)) for wire in pairs.old.wires]
    new = [_Drawn(wire, pairs.ends(wire)) for wire in pairs.new.wires]
    return [(a.wire, b.wire) for a, b in pair_wires(old, new)]


def _between(wire: Wire) -> str:
    return " to ".join(ordered(wire.a, wire.b))


def _properties_apart(pairs: Pairs, before: Wire, after: Wire) -> Iterator[tuple[str, str]]:
    if pairs.device(after.cable) != before.cable:
        yield f"cable {before.cable or 'none'}", f"cable {after.cable or 'none'}"
    for name in before.properties.__match_args__:
        old, new = getattr(before.properties, name), getattr(after.properties, name)
        if old != new:
            yield _said(name, old), _said(name, new)


def _said(name: str, value: object) -> str:
    unit = next((unit for ending, unit in UNITS.items() if name.endswith(ending)), "")
    ending = next((ending for ending in UNITS if name.endswith(ending)), "")
    words = name.removesuffix(ending).replace("_", " ")
    if value is None:
        return f"no {words}"
    if isinstance(value, ConductorSize):
        return value.text
    if isinstance(value, bool):
        return words if value else f"not {words}"
    if isinstance(value, float):
        return f"{words} {value:g} {unit}".strip()
    return f"{words} {value}"


# ---- the panel as a whole ----------------------------------------------------------------------


def _cables(pairs: Pairs) -> Iterator[Change]:
    for sort, old, new in (
        ("cable", pairs.old.cables, pairs.new.cables),
        ("raceway", pairs.old.raceways, pairs.new.raceways),
        ("location", pairs.old.places, pairs.new.places),
    ):
        for name in {**old, **new}:
            before, after = old.get(name), new.get(name)
            if before is None:
                yield Change(sort, "added", name)
            elif after is None:
                yield Change(sort, "removed", name)
            else:
                told = list(_fields_apart(before, after))
                if told:
                    yield Change(sort, "changed", name, *map(", ".join, zip(*told, strict=True)))


def _settings(pairs: Pairs) -> Iterator[Change]:
    plain = (replace(one.settings, rules=(), chosen=()) for one in (pairs.old, pairs.new))
    for before, after in _fields_apart(*plain):
        yield Change("panel", "changed", "settings", before, after)
    was, now = (_rules_chosen(one.settings) for one in (pairs.old, pairs.new))
    for name in sorted(was | now):
        if was.get(name) != now.get(name):
            yield Change("panel", "changed", name, was.get(name, "asked"), now.get(name, "asked"))


def _rules_chosen(settings: Settings) -> dict[str, str]:
    """What a project file and the text choose of rules, by `rule ...` and `family ...`."""
    return {
        f"{'family' if one.of_family else 'rule'} {one.name}": one.choice for one in settings.rules
    }


def _fields_apart(before: object, after: object) -> Iterator[tuple[str, str]]:
    """Fields of two records that are not equal, spans left out."""
    for name in before.__match_args__:  # type: ignore[attr-defined]
        old, new = getattr(before, name), getattr(after, name)
        if old == new or name in ("span", "unread"):
            continue
        if hasattr(old, "__match_args__") and type(old) is type(new) and name == "properties":
            yield from _fields_apart(old, new)
        else:
            yield _said(name, old), _said(name, new)


def _sentences(pairs: Pairs) -> Iterator[Change]:
    for sort, old, new in (
        ("assumption", _assumed(pairs.old), _assumed(pairs.new)),
        ("intent", _intended(pairs.old), _intended(pairs.new)),
        ("acceptance", _accepted(pairs.old), _accepted(pairs.new)),
    ):
        renamed = {_with_old_names(pairs, words): words for words in new}
        for words in old:
            if words not in renamed and words not in new:
                yield Change(sort, "removed", words)
        for known, words in renamed.items():
            if known not in old and words not in old:
                yield Change(sort, "added", words)


def _assumed(panel: Panel) -> list[str]:
    locked = [" and ".join(group) for group in panel.interlocks]
    opposing = [" and ".join(group) for group in panel.opposing]
    return [
        *(one.words for one in panel.assumptions),
        *(f"mechanical interlock {words}" for words in locked),
        *(f"opposing {words}" for words in opposing),
    ]


def _intended(panel: Panel) -> list[str]:
    from netcheck.model.claims import describe_claim

    return [
        f"{describe_claim(one.claim)}{f', {one.proviso}' if one.proviso else ''}"
        for one in panel.intents
    ]


def _accepted(panel: Panel) -> list[str]:
    return [
        f"{one.rule} on {', '.join([*one.devices, *(f'wire {wire}' for wire in one.wires)])}"
        f": {one.reason}{f' until {one.until}' if one.until else ''}"
        for one in panel.acceptances
    ]


def _with_old_names(pairs: Pairs, words: str) -> str:
    return re.sub(r"[\w.]+", lambda found: pairs.device(found[0]), words)
