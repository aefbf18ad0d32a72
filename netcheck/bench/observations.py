"""What somebody saw and read at the panel, a line each:

M1 does not run with S2 pressed
K1 is in with S2 pressed and FL1 operated
K1:A1 to K1:A2 0 V with S2 pressed          # red lead, black lead
"""

from __future__ import annotations

import re

from netcheck.bench.readings import Reading
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.supposed import position_in_words
from netcheck.reading.near import did_you_mean
from netcheck.record import record

OFF = (
    "does not run", "does not pull in", "does not work", "does not light", "does not heat",
    "does not open", "does not start", "is off", "is out", "is dead", "is not lit", "stays off",
    "stays out", "drops out",
)  # fmt: skip
ON = (
    "runs", "works", "is on", "is in", "is lit", "stays on", "stays in", "does not stop",
    "does not drop out", "heats", "pulls in", "starts",
)  # fmt: skip
EXAMPLES = "`M1 does not run with S2 pressed`, `K1:A1 to K1:A2 0 V with S2 pressed`"
MOST = 40

_READING = re.compile(
    r"(?P<red>[^\s:]+:\S+) to (?P<black>[^\s:]+:\S+)(?: reads)? "
    r"(?P<value>floats|(?P<figure>-?\d{1,6}(?:\.\d{1,6})?) (?P<unit>mV|V|kV)(?: (?P<kind>AC|DC))?)"
)
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
    """What a meter showed.  `kind` is empty where the line says neither AC nor DC."""

    words: str
    red: str
    black: str
    volts: float
    kind: str
    floats: bool
    withs: tuple[str, ...]

    def agrees(self, with_: Reading) -> bool:
        """Whether a meter may show this where that is expected; what floats may read nought."""
        if self.floats or with_.floats:
            nought = self.floats or abs(self.volts) < 1.0
            return nought and (with_.floats or with_.is_nought)
        room = max(1.0, 0.1 * abs(self.volts), 0.1 * with_.size_v)
        expected = with_.dc_v if self.kind == "DC" else with_.ac_v if self.kind == "AC" else None
        if expected is None:
            expected = with_.dc_v if self.volts < 0 else with_.size_v
        return abs(expected - self.volts) <= room


Observation = Symptom | Read


def observation(panel: Panel, line: str) -> Observation:
    """What one line says.  Raises NameMistake where it says nothing, or of nothing there."""
    said = " ".join(line.split())
    head, _, tail = said.partition(" with ")
    withs = tuple(word for word in re.split(r", (?:and )?| and ", tail) if word)
    if tail and not withs:
        raise NameMistake(f"`{line}` says no position after `with`", f"write one like {EXAMPLES}")
    for word in withs:
        position_in_words(panel, word)
    reading = _READING.fullmatch(head)
    if reading is not None:
        red, black = (_terminal(panel, reading[side]) for side in ("red", "black"))
        floats = reading["value"] == "floats"
        volts = 0.0 if floats else float(reading["figure"]) * _UNITS[reading["unit"]]
        return Read(said, red, black, volts, reading["kind"] or "", floats, withs)
    name, _, does = head.partition(" ")
    device = panel.devices.get(name)
    if device is None:
        near = did_you_mean(name, panel.devices, f"write one like {EXAMPLES}", 0.5)
        raise NameMistake(f"there is no device {name}", near)
    if does not in OFF + ON:
        raise NameMistake(
            f"`{head}` is no symptom", did_you_mean(does, OFF + ON, f"write one like {EXAMPLES}")
        )
    if not any(panel.parts[index].load is not None for index in device.parts):
        raise NameMistake(f"{name} is no load: a symptom is of a load or a relay")
    return Symptom(said, name, does in ON, withs)


def _terminal(panel: Panel, text: str) -> str:
    name = text.partition(":")[0]
    if name not in panel.devices:
        raise NameMistake(f"there is no device {name}", did_you_mean(name, panel.devices, "", 0.5))
    terminals = panel.devices[name].terminals
    if text not in terminals:
        has = f"it has {', '.join(terminals[:8])}"
        raise NameMistake(f"{name} has no terminal {text}", did_you_mean(text, terminals, has))
    return text
