"""Findings in words: what several rules say in the same way."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from netcheck.facts.breaks import Break, Kind
from netcheck.facts.conductor_drops import VoltageDrop
from netcheck.facts.defeated_stops import DefeatedStop
from netcheck.facts.improper_returns import ImproperReturn
from netcheck.facts.intents import IntentVerdict
from netcheck.facts.load_feeds import LoadFeed
from netcheck.facts.open_paths import OpenPath, OpenQuestion, devices_of, names_of
from netcheck.facts.opposing_pairs import OpposingPair
from netcheck.facts.restarts import Restart, Trigger
from netcheck.facts.shorts import Short
from netcheck.figure import figure
from netcheck.finding import Finding, NotDecided, Outcome, Place, Working
from netcheck.model.claims import describe_claim
from netcheck.model.devices import Conducts, Drive, Mechanism, Part, device_of, mark_of
from netcheck.model.maker import AT_REST
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, name_of, told
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Volts, kind_of, magnitude
from netcheck.states.stress import Stress
from netcheck.states.witness import tell
from netcheck.text import Span

if TYPE_CHECKING:
    from netcheck.model.faults import Fault


def volts_in_words(volts: Volts) -> str:
    """`24 V DC`."""
    return f"{figure(magnitude(volts), 'V')} {kind_of(volts)}".strip()


def lagging(drop: VoltageDrop) -> Iterator[Working]:
    """The power factor at which a load's conductors were solved, where it is no 1 that is said."""
    if drop.exact and drop.lag and not drop.unsaid:
        how = "as described; ohms are R cos + X sin, NEC chapter 9 table 9 note 2"
        yield Working(f"power factor of {drop.load.name}", math.cos(drop.lag), "", how)


def lag_assumed(drop: VoltageDrop) -> tuple[str, ...]:
    """What power factor was taken where none is said."""
    names = [load.name for load in drop.unsaid]
    return (f"{listed(names)} at the power factor that loses most",) if names else ()


def listed(names: Sequence[str], most: int = 4) -> str:
    """`K1`, `K2` and 18 more."""
    shown = [f"`{name}`" for name in names]
    if len(shown) > most:
        shown = [*shown[: most - 1], f"{len(shown) - most + 1} more"]
    return " and ".join(filter(None, (", ".join(shown[:-1]), shown[-1])))


def named(panel: Panel, part: Part) -> str:
    """`K1 13-14`; an input or output by its own mark, `PLC1 I2`."""
    if part.conducts is Conducts.CONTACT and len(panel.parts_at.get(part.a, ())) == 1:
        if len(panel.parts_at.get(part.b, ())) == 1:
            return part.label
        return f"{part.device} {mark_of(part.a)}"
    if part.conducts is Conducts.CONTACT and len(panel.parts_at.get(part.b, ())) == 1:
        return f"{part.device} {mark_of(part.b)}"
    return part.label if part.conducts is Conducts.CONTACT else f"{part.device} {mark_of(part.a)}"


def never_together(panel: Panel, contacts: Sequence[Part]) -> str:
    """Contacts of a path that no reachable state closes at once, and why where it is plain."""
    if len(contacts) == 1:
        return f"`{contacts[0].label}` is never closed while its source is live"
    names = listed([part.label for part in contacts], most=6)
    mechanisms = {part.mechanism for part in contacts}
    if len(mechanisms) > 1:
        return f"{names} are never closed together"
    mechanism = panel.mechanisms[mechanisms.pop()]
    wanted = dict.fromkeys(_positions(mechanism, part.closed) for part in contacts)
    cannot = f"`{mechanism.name}` cannot be {' and '.join(wanted)} at once"
    return f"{names} are never closed together, for {cannot}"


def _positions(mechanism: Mechanism, indexes: frozenset[int]) -> str:
    """`HAND or AUTO`; positions that are only passed through are not said."""
    return " or ".join(
        mechanism.positions[index] for index in sorted(indexes) if index in mechanism.resting
    )


def break_in_words(panel: Panel, broken: Break, load: LoadFeed) -> str:
    """What stands between the source's side of a dead load's path and home."""
    match broken.kind:
        case Kind.NO_WIRE:
            return _no_wire(broken, load)
        case Kind.ON_GROUND:
            return (
                f"`{broken.last if broken.home else broken.first}` is on the grounding conductor, "
                f"which does not lead to `{broken.poles[0]}`"
            )
        case Kind.BOTH_ENDS:
            if all(part.a == part.b for part in load.parts):
                return "it is open inside"
            number = f", wire {broken.number}" if broken.number else ""
            return f"both its ends are on one node{number}"
        case Kind.ONE_POLE:
            return f"both its ends lead to `{broken.poles[1]}`, neither to `{broken.poles[2]}`"
        case Kind.OTHER_SOURCE:
            there = f"`{broken.poles[0]}` and `{broken.poles[1]}`"
            return f"it stands between {there}, with no way from one source to the other"
        case Kind.CONTACTS:
            return never_together(panel, broken.parts)
        case Kind.ONE_WAY:
            return f"`{broken.parts[0].label}` conducts only the other way"
        case Kind.WAITING:
            return _waiting(panel, broken)
        case Kind.NO_SOURCE:
            return "no source is described"
    return "no reachable state closes its path"


def _no_wire(broken: Break, load: LoadFeed) -> str:
    if len(broken.poles) == 2:
        ends = [end for part in load.parts[:1] for end in (part.a, part.b)]
        return f"neither `{ends[0]}` nor `{ends[1]}` leads to a source"
    if broken.number:
        return (
            f"wire {broken.number} at `{broken.last}` and wire {broken.number} at "
            f"`{broken.first}` are not joined"
        )
    if broken.home:
        return f"nothing leads home from `{broken.last}` to `{broken.first}`"
    return f"nothing leads from `{broken.last}` to `{broken.first}`"


def _waiting(panel: Panel, broken: Break) -> str:
    if not broken.parts:
        return "it waits for itself"
    part = broken.parts[0]
    position = panel.mechanisms[part.mechanism].positions[1]
    return f"it waits for `{part.label}`, which closes only once `{part.device}` is {position}"


def open_path_finding(
    panel: Panel, open_path: OpenPath, said: str, dead: str, why: str = ""
) -> Finding:
    """A break: `said` is what it keeps dead, in words, `dead` the same of one load alone.

    `why` stands where the break itself is not told in the usual words.
    """
    broken, loads, waiting = open_path.broken, open_path.loads, open_path.waiting
    contacts = [part.label for part in broken.parts]
    related = [Place(panel.devices[name].span, dead) for name in devices_of(loads)]
    related += [Place(panel.devices[name].span, "waits for it") for name in devices_of(waiting)]
    devices = (*devices_of((*loads, *waiting)), *(part.device for part in broken.parts))
    return Finding(
        f"{said}: {why or break_in_words(panel, broken, loads[0])}",
        Place(span_of(panel, broken.at), _break_label(broken)),
        devices=tuple(dict.fromkeys(devices)),
        wires=(broken.at.number,) if isinstance(broken.at, Wire) and broken.at.number else (),
        condition=" ".join(filter(None, (broken.kind, broken.last, broken.first, *contacts))),
        related=tuple(related),
        path=broken.path,
        help=BREAK_HELP[broken.kind],
    )


def dead_relays(panel: Panel, open_path: OpenPath) -> str:
    """`K2` never pulls in, so `K2 13-14` never closes and `H2` is never energised."""
    said: dict[str, list[str]] = {}
    for load in open_path.loads:
        said.setdefault(_never(panel, load), []).append(load.device)
    follows = list(_frozen(panel, open_path.loads))
    waiting = names_of(open_path.waiting)
    if waiting:
        follows.append(f"{listed(waiting)} {'is' if len(waiting) == 1 else 'are'} never energised")
    so = f", so {in_words(follows)}" if follows else ""
    return in_words(f"{listed(names)} {_agree(verb, names)}" for verb, names in said.items()) + so


def _never(panel: Panel, load: LoadFeed) -> str:
    """What a coil never does, being dead, of one relay."""
    device = panel.devices[load.device]
    if device.kind in ("solid-state relay", "soft starter"):
        return "never turns on"
    for name in device.mechanisms:
        mechanism = panel.mechanisms[name]
        if mechanism.drive is Drive.LATCH:
            return "is never set" if load.parts[0].index == mechanism.coils[0] else "is never reset"
    return "never pulls in"


def _agree(verb: str, names: Sequence[str]) -> str:
    several = {"never turns on": "never turn on", "never pulls in": "never pull in"}
    return several.get(verb, verb.replace("is ", "are ", 1)) if len(names) > 1 else verb


def _frozen(panel: Panel, coils: Sequence[LoadFeed]) -> Iterator[str]:
    """What the contacts that are wired never do; those of a latching relay may be either way."""
    moved = {
        mechanism.name
        for mechanism in panel.mechanisms.values()
        if mechanism.drive is not Drive.LATCH
        and any(load.parts[0].index in mechanism.coils for load in coils)
    }
    contacts = [
        part
        for part in panel.parts
        if part.mechanism in moved and {part.a, part.b} <= panel.wires_at.keys()
    ]
    for does, at in (("closes", 1), ("opens", 0)):
        labels = [part.label for part in contacts if part.closed == {at}]
        if labels:
            yield f"{listed(labels)} never {does if len(labels) == 1 else does[:-1]}"


def open_path_undecided(panel: Panel, question: OpenQuestion, whether: str) -> NotDecided:
    names = listed(names_of(question.loads))
    return NotDecided(
        f"whether {names} {whether}: {question.reason}",
        Place(span_of(panel, question.loads[0].parts[0])),
        devices_of(question.loads),
    )


def _break_label(broken: Break) -> str:
    if broken.kind is Kind.CONTACTS and len(broken.parts) > 1:
        return "this contact would have to be closed too"
    if broken.kind is Kind.NO_WIRE and isinstance(broken.at, Part):
        return "the path ends here"
    return BREAK_LABELS.get(broken.kind, "the path ends beyond this")


BREAK_LABELS = {
    Kind.CONTACTS: "never closed",
    Kind.BOTH_ENDS: "this joins both its ends",
    Kind.ONE_POLE: "this comes to the pole its other end is on",
    Kind.OTHER_SOURCE: "this comes to another source",
    Kind.ONE_WAY: "conducts the other way",
    Kind.WAITING: "closed only once the load is energised",
    Kind.NO_SOURCE: "nothing feeds it",
    Kind.NOT_SHOWN: "its path is closed in no state",
}
BREAK_HELP = {
    Kind.NO_WIRE: "complete the path with the wire that is missing",
    Kind.ON_GROUND: "bring the load home by a circuit conductor",
    Kind.BOTH_ENDS: "give each end of the load a node of its own, or take away the wire across it",
    Kind.ONE_POLE: "bring one of its ends to the other pole",
    Kind.OTHER_SOURCE: "bring the load home to the source that feeds it",
    Kind.CONTACTS: "look for the contact that is of the wrong kind or landed on the wrong terminal",
    Kind.ONE_WAY: "turn it round",
    Kind.WAITING: "put what starts it beside this contact, not in series with it",
    Kind.NO_SOURCE: "describe the source, or an edge where the description begins",
    Kind.NOT_SHOWN: "follow its path and see which positions it asks for",
}


def in_words(names: Iterable[str]) -> str:
    """`B1, B2 and B3`."""
    *firsts, last = [*names] or [""]
    return f"{', '.join(firsts)} and {last}" if firsts else last


def span_of(panel: Panel, by: Wire | Part) -> Span:
    """Where a wire or a part's device is written: in its circuit line if it stands in one."""
    if isinstance(by, Wire):
        return by.span
    drawn = panel.chain_spans.get(by.index)
    return drawn if drawn is not None else panel.devices[by.device].span


def written_at(panel: Panel, by: Wire | Part) -> tuple[int, int]:
    """Line and column, by which what is written last is found."""
    span = span_of(panel, by)
    return span.line, span.column


def when(panel: Panel, path: tuple[Passed, ...], state: dict[str, str]) -> str:
    """What must be operated for the contacts on a path: ` when S2 is pressed and K1 is in`.

    A latching relay and what has positions of the text's own are never merely at rest.
    """
    said: dict[str, None] = {}
    for passed in path:
        by = passed.by
        if isinstance(by, Part) and by.mechanism in state:
            mechanism = panel.mechanisms[by.mechanism]
            position = state[by.mechanism]
            if mechanism.drive is Drive.LATCH or position not in AT_REST:
                said[f"{by.mechanism} is {position}"] = None
    return f" when {' and '.join(said)}" if said else ""


def devices_on(path: tuple[Passed, ...]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for passed in path:
        if isinstance(passed.by, Part):
            found[passed.by.device] = None
    return tuple(found)


def wires_on(panel: Panel, path: tuple[Passed, ...]) -> tuple[str, ...]:
    wires = (passed.by for passed in path if isinstance(passed.by, Wire))
    return tuple(dict.fromkeys(panel.called(wire) for wire in wires))


def short_finding(panel: Panel, short: Short, help: str) -> Finding:
    state = dict(short.witness.state)
    volts = volts_in_words(short.volts)
    related = tuple(
        Place(panel.devices[name].span, "this source is short-circuited") for name in short.sources
    )
    cause = name_of(panel, short.cause)
    others = in_words(f"`{name}`" for name in short.sources[1:])
    return Finding(
        f"`{short.start}` reaches `{short.end}`{f' through {others}' if others else ''}"
        f" with no load in the path{when(panel, short.path, state)}",
        Place(span_of(panel, short.cause), f"{cause} completes the path"),
        devices=tuple(dict.fromkeys((*short.sources, *devices_on((Passed("", "", short.cause),))))),
        wires=wires_on(panel, (Passed("", "", short.cause),)),
        condition=f"{short.start} to {short.end} through {cause}",
        related=related,
        live=f"{volts} from {in_words(short.sources)}",
        state=state,
        steps=short.witness.steps,
        path=told(panel, list(short.path), short.cause),
        help=help,
    )


def opposing_finding(
    panel: Panel, pair: OpposingPair, answer: Reached | None, said: str, why: str, help: str
) -> Finding:
    """Two contactors that pull opposite ways, and the state that shows what is said of them."""
    devices = (pair.first.device, pair.second.device)
    state, steps = dict[str, str](), tuple[str, ...]()
    if answer is not None:
        witness = tell(panel, answer)
        state, steps = dict(witness.state), witness.steps
    moved = " and ".join(
        f"{name} is {position}"
        for name, position in state.items()
        if panel.mechanisms[name].drive is not Drive.SOURCE
        and not panel.mechanisms[name].moved_by_coil
        and (
            panel.devices[panel.mechanisms[name].device].kind == "selector"
            or position != panel.mechanisms[name].positions[0]
        )
    )
    return Finding(
        f"`{devices[0]}` and `{devices[1]}`{said}{f' when {moved}' if moved else ''}{why}",
        Place(panel.devices[devices[1]].span, "pulls the other way"),
        devices=devices,
        condition=f"{pair.first.name} against {pair.second.name}",
        related=(Place(panel.devices[devices[0]].span, "pulls one way"),),
        state=state,
        steps=steps,
        help=help,
    )


def improper_return_finding(panel: Panel, found: ImproperReturn, help: str) -> Finding:
    """A load whose current comes home by ground, from the source that sends it and back."""
    state = dict(found.witness.state)
    name, device = found.load.name, found.load.device
    way = f"by `{found.pole}`" if found.pole else "by grounding conductors alone"
    at = found.leaves.by
    contacts = tuple(passed for passed in found.path if isinstance(passed.by, Part))
    return Finding(
        f"`{name}` sends the current of `{found.sent_by}` home {way}{when(panel, contacts, state)}",
        Place(span_of(panel, at), "here it leaves its own circuit's conductors"),
        devices=tuple(dict.fromkeys((device, *([device_of(found.pole)] if found.pole else [])))),
        wires=wires_on(panel, (found.leaves,)),
        condition=f"{found.sent_by} home by {found.pole or 'ground'}",
        related=(Place(panel.devices[found.sent_by].span, "this source sends the current"),),
        live=f"{volts_in_words(found.volts)} from {found.sent_by}",
        state=state,
        steps=found.witness.steps,
        path=told(panel, list(found.path), at),
        help=help,
    )


def intent_finding(panel: Panel, verdict: IntentVerdict, place: Place, help: str) -> Finding:
    """An intent that is not met: by which fault, in which state, with what it keeps on."""
    intent, witness, shown, fault = verdict.intent, verdict.witness, verdict.shown, verdict.fault
    how = f": {verdict.outcome}"
    if fault is not None:
        race = f" {verdict.outcome}" if verdict.outcome.startswith("a race") else ""
        how = f" with `{fault.words}`{race and ':'}{race}"
    if verdict.also:
        how += f"; the same with {listed([one.words for one in verdict.also])}"
    path = list(shown.path) if shown is not None else []
    at = next((passed for passed in path if _is_of(passed, fault)), None)
    devices = dict.fromkeys([shown.load.device] if shown is not None else [])
    if fault is not None:
        devices.update(dict.fromkeys(panel.parts[index].device for index in fault.parts))
        if fault.mechanism:
            devices[panel.mechanisms[fault.mechanism].device] = None
    wires = [w for w in panel.wires if fault is not None and w.index in fault.wires]
    return Finding(
        f"intent `{intent.title}` is not met{how}",
        place,
        devices=tuple(devices),
        wires=tuple(panel.called(wire) for wire in wires),
        condition=f"{describe_claim(intent.claim)} {intent.proviso}".strip(),
        state=dict(witness.state) if witness is not None else {},
        steps=witness.steps if witness is not None else (),
        path=told(panel, path, at.by if at is not None else None),
        help=help,
    )


def _is_of(passed: Passed, fault: Fault | None) -> bool:
    return fault is not None and isinstance(passed.by, Part) and passed.by.index in fault.parts


def stress_finding(panel: Panel, stress: Stress, help: str) -> Finding:
    """A contact or pole that meets what it is not rated for."""
    part, volts = stress.part, volts_in_words(stress.volts)
    state = dict(stress.witness.state) if stress.witness else {}
    rated = " and ".join(
        f"{figure(rated, 'V')} {kind}".strip() for rated, kind in dict.fromkeys(stress.ratings)
    )
    if stress.to_ground:
        meets = f"meets {volts} to ground"
    elif stress.witness:
        meets = f"has {volts} across it while it is open"
    else:
        meets = f"may have to break {volts}"
    return Finding(
        f"`{part.label}`, rated for {rated}, {meets}{when(panel, stress.path, state)}",
        Place(span_of(panel, part), "this is not rated for it"),
        devices=(part.device,),
        condition=f"{part.role} {stress.excess}",
        related=(Place(panel.devices[part.device].span, "rated here"),),
        live=volts,
        state=state,
        steps=stress.witness.steps if stress.witness else (),
        path=told(panel, list(stress.path), part),
        working=(
            Working(f"{part.label} is rated for", rated, "", "as described"),
            Working(f"{part.label} meets", magnitude(stress.volts), "V", "nominal volts"),
        ),
        help=help,
    )


def restarts_told(panel: Panel, restarts: Sequence[Restart], help: str) -> Iterator[Outcome]:
    """Loads that start by themselves, told once for each operation that starts them."""
    groups: dict[tuple[tuple[str, int], ...], list[Restart]] = {}
    for one in restarts:
        groups.setdefault(one.moved, []).append(one)
    for group in groups.values():
        first = group[0]
        place = Place(panel.devices[first.load.device].span, f"starts when {first.trigger}")
        undecided = next((one for one in group if isinstance(one.answer, Undecided)), None)
        certain = [one for one in group if isinstance(one.answer, Reached)]
        if certain:
            yield _restart_finding(panel, certain, place, help)
        elif undecided is not None and isinstance(undecided.answer, Undecided):
            reason = f"whether `{undecided.load.name}` starts by itself: {undecided.answer.reason}"
            yield NotDecided(reason, place, (undecided.load.device,))


def _restart_finding(panel: Panel, group: Sequence[Restart], place: Place, help: str) -> Finding:
    first = group[0]
    assert isinstance(first.answer, Reached)
    witness = tell(panel, first.answer)
    steps = [_moved_step(panel, name, position) for name, position in first.moved]
    follows = [f"{name} follows" for name in first.follows]
    others = len(group) - 1
    also = f" and {others} more load{'s' if others > 1 else ''}" if others else ""
    verb = "start" if others else "starts"
    by = f": {steps[0]}" if len(steps) == 1 else ""
    # Power returns with every source there is: one more would be no other finding.
    moved = [] if first.trigger is Trigger.POWER else [name for name, _ in first.moved]
    return Finding(
        f"`{first.load.name}`{also} {verb} by {'themselves' if others else 'itself'} when "
        f"{first.trigger}{by}",
        place,
        devices=tuple(
            dict.fromkeys(
                [one.load.device for one in group]
                + [panel.mechanisms[name].device for name in moved]
            )
        ),
        condition=" ".join(moved) or str(first.trigger),
        related=tuple(
            Place(panel.devices[one.load.device].span, "and this one") for one in group[1:]
        ),
        state=dict(witness.state),
        steps=(*witness.steps, *steps, *follows, f"{first.load.name} is on"),
        path=told(panel, list(first.path), first.load.parts[0]),
        help=help,
    )


def _moved_step(panel: Panel, name: str, position: int) -> str:
    return panel.mechanisms[name].steps[position]


def defeated_stops_told(
    panel: Panel, defeated: Sequence[DefeatedStop], help: str
) -> Iterator[Outcome]:
    """Stops that one fault defeats, with the fault's coming among the steps."""
    for one in defeated:
        stop = one.stop.device
        place = Place(stop.span, "no longer stops it")
        if isinstance(one.answer, Undecided):
            reason = f"whether one fault defeats `{stop.name}`: {one.answer.reason}"
            yield NotDecided(reason, place, (stop.name,))
            continue
        from netcheck.states.single_faults import with_fault_told

        broken = one.answer
        witness = tell(with_fault_told(panel, broken.fault), broken.reached)
        held = one.stop.mechanism.positions[one.stop.stopping]
        names = [load.name for load in one.loads.loads]
        others = len(broken.alike)
        alike = f" (or one of {others} others)" if others else ""
        yield Finding(
            f"{listed(names)} can run while `{stop.name}` is {held}, "
            f"once `{broken.fault.words}`{alike}",
            place,
            devices=(stop.name, *dict.fromkeys(load.device for load in one.loads.loads)),
            condition=one.stop.mechanism.name,
            state=dict(witness.state),
            steps=witness.steps,
            help=help,
        )
