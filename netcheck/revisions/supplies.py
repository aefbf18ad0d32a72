"""What each load gets, before and now: volts, current, the thinnest wire, what protects it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from netcheck.case import Case
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrents
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.figure import figure
from netcheck.model.devices import Part, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.revisions.changes import Change
from netcheck.revisions.pairs import Pairs
from netcheck.states.behaviour import Behaviour
from netcheck.states.volts import kind_of, magnitude

Supply = Mapping[str, str]
"""What is said of one load, by what it is."""

BEHIND, AND = "behind ", " and "
WITHOUT_DEVICE = frozenset((Holds.UNKNOWN, Holds.NOTHING))


def supply_changes(pairs: Pairs, old: Case, new: Case) -> Iterator[Change]:
    """Of every load that both panels have."""
    before, now = _by_load(old), _by_load(new)
    names = {was: name for name, was in pairs.renamed.items()}
    told: set[Change] = set()
    for (device, marks), supply in now.items():
        was = before.get((pairs.device(device), marks))
        for what in sorted({*supply, *(was or {})}) if was is not None else ():
            old_words = _with_new_names((was or {}).get(what, ""), names)
            if old_words != supply.get(what, ""):
                label = device if _is_alone(new.panel, device) else f"{device} {marks}"
                change = Change("load", "changed", label, old_words, supply.get(what, "nothing"))
                if change not in told:
                    told.add(change)
                    yield change


def _by_load(case: Case) -> dict[tuple[str, str], Supply]:
    """By device and marks."""
    panel, behaviour = case.panel, case.conclude(Behaviour)
    protection = case.conclude(Protection)
    loads, paths = case.conclude(LoadCurrents).loads, case.conclude(CurrentPaths)
    numbers = {part.index: number for number, load in enumerate(loads) for part in load.parts}
    found: dict[tuple[str, str], Supply] = {}
    for part in panel.parts:
        if part.load is None or part.spare:
            continue
        supply = {}
        if volts := _volts(behaviour, part):
            supply["volts"] = volts
        if (number := numbers.get(part.index)) is not None:
            if not loads[number].unknown:
                supply["current"] = f"draws {figure(loads[number].current_a, 'A')}"
            if thinnest := _thinnest(panel, paths.wires_of(number)):
                supply["wire"] = f"fed over {thinnest}"
        if ahead := _ahead(protection, part):
            supply["protection"] = ahead
        found[part.device, f"{mark_of(part.a)}-{mark_of(part.b)}"] = supply
    return found


def _volts(behaviour: Behaviour, part: Part) -> str:
    """Every voltage that some way of feeding gives it, whether it is made for that or not."""
    found = {
        f"{figure(magnitude(feed.volts), 'V')} {kind_of(feed.volts)}"
        for feed in behaviour.feeds(part)
        if feed.volts
    }
    return f"gets {' or '.join(sorted(found))}" if found else ""


def _thinnest(panel: Panel, wires: Sequence[int]) -> str:
    """The smallest conductor of those a load draws through, as far as the text says sizes."""
    drawn = [panel.wires[wire].properties for wire in wires]
    sized = [(one.size, one.material or "") for one in drawn if one.size is not None]
    return " ".join(map(str, min(sized))).strip() if sized else ""


def _ahead(protection: Protection, part: Part) -> str:
    """What opens, or limits, on either side of it, in the way of feeding that holds least."""
    found = set()
    for terminal in (part.a, part.b):
        ahead = protection.worst(terminal)
        if ahead is not None and ahead.holds not in WITHOUT_DEVICE and not ahead.takes_home:
            found.add(f"{ahead.by} ({_held_to(protection, ahead)})")
    return _behind(found)


def _held_to(protection: Protection, ahead: Ahead) -> str:
    """Its own figure; on the other side of a transformer also what that is here."""
    amperes = figure(ahead.amperes, "A")
    match ahead.holds:
        case Holds.CLASS_2 | Holds.UNRATED:
            return "class 2" if ahead.holds is Holds.CLASS_2 else "rating not said"
        case Holds.LIMIT:
            return f"limits at {amperes}"
        case Holds.UPSTREAM:
            return f"{amperes} ahead of it"
        case Holds.RATIO:
            turned = f"{amperes} on this side of {device_of(ahead.pole)}"
            rated_a = protection.sections.rating_a_of(ahead.by)
            return turned if rated_a is None else f"{figure(rated_a, 'A')}, {turned}"
    return amperes


def _with_new_names(words: str, names: Mapping[str, str]) -> str:
    renamed = " ".join(names.get(word, word) for word in words.split(" "))
    if renamed.startswith(BEHIND):
        return _behind(renamed.removeprefix(BEHIND).split(AND))
    return renamed


def _behind(found: Collection[str]) -> str:
    """In the order of the names: of what is on either side of a load, neither comes first."""
    return f"{BEHIND}{AND.join(sorted(found))}" if found else ""


def _is_alone(panel: Panel, device: str) -> bool:
    return sum(panel.parts[index].load is not None for index in panel.devices[device].parts) == 1
