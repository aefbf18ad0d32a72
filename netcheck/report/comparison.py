"""What a change does, as text, as JSON and for a merge request."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from netcheck import __version__
from netcheck.finding import Mistake
from netcheck.report.closing import CAUTION
from netcheck.report.markdown import MOST_CHARACTERS, plain, sentence
from netcheck.report.terminal import visible
from netcheck.revisions.changes import Change
from netcheck.revisions.comparison import Comparison
from netcheck.revisions.findings import KINDS, FindingChange
from netcheck.revisions.loads import LoadChange

SCHEMA = 1

OTHER_SUPPLY = " other volts, current, wire or protection"

MOST_SAME = 20
"""Panels that are the same and told by name."""

_Section = tuple[str, Sequence[str]]

SORTS = {
    "file": "files",
    "load": "what loads get",
    "device": "devices", "wire": "wires", "cable": "cables", "raceway": "raceways",
    "location": "locations", "panel": "panel", "assumption": "assumptions", "intent": "intents",
    "acceptance": "acceptances",
}  # fmt: skip


def render(compared: Sequence[Comparison], old: str, new: str) -> str:
    """As text for a person: what each panel's loads do otherwise first."""
    blocks = [f"from {visible(old)} to {visible(new)}"]
    for name, sections in _told(compared):
        lines = [visible(name)]
        for title, entries in sections:
            lines += ["", f"  {title.upper()}"] if title else [""]
            lines += [f"    {visible(line)}".rstrip() for line in entries]
        blocks.append("\n".join(lines))
    blocks.append("\n".join((closing_line(compared), *CAUTION)))
    return "\n\n".join(blocks) + "\n"


def render_markdown(compared: Sequence[Comparison], old: str, new: str) -> str:
    """For a merge request: a heading a panel, a list a section."""
    lines = ["## netcheck compare", "", f"From {plain(old)} to {plain(new)}.", ""]
    lines += [f"**{plain(closing_line(compared))}**"]
    room = MOST_CHARACTERS
    panels = list(_told(compared))
    for number, (name, sections) in enumerate(panels):
        told = ["", f"### {plain(name)}", ""]
        for title, entries in sections:
            told += [f"#### {title.capitalize()}", ""] if title else []
            told += [_item(entry) for entry in entries]
            told.append("")
        room -= sum(len(line) + 1 for line in told)
        if room < 0:
            lines += [
                "",
                f"{_counted(len(panels) - number, 'more is', 'more are')} not shown here.",
            ]
            break
        lines += told
    return "\n".join([*lines, "", *(f"> {words}" for words in CAUTION)]) + "\n"


def _told(compared: Sequence[Comparison]) -> Iterator[tuple[str, Iterable[_Section]]]:
    """A heading and sections for each panel that is another; those that are the same in one."""
    if len(compared) == 1:
        yield compared[0].name, sections_of(compared[0])
        return
    same = [one for one in compared if one.same]
    yield from ((one.name, sections_of(one)) for one in compared if not one.same)
    if same:
        names = [f"{one.name}: {_loads_of(one)}" for one in same[:MOST_SAME]]
        names += [f"and {len(same) - MOST_SAME} more"] * (len(same) > MOST_SAME)
        yield "The same as before", [("", names)]


def _loads_of(one: Comparison) -> str:
    return _counted(one.same_loads, "load", "loads") if one.same_loads else "no load"


def _item(entry: str) -> str:
    """An entry of a list; what is numbered below one has its number for a mark."""
    stripped = entry.lstrip()
    depth = (len(entry) - len(stripped)) // 2
    number, dot, words = stripped.partition(". ")
    if depth and dot and number.isdecimal():
        return f"{'  ' * depth}{number}. {sentence(words)}"
    return f"{'  ' * depth}- {sentence(stripped)}"


def closing_line(compared: Sequence[Comparison]) -> str:
    """The counts, in a sentence that never says more than was looked at."""
    if not compared:
        return "nothing to compare"
    if all(one.same for one in compared):
        same = sum(one.same_loads for one in compared)
        what = "same panel" if len(compared) == 1 else f"{len(compared)} panels, all the same"
        if not same:
            return f"{what}: there is no load to compare"
        loads = _counted(same, "load", "loads")
        return f"{what}: {loads} energised under the same conditions, proved"
    decided = sum(not load.reason for one in compared for load in one.loads)
    open = sum(bool(load.reason) for one in compared for load in one.loads)
    loads = _counted(decided, "load", "loads")
    parts = [f"{loads} energised under other conditions"]
    parts += [f"{open} not decided"] * bool(open)
    parts += [f"{sum(one.same_loads for one in compared)} proved the same"]
    drawn = sum(change.of != "load" for one in compared for change in one.changes)
    parts += [_counted(drawn, "change of the drawing", "changes of the drawing")]
    supplied = len({(one.name, c.name) for one in compared for c in one.changes if c.of == "load"})
    parts += [_counted(supplied, "load gets", "loads get") + OTHER_SUPPLY] * bool(supplied)
    parts += [f"findings: {', '.join(_counts_of_findings(compared))}"]
    skipped = sum(bool(one.not_compared) for one in compared)
    parts += [f"{_counted(skipped, 'panel', 'panels')} whose loads were not compared"] * bool(
        skipped
    )
    return "; ".join(parts)


def _counts_of_findings(compared: Sequence[Comparison]) -> Iterator[str]:
    """Those that are new, worse and gone in any case, of the others what there is."""
    kinds = [entry.kind for one in compared for entry in one.findings]
    for kind in KINDS:
        if kind in ("new", "worse", "gone") or kinds.count(kind):
            yield f"{kinds.count(kind)} {kind}"
    if accepted := sum(one.accepted for one in compared):
        yield f"{accepted} accepted in all"


def _counted(number: int, one: str, several: str) -> str:
    return f"1 {one}" if number == 1 else f"{number} {several}"


def sections_of(one: Comparison) -> Iterator[_Section]:
    if one.same:
        yield "", [f"same panel; {_proved(one)}"]
        return
    if one.alone:
        yield "", [f"this panel is {one.alone}"]
    if one.unread:
        told = *_mistakes("before", one.mistakes_before), *_mistakes("now", one.mistakes)
        yield "cannot read", told
    if one.failures:
        yield "netcheck itself failed", list(one.failures)
    if not one.alone:
        yield "loads", [*_loads(one)]
    for sort, title in SORTS.items():
        found = [_change(change) for change in one.changes if change.of == sort]
        if found:
            yield title, found
    if one.findings or one.kept or one.accepted:
        yield "findings", [*_findings(one)]
    if one.left_open:
        yield "left open now", list(one.left_open)


def _proved(one: Comparison) -> str:
    if not one.same_loads:
        return "no load is energised as before" if one.loads else "there is no load to compare"
    loads = "1 load is" if one.same_loads == 1 else f"{one.same_loads} loads are"
    return f"{loads} energised under the same conditions as before, proved"


def _mistakes(side: str, mistakes: Iterable[Mistake]) -> Iterator[str]:
    for one in mistakes:
        yield f"{side}: {one.place.span.path}, line {one.place.span.line}: {one.message}"


def _loads(one: Comparison) -> Iterator[str]:
    """Loads that one state tells apart stand together, with the steps once; then what is open."""
    together: dict[object, list[LoadChange]] = {}
    for load in one.loads:
        key = (load.reason, load.was, load.now, load.state, load.steps)
        together.setdefault(key, []).append(load)
    for loads in sorted(together.values(), key=lambda loads: bool(loads[0].reason)):
        yield from _group(loads)
    if one.not_compared:
        yield f"not compared: {one.not_compared}"
    else:
        yield _proved(one)


def _group(loads: Sequence[LoadChange]) -> Iterator[str]:
    first = loads[0]
    names = [f"`{load.name}`" for load in loads]
    listed = " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
    if first.reason:
        yield f"{listed}: not decided whether as before: {first.reason}"
        return
    is_, was_ = ("is", "it was") if len(loads) == 1 else ("are", "they were")
    state = ", ".join(f"{name} {position}" for name, position in first.state)
    at = f"with {state}" if state else "with everything at rest"
    yield f"{listed} {is_} {first.now} where {was_} {first.was}, {at}"
    yield from (f"  {number}. {step}" for number, step in enumerate(first.steps, 1))
    for load in loads:
        before = [line for line in load.when_before if line not in load.when_now]
        after = [line for line in load.when_now if line not in load.when_before]
        for word, lines in (("before", before), ("now", after)):
            yield from (f"  `{load.name}` {word}: {_account(line)}" for line in lines)


def _account(line: tuple[str, str]) -> str:
    return " ".join(part for part in line if part)


def _change(change: Change) -> str:
    name = f"`{change.name}`" if change.of in ("load", "device", "cable") else change.name
    match change.kind:
        case "renamed":
            return f"`{change.before}` is now called `{change.after}`"
        case "renumbered":
            return f"{change.before} is now {change.after}"
        case "re-routed":
            return f"{name} leads from {change.after}, was {change.before}"
        case "changed":
            return f"{name}: {change.after or 'nothing'}, was {_was(change)}"
    detail = change.after or change.before
    return f"{change.kind}: {name}{f', {detail}' if detail else ''}"


def _was(change: Change) -> str:
    """`draws 18.8 A, was 12.5 A`: of a load, the word that both begin with only once."""
    if change.of != "load" or not change.before:
        return change.before or "not said"
    verb = change.before.partition(" ")[0]
    return (
        change.before.removeprefix(f"{verb} ") if change.after.startswith(verb) else change.before
    )


def _findings(one: Comparison) -> Iterator[str]:
    for entry in one.findings:
        finding = entry.finding
        why = f" ({entry.why})" if entry.why else ""
        yield f"{entry.kind}: {finding.severity.value}, {finding.message}{why}"
    if one.kept:
        yield f"as before: {one.kept}"
    if one.accepted:
        yield f"accepted in all: {one.accepted}"


# ---- JSON ----------------------------------------------------------------------------------------


def render_json(compared: Sequence[Comparison], old: str, new: str) -> str:
    """As ASCII text that ends with a line end; comparison.schema.json says what is in it."""
    return json.dumps(document(compared, old, new), indent=2, allow_nan=False) + "\n"


def document(compared: Sequence[Comparison], old: str, new: str) -> dict[str, Any]:
    """The comparison as plain dictionaries and lists."""
    return {
        "schema": SCHEMA,
        "netcheck": __version__,
        "old": old,
        "new": new,
        "panels": [_panel(one) for one in compared],
        "closing": closing_line(compared),
        "caution": " ".join(CAUTION),
    }


def _panel(one: Comparison) -> dict[str, Any]:
    from netcheck.report.json import mistake_in_json

    return {
        "name": one.name,
        "same": one.same,
        "alone": one.alone,
        "loads": [_load_in_json(load) for load in one.loads],
        "same_loads": one.same_loads,
        "not_compared": one.not_compared,
        "changes": [
            {"of": c.of, "kind": c.kind, "name": c.name, "before": c.before, "after": c.after}
            for c in one.changes
        ],
        "findings": [_finding_in_json(entry) for entry in one.findings],
        "findings_kept": one.kept,
        "accepted": one.accepted,
        "left_open": list(one.left_open),
        "mistakes_before": [mistake_in_json(mistake) for mistake in one.mistakes_before],
        "mistakes": [mistake_in_json(mistake) for mistake in one.mistakes],
        "failures": list(one.failures),
    }


def _load_in_json(load: LoadChange) -> dict[str, Any]:
    return {
        "name": load.name,
        "verdict": "not decided" if load.reason else "other conditions",
        "was": load.was,
        "is": load.now,
        "state": dict(load.state),
        "steps": list(load.steps),
        "before": [_account(line) for line in load.when_before],
        "now": [_account(line) for line in load.when_now],
        "reason": load.reason,
    }


def _finding_in_json(entry: FindingChange) -> dict[str, Any]:
    finding = entry.finding
    return {
        "kind": entry.kind,
        "rule": finding.rule,
        "severity": finding.severity.value,
        "message": finding.message,
        "identity": finding.identity,
        "why": entry.why,
    }
