"""Small control circuits made up at random, and what each of their lamps does, worked out here.

A scheme is a list of branches from the live pole to the neutral of one source: contacts in
parallel groups in series, then a load.  A load is a lamp or the coil of a relay without memory,
whose contact a later branch may use.  `lit` follows current over closed contacts by itself: it
shares no code with netcheck.
"""

from __future__ import annotations

import itertools
import random
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Contact:
    """Of a switch or relay, open at rest or closed at rest."""

    device: str
    closed_at_rest: bool


@dataclass(frozen=True)
class Branch:
    """Groups in series of contacts in parallel, and the load behind them."""

    load: str
    groups: tuple[tuple[Contact, ...], ...]


@dataclass(frozen=True)
class Scheme:
    switches: tuple[str, ...]
    branches: tuple[Branch, ...]

    @property
    def relays(self) -> list[str]:
        return [branch.load for branch in self.branches if branch.load.startswith("K")]


def made_up(seed: int) -> Scheme:
    dice = random.Random(seed)
    switches = tuple(f"S{number}" for number in range(1, dice.randint(3, 5)))
    branches: list[Branch] = []
    usable = list(switches)
    for number in range(1, dice.randint(3, 6)):
        load = f"K{number}" if dice.random() < 0.4 else f"H{number}"
        groups = tuple(
            tuple(
                Contact(dice.choice(usable), dice.random() < 0.4) for _ in range(dice.randint(1, 2))
            )
            for _ in range(dice.randint(1, 3))
        )
        branches.append(Branch(load, groups))
        if load.startswith("K"):
            usable.append(load)
    return Scheme(switches, tuple(branches))


def truth(scheme: Scheme) -> dict[str, tuple[bool, ...]]:
    """Of each load, whether it is on, for every position of the switches in turn."""
    found: dict[str, list[bool]] = {branch.load: [] for branch in scheme.branches}
    for pressed in itertools.product((False, True), repeat=len(scheme.switches)):
        moved = dict(zip(scheme.switches, pressed, strict=True))
        for branch in scheme.branches:  # a branch uses only relays of branches before it
            on = all(
                any(moved[contact.device] ^ contact.closed_at_rest for contact in group)
                for group in branch.groups
            )
            found[branch.load].append(on)
            moved[branch.load] = on
    return {load: tuple(values) for load, values in found.items()}


def written(scheme: Scheme, seed: int | None = None, size: str = "18 AWG") -> str:
    """The text; with a seed, its lines in another order and its chains drawn the other way."""
    dice = random.Random(seed) if seed is not None else None
    contacts: dict[str, list[str]] = {name: [] for name in (*scheme.switches, *scheme.relays)}
    lines = []
    for number, branch in enumerate(scheme.branches, 1):
        at = "E1:+"
        for place, group in enumerate(branch.groups, 1):
            wire = f"{number}{place}"
            ends = []
            for contact in group:
                pairs = contacts[contact.device]
                first = 10 * (len(pairs) + 1)
                kind = "closed" if contact.closed_at_rest else "open"
                marks = f"{first + 1}-{first + 2}"
                pairs.append(f"normally {kind} {marks} 60 V DC 4 A")
                lines.append([at, wire, f"{contact.device}:{first + 1}"])
                ends.append(f"{contact.device}:{first + 2}")
            for one, other in itertools.pairwise(ends):
                lines.append([one, f"{wire}9", other])
            at = ends[-1]
        load = f"{branch.load}:A1" if branch.load in scheme.relays else f"{branch.load}:X1"
        home = f"{branch.load}:A2" if branch.load in scheme.relays else f"{branch.load}:X2"
        lines += [[at, f"{number}8", load], [home, "200", "E1:0V"]]
    chains = [
        f"  {b} --{wire}-- {a}" if dice and dice.random() < 0.5 else f"  {a} --{wire}-- {b}"
        for a, wire, b in lines
    ]
    devices = [
        'edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"',
        *(
            f"button {name} {', '.join(contacts[name])}"
            for name in scheme.switches
            if contacts[name]
        ),
    ]
    for branch in scheme.branches:
        if branch.load in scheme.relays:
            used = "; ".join(["coil 24 V DC 1 W with diode", *contacts[branch.load]])
            devices.append(f"relay {branch.load} {used}")
        else:
            devices.append(f"lamp {branch.load} 24 V DC 2 W")
    if dice:
        dice.shuffle(devices)
        dice.shuffle(chains)
    head = f"wire kind control: {size} copper MTW 90 degC blue, 600 V insulation, 1 m"
    return "\n".join([head, *devices, 'circuit "Made up" in control', *chains]) + "\n"


def with_a_contact_swapped(scheme: Scheme, seed: int) -> Scheme:
    """One contact the other kind."""
    dice = random.Random(seed)
    number = dice.randrange(len(scheme.branches))
    branch = scheme.branches[number]
    at = dice.randrange(len(branch.groups))
    group = list(branch.groups[at])
    which = dice.randrange(len(group))
    group[which] = replace(group[which], closed_at_rest=not group[which].closed_at_rest)
    groups = (*branch.groups[:at], tuple(group), *branch.groups[at + 1 :])
    branches = list(scheme.branches)
    branches[number] = replace(branch, groups=groups)
    return replace(scheme, branches=tuple(branches))


def with_a_group_less(scheme: Scheme, seed: int) -> Scheme | None:
    """One load led past the last of its groups; None if no load has two."""
    dice = random.Random(seed)
    fit = [number for number, branch in enumerate(scheme.branches) if len(branch.groups) > 1]
    if not fit:
        return None
    number = dice.choice(fit)
    branches = list(scheme.branches)
    branches[number] = replace(branches[number], groups=branches[number].groups[:-1])
    return replace(scheme, branches=tuple(branches))
