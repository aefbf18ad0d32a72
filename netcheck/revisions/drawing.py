"""What is drawn otherwise: devices, wires, settings and sentences added, removed, changed.

The order of lines, the way a circuit is traced and where lines are broken are no difference.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from netcheck.model.devices import Device, Part, mark_of
from netcheck.model.panel import Panel, Settings
from netcheck.model.wires import Cable, Place, Raceway
from netcheck.record import replace
from netcheck.revisions.changes import Change
from netcheck.revisions.pairs import Pairs
from netcheck.revisions.values import fields_apart, in_a_row, told
from netcheck.revisions.whereabouts import Whereabouts, whereabouts
from netcheck.revisions.wires import wire_changes, wire_pairs
from netcheck.text import Source

Sources = Mapping[str, Source]


def changes(pairs: Pairs, old: Sources, new: Sources) -> tuple[Change, ...]:
    """All of them: devices, wires, and what is said of the panel as a whole."""
    together = wire_pairs(pairs)
    where = whereabouts(pairs, together)
    return (
        *_devices(pairs, where, old, new),
        *wire_changes(pairs, together, where),
        *_cables(pairs, where),
        *_settings(pairs),
        *_sentences(pairs),
    )


# ---- devices -----------------------------------------------------------------------------------


def _devices(pairs: Pairs, where: Whereabouts, old: Sources, new: Sources) -> Iterator[Change]:
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
        now = _under_old_names(pairs, _meaning(pairs.new, device, was, where.places))
        if _meaning(pairs.old, before, was, {}) != now:
            removed, added = _apart(_items(before, old), _items(device, new))
            if not (removed or added):
                removed, added = _values_apart(before, device)
            yield Change("device", "changed", name, ", ".join(removed), ", ".join(added))


def _said_of(device: Device) -> str:
    described = f' "{device.description}"' if device.description else ""
    return f"{device.kind}{described}"


def _meaning(
    panel: Panel, device: Device, name: str, places: Mapping[str, str]
) -> tuple[object, ...]:
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
        places.get(device.location, device.location),
        _at_old_places(device.values, places),
        device.marks,
        sorted(mark_of(terminal) for terminal in device.terminals),
        parts,
        sources,
        mechanisms,
    )


def _at_old_places(values: Mapping[str, Any], places: Mapping[str, str]) -> dict[str, Any]:
    place = str(values.get("place"))
    return {**values, "place": places[place]} if place in places else dict(values)


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
    whole, last = re.escape(device.name), re.escape(device.name.rpartition(".")[2])
    text = re.sub(rf'^.*?(?<![\w.])({whole}|{last})\b(\s*"[^"]*")?', "", text.strip(), count=1)
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
            for values, words in ((before.values, old), (after.values, new)):
                if key in values:
                    words.append(told(key, values[key]))
    return old, new


# ---- the panel as a whole ----------------------------------------------------------------------


def _cables(pairs: Pairs, where: Whereabouts) -> Iterator[Change]:
    for sort, old, new, names in (
        ("cable", pairs.old.cables, pairs.new.cables, where.cables),
        ("raceway", pairs.old.raceways, pairs.new.raceways, where.raceways),
        ("location", pairs.old.places, pairs.new.places, where.places),
    ):
        for name in old:
            if name not in new and name not in names.values():
                yield Change(sort, "removed", name)
        for name, after in new.items():
            was = names.get(name, name)
            if was != name:
                yield Change(sort, "renamed", name, was, name)
            before = old.get(was)
            if before is None:
                yield Change(sort, "added", name)
            elif apart := list(fields_apart(before, _under_old_names_of(after, was, where))):
                yield Change(sort, "changed", name, *in_a_row(apart))


def _under_old_names_of(
    thing: Cable | Raceway | Place, name: str, where: Whereabouts
) -> Cable | Raceway | Place:
    if isinstance(thing, Cable):
        return replace(thing, name=name, properties=where.properties(thing.properties))
    if isinstance(thing, Raceway):
        return replace(thing, name=name, place=where.places.get(thing.place or "", thing.place))
    return replace(thing, name=name)


def _settings(pairs: Pairs) -> Iterator[Change]:
    plain = (replace(one.settings, rules=(), chosen=()) for one in (pairs.old, pairs.new))
    for before, after in fields_apart(*plain):
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
