"""What somebody saw and read at the panel, a line each:

M1 does not run with S2 pressed
K1 is in with S2 pressed and FL1 operated
everything is off                           # or: nothing works
K1 drops out when S2 is released            # it was in while that was held
H1 glows dim
CB3 trips when K2 pulls in
wire 204 not seen                           # or seen, or different from the text
CB3 is not tripped                          # nor FU1 blown
K1:A1 to K1:A2 0 V with S2 pressed          # red lead, black lead
PLC1:I0 is dark with FL1 operated           # the lamp of an input, its controller working
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from math import inf
from typing import TypeGuard

from netcheck.bench.input_lamps import input_levels
from netcheck.bench.readings import Reading
from netcheck.bench.said_otherwise import plainly, why_not
from netcheck.model.devices import Device, device_of
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.supposed import position_in_words, positions_in, suppose
from netcheck.model.wire_names import wire_in_words
from netcheck.reading.near import did_you_mean
from netcheck.record import record

OFF = (
    "does not run", "does not pull in", "does not work", "does not light", "does not heat",
    "does not start", "does not turn", "does not sound", "does not come on", "does nothing",
    "is off", "is out", "is dead", "is dark", "is silent", "is cold", "is not lit", "stays off",
    "does not stay in", "does not stay on", "does not hold",
    "stays out", "stays dark", "stays cold", "drops out", "stops", "stops by itself", "is not on",
    "is not in",
)  # fmt: skip
ON = (
    "runs", "works", "is on", "is in", "is lit", "stays on", "stays in", "does not stop",
    "does not drop out", "heats", "turns", "sounds", "comes on", "pulls in", "starts",
    "runs by itself", "starts by itself",
)  # fmt: skip
OPENS = (
    ("does not open", "stays shut", "stays closed"),
    ("opens", "stays open", "does not close", "does not shut"),
)
"""Off and on, of what opens while it is fed, as a valve does; of a relay nobody knows what is
meant, for one that does not open stays in."""
DIM = (
    "glows dim", "is dim", "runs slow", "runs weakly", "heats weakly", "hums", "chatters", "buzzes",
)  # fmt: skip
TRIPS = ("trips", "blows", "opens by itself")
KINDS = {"light": "lamp", "pump": "motor"}
"""Kinds of device in other words."""
NO_POWER = ("has no power", "gets no power", "has lost power", "goes off", "goes dark", "dies")
"""Of everything at once."""
LAMP_LIT, LAMP_DARK = ("is lit", "is on"), ("is dark", "is not lit", "is off", "is not on")
NOT_OPENED = (
    "is on", "is closed", "is not tripped", "has not tripped", "is whole", "is good",
    "is not blown", "has not blown",
)  # fmt: skip
FOUND_OPEN = ("is tripped", "has tripped", "is off", "is open", "is blown", "has blown")
EXAMPLES = "`M1 does not run with S2 pressed`, `K1:A1 to K1:A2 0 V with S2 pressed`"
MOST = 40

_READING = re.compile(
    r"(?P<red>[^\s:]+:\S+) to (?P<black>[^\s:]+:\S+)(?: reads)? "
    r"(?P<value>floats|(?P<figure>-?\d{1,6}(?:\.\d{1,6})?) (?P<unit>mV|V|kV)(?: (?P<kind>AC|DC))?)"
)
_TWO_POINTS = re.compile(r"[^\s:]+:\S+ to [^\s:]+:\S+(?: reads)?(?P<shown>.*)")
_EVERYTHING = re.compile(
    r"(?:(?P<all>everything|it all|all of it|the (?:whole )?panel"
    r"|all(?: (?:of )?(?:the )?(?P<kinds>(?!of |the )[a-z]+s)(?= (?:are|do|don)\b))?)"
    r"|nothing|none of it|no (?P<kind>[a-z]+?)s?) (?P<does>.+)",
    re.IGNORECASE,
)
_NO_POWER = re.compile(r"(?:there is )?no power(?: at all| anywhere)?", re.IGNORECASE)
_LATER = re.compile(r" (?:once|after|as soon as) ")
_LOOKED = re.compile(r"(?P<wire>wire .+?) (?:is )?(?P<look>seen|not seen|different)")
_UNITS = {"mV": 1e-3, "V": 1.0, "kV": 1e3}


@record
class Symptom:
    """A load or relay that is on, or is not, with these things put somewhere."""

    words: str
    device: str
    on: bool
    withs: tuple[str, ...]


@record
class Read:
    """What a meter showed.  `kind` is empty where the line says neither AC nor DC.  The lamp of an
    input tells no more than that its volts are within these, at both ends a meter's room."""

    words: str
    red: str
    black: str
    volts: float
    kind: str
    floats: bool
    withs: tuple[str, ...]
    within_v: tuple[float, float] | None = None

    def agrees(self, with_: Reading) -> bool:
        """Whether a meter may show this where that is expected; what floats may read nought."""
        if self.within_v is not None:
            return self.within_v[0] <= self._of_kind(with_) <= self.within_v[1]
        if self.floats or with_.floats:
            nought = self.floats or abs(self.volts) < 1.0
            return nought and (with_.floats or with_.is_nought)
        room = max(1.0, 0.1 * with_.size_v)
        return abs(self.volts_of(with_) - self.volts) <= room

    def volts_of(self, other: Reading) -> float:
        """What of another reading is to be held against this: its volts AC, DC or whatever is
        larger."""
        if self.kind == "AC":
            return other.ac_v
        return other.dc_v if self.kind == "DC" or self.volts < 0 else other.size_v

    def _of_kind(self, reading: Reading) -> float:
        """Volts of the kind that lights the lamp."""
        direct = abs(reading.dc_v) if self.kind != "AC" else 0.0
        return max(direct, reading.ac_v if self.kind != "DC" else 0.0)

    def agrees_within(self, with_: Sequence[Reading]) -> bool:
        """Whether it may be shown where anything between these is to be expected."""
        if any(self.agrees(one) for one in with_):
            return True
        if not with_ or self.floats or any(one.floats for one in with_):
            return False
        if self.within_v is not None:
            volts = [self._of_kind(one) for one in with_]
            return min(volts) <= self.within_v[1] and max(volts) >= self.within_v[0]
        values = [self.volts_of(one) for one in with_]
        return min(values) <= self.volts <= max(values)


@record
class Dim:
    """A load that gets some voltage and too little."""

    words: str
    device: str
    withs: tuple[str, ...]


@record
class Trips:
    """A breaker or fuse that opens by itself; `when` this relay pulls in, or as soon as there is
    power where it is empty."""

    words: str
    device: str
    when: str
    withs: tuple[str, ...]


Observation = Symptom | Read | Dim | Trips


def is_lamp(one: object) -> TypeGuard[Read]:
    """Whether it is the lamp of an input that was seen."""
    return isinstance(one, Read) and one.within_v is not None


class Look(StrEnum):
    """How a wire was found by looking."""

    SEEN = "seen"
    NOT_SEEN = "not seen"
    DIFFERENT = "different"


@record
class Looked:
    """A wire, by its number in the panel, that somebody looked at from end to end; or by its name
    a breaker or fuse, `seen` not to have opened."""

    words: str
    at: int | str
    look: Look


@record
class LetGo:
    """A load that is on while a `button` is held, and stays `on` once it is let go or does not."""

    words: str
    device: str
    button: str
    on: bool
    withs: tuple[str, ...]


@record
class Everything:
    """All loads that would be on with these things put somewhere, and are off; of one `kind` where
    that is said."""

    words: str
    withs: tuple[str, ...]
    kind: str = ""


Said = Observation | Looked | LetGo | Everything


def observation(panel: Panel, line: str) -> Said:
    """What one line says.  Raises NameMistake where it says nothing, of nothing there, or of
    something that is in two places at once."""
    found = _observation(panel, line)
    if not isinstance(found, Looked):
        suppose(panel, found.withs, ())
    return found


def _observation(panel: Panel, line: str) -> Said:
    said = " ".join(line.split())
    looked = _LOOKED.fullmatch(said)
    if looked is not None:
        wire = wire_in_words(panel.wires, looked["wire"])
        return Looked(said, wire.index, Look(looked["look"]))
    head, _, tail = said.partition(" with ")
    withs = positions_in(tail) if tail else ()
    for word in withs:
        position_in_words(panel, word)
    if ":" in head.partition(" ")[0]:  # at a terminal
        head, _, when = head.partition(" when ")
        withs = (*withs, *(_while(panel, head, when) if when else ()))
    reading = _READING.fullmatch(head)
    if reading is not None:
        red, black = (_terminal(panel, reading[side]) for side in ("red", "black"))
        if red == black:
            raise NameMistake(f"both leads are on {red}", "name two terminals")
        floats = reading["value"] == "floats"
        volts = 0.0 if floats else float(reading["figure"]) * _UNITS[reading["unit"]]
        return Read(said, red, black, volts, reading["kind"] or "", floats, withs)
    points = _TWO_POINTS.fullmatch(head)
    if points is not None:
        raise NameMistake(
            f"`{points['shown'].strip()}` is no voltage",
            "write one like `24 V DC`, `120 V AC`, `0 V`, `floats`; ohms and amperes are not taken",
        )
    name, _, does = head.partition(" ")
    if name == "wire":
        near = did_you_mean(does.split(" ")[-1], tuple(Look), "write one like `wire 204 seen`")
        raise NameMistake(f"`{head}` says nothing of a wire", near)
    device = panel.devices.get(name)
    if device is None and (_NO_POWER.fullmatch(head) or _EVERYTHING.fullmatch(head)):
        return _everything(panel, said, head, withs)
    if device is None and name.partition(":")[0] in panel.devices:
        _terminal(panel, name)
        of_controller = panel.devices[device_of(name)].kind == "controller"
        if of_controller and does in LAMP_LIT + LAMP_DARK:
            return _lamp(panel, said, name, does in LAMP_LIT, withs)
        raise NameMistake(f"{name} is a terminal", f"say what it reads, as in {EXAMPLES}")
    if device is None:
        near = did_you_mean(name, panel.devices, f"write one like {EXAMPLES}", 0.5)
        raise NameMistake(f"there is no device {name}", near)
    reason = why_not(name, device.kind, does)
    if reason:
        raise NameMistake(f"`{head}` is no symptom", reason)
    does, _, when = _LATER.sub(" when ", does, count=1).partition(" when ")
    does = plainly(does)
    if does in TRIPS:
        return Trips(said, _protection(panel, name), _pulling_in(panel, when), withs)
    if device.kind in ("breaker", "fuse"):
        return _protective(said, device, does)
    off, on = (OFF + OPENS[0], ON + OPENS[1]) if not _is_relay(panel, name) else (OFF, ON)
    if does in (*OPENS[0], *OPENS[1]) and _is_relay(panel, name):
        raise NameMistake(f"`{head}` may mean either", f"say `{name} is in` or `{name} is out`")
    every = off + on + DIM + TRIPS
    button = _let_go(panel, when)
    if when and does in every and not button:
        withs = (*withs, *_while(panel, head, when))
        when = ""
    if does not in every or (when and not button) or (button and does in DIM):
        raise NameMistake(
            f"`{head}` is no symptom", did_you_mean(does, every, f"write one like {EXAMPLES}")
        )
    if not any(panel.parts[index].load is not None for index in device.parts):
        raise NameMistake(f"{name} is no load: a symptom is of a load or a relay")
    if button:
        return LetGo(said, name, button, does in on, withs)
    return Dim(said, name, withs) if does in DIM else Symptom(said, name, does in on, withs)


def _everything(panel: Panel, said: str, head: str, withs: tuple[str, ...]) -> Everything:
    """`everything is off`, `nothing works when S2 is pressed`.  Raises NameMistake."""
    if not any(part.load is not None for part in panel.parts):
        raise NameMistake(f"`{head}`: the text has no load", "say what a meter reads")
    head, _, when = _LATER.sub(" when ", head, count=1).partition(" when ")
    withs = (*withs, *(_while(panel, head, when) if when else ()))
    found = _EVERYTHING.fullmatch(head)
    if found is None:  # no power
        return Everything(said, withs)
    kind = _kind_of(panel, head, (found["kinds"] or found["kind"] or "").lower())
    does = re.sub(r"^are\b", "is", found["does"].lower())
    does = re.sub(r"^(?:go|went|has gone|have gone)\b", "goes", does)
    does = re.sub(r"^(?:do not|don['\u2019]t)\b", "does not", does)
    does = plainly(does)
    off, on = (OFF + OPENS[0], ON + OPENS[1]) if kind == "valve" else (OFF, ON)
    wrong, right = (NO_POWER + off, on) if found["all"] else (_alike(on), off)
    if does in wrong:
        return Everything(said, withs, kind)
    if does in right or does in DIM:
        raise NameMistake(f"`{head}` tells of no load", f"name what is wrong, as in {EXAMPLES}")
    help = "write `everything is off`, `nothing works`, or name a load"
    raise NameMistake(f"`{head}` is no symptom", did_you_mean(does, wrong, help))


def _kind_of(panel: Panel, head: str, named: str) -> str:
    """The kind of device that `all lamps`, `no motor` speak of.  Raises NameMistake."""
    kind = KINDS.get(named.removesuffix("s"), named.removesuffix("s"))
    if kind in ("load", ""):
        return ""
    kinds = {panel.devices[part.device].kind for part in panel.parts if part.load is not None}
    if kind not in kinds:
        known = ", ".join(sorted(kinds))
        near = did_you_mean(kind, kinds, f"what takes current here: {known}")
        raise NameMistake(f"`{head}`: there is no {kind} here", near)
    return kind


def _alike(words: Iterable[str]) -> tuple[str, ...]:
    """`work` beside `works`: nothing works, no loads work."""
    return tuple(one for each in words for one in (each, each.removesuffix("s")))


def _lamp(panel: Panel, said: str, name: str, lit: bool, withs: tuple[str, ...]) -> Read:
    """The lamp of a controller's input.  Raises NameMistake."""
    parts = [panel.parts[index] for index in panel.devices[device_of(name)].parts]
    part = next((one for one in parts if one.role == "input" and name == one.a), None)
    if part is None:
        raise NameMistake(
            f"{name} is no input",
            f"an output's lamp shows what its program wants: say `with {name} on`",
        )
    if part.load is None or not part.load.volts:
        raise NameMistake(f"the text says no voltage for {name}", "say what a meter reads there")
    levels = input_levels(part)
    volts = part.load.volts if lit else 0.0
    within_v = (levels.off_v, inf) if lit else (0.0, levels.on_v)
    return Read(said, part.a, part.b, volts, part.load.kind, False, withs, within_v)


def _is_relay(panel: Panel, name: str) -> bool:
    return any(panel.mechanisms[one].moved_by_coil for one in panel.devices[name].mechanisms)


def _protective(said: str, device: Device, does: str) -> Looked:
    """A breaker or fuse that was looked at.  Raises NameMistake."""
    name = device.name
    opens = f"{name} {'blows' if device.kind == 'fuse' else 'trips'}"
    if does in NOT_OPENED:
        return Looked(said, name, Look.SEEN)
    if does in FOUND_OPEN:
        raise NameMistake(
            f"`{name} {does}` does not say when it opens",
            f"write `{opens}` or `{opens} when K2 pulls in`, and what has no power as off",
        )
    every = (*TRIPS, *NOT_OPENED)
    raise NameMistake(
        f"`{name} {does}` is no symptom", did_you_mean(does, every, f"write `{opens}`")
    )


def _while(panel: Panel, head: str, when: str) -> Iterator[str]:
    """`S2 is pressed` of `M1 does not run when S2 is pressed`.  Raises NameMistake."""
    for word in positions_in(when):
        try:
            position_in_words(panel, word)
        except NameMistake as mistake:
            help = "say what brings it there: `with S2 pressed`"
            raise NameMistake(f"`{head}` is no symptom: {mistake.message}", help) from None
        yield " ".join(said for said in word.split() if said != "is")


def _let_go(panel: Panel, when: str) -> str:
    """The button of `S2 is released`; nothing of anything else."""
    try:
        mechanism, position = position_in_words(panel, when.replace("let go", "released"))
    except NameMistake:
        return ""
    is_button = panel.devices[mechanism.device].kind == "button" and mechanism.held is None
    return mechanism.name if is_button and position == 0 else ""


def _protection(panel: Panel, name: str) -> str:
    mechanisms = panel.devices[name].mechanisms
    if panel.devices[name].kind not in ("breaker", "fuse") or not mechanisms:
        raise NameMistake(f"{name} is no breaker and no fuse", "only these trip on a short")
    return name


def _pulling_in(panel: Panel, when: str) -> str:
    """The relay of `K2 pulls in`; nothing of nothing."""
    if not when:
        return ""
    name, _, does = when.partition(" ")
    device = panel.devices.get(name)
    if device is None:
        near = did_you_mean(name, panel.devices, "name a relay or contactor", 0.5)
        raise NameMistake(f"there is no device {name}", near)
    coils = [one for one in device.mechanisms if panel.mechanisms[one].moved_by_coil]
    if not coils or does not in ("pulls in", "is in"):
        raise NameMistake(f"`{when}` is nothing to wait for", "write `when K2 pulls in`")
    return coils[0]


def _terminal(panel: Panel, text: str) -> str:
    name = text.partition(":")[0]
    if name not in panel.devices:
        raise NameMistake(f"there is no device {name}", did_you_mean(name, panel.devices, "", 0.5))
    terminals = panel.devices[name].terminals
    if text not in terminals:
        has = f"it has {', '.join(terminals[:8])}"
        raise NameMistake(f"{name} has no terminal {text}", did_you_mean(text, terminals, has))
    return text
