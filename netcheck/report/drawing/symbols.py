"""Symbols, drawn for this program from the shapes the standards describe.

IEEE Std 315 in North American practice, IEC 60617 elsewhere; both from memory.  A symbol
stands on a wire at y = 0 between x = -18 and 18, where its leads begin.
"""

from __future__ import annotations

from netcheck.model.devices import Conducts, Device, Drive, Part
from netcheck.model.panel import Panel
from netcheck.report.drawing.figures import SMALL

HALF = 18.0
"""Half a symbol's width, where the leads begin."""
RISE = 13.0
"""How far it reaches above the wire, and below."""

PUSHED = frozenset(("button", "two-hand button", "enabling switch"))
MUSHROOM = frozenset(("emergency stop", "pull-cord switch"))
TURNED = frozenset(("selector", "switch", "key switch", "disconnect"))
SENSED = {
    "limit switch": "limit",
    "float switch": "float",
    "temperature switch": "heat",
    "pressure switch": "pressure",
    "flow switch": "flow",
}

BARS = "M-18 0H-5M5 0H18M-5 -9V9M5 -9V9"
SLASH = "M-10 9L10 -9"
ENDS = '<circle cx="-14" cy="0" r="2.6"/><circle cx="14" cy="0" r="2.6"/>'


def symbol(panel: Panel, device: Device, part: Part) -> str:
    """The SVG of one part, in the practice of the panel."""
    iec = panel.settings.practice.iec
    if part.conducts is Conducts.CONTACT:
        return _contact(panel, device, part, iec)
    if part.conducts is Conducts.ONE_WAY:
        return '<path d="M-18 0H-7M-7 -8V8L7 0ZM7 -8V8M7 0H18"/>'
    if part.load is not None:
        return _load(part, iec)
    return _joint(device, part, iec)


def _path(d: str) -> str:
    return f'<path d="{d}"/>'


def _letter(text: str) -> str:
    return f'<text class="s" x="0" y="{SMALL * 0.36:.1f}" font-size="{SMALL:g}">{text}</text>'


# ---- contacts --------------------------------------------------------------------------------


def _contact(panel: Panel, device: Device, part: Part, iec: bool) -> str:
    closed = 0 in part.closed
    mechanism = panel.mechanisms.get(part.mechanism)
    timed = mechanism is not None and mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY)
    output = mechanism is not None and mechanism.drive is Drive.OUTPUT
    if output:
        arrow = _path("M-7 5L7 -5M7 -5L2 -5M7 -5L5 0")
        return '<rect x="-18" y="-9" width="36" height="18"/>' + arrow
    if iec:
        return _iec_contact(device, part, closed, timed)
    if device.kind in PUSHED:
        bar = "M-17 3.6H17M0 3.6V-11M-6 -11H6" if closed else "M-17 -6H17M0 -6V-12M-6 -12H6"
        return ENDS + _path(bar)
    if device.kind in MUSHROOM:
        bar = "M-17 3.6H17M0 3.6V-8" if closed else "M-17 -5H17M0 -5V-9"
        return ENDS + _path(bar + "M-8 -7Q0 -16 8 -7Z")
    if device.kind in SENSED:
        arm = "M-12 1.5L17 3.4" if closed else "M-12 -1.5L15 -9"
        return ENDS + _path(arm) + _sense(SENSED[device.kind], 2.4 if closed else -5)
    if device.kind in TURNED:
        return ENDS + _path("M-12 -1L12 -1" if closed else "M-12 -1L12 -10")
    arrow = _path("M0 13V3M-3 6L0 3L3 6") if timed else ""
    return _path(BARS + (SLASH if closed else "")) + arrow


def _sense(what: str, y: float) -> str:
    """What works a switch, hung on its arm at height `y`."""
    match what:
        case "limit":
            return f'<path d="M2 {y:g}L10 {y - 1:g}L8 {y + 6:g}Z"/>'
        case "float":
            return f'<path d="M4 {y:g}V8"/><circle cx="4" cy="10" r="2.8"/>'
        case "heat":
            return f'<path d="M4 {y:g}V6H8V9H1V12.5"/>'
        case "pressure":
            return f'<path d="M4 {y:g}V8M-1 12A5 5 0 0 1 9 12Z"/>'
        case _:
            return f'<path d="M4 {y:g}V12H11L4 7"/>'


def _iec_contact(device: Device, part: Part, closed: bool, timed: bool) -> str:
    blade = "M-18 0H-10L12 5M10 0H18M10 0V7" if closed else "M-18 0H-10L9 -9M10 0H18"
    more = ""
    middle = 2.6 if closed else -4.8
    if device.kind in PUSHED:
        more = _path(f"M0 {middle:g}V-3M0 -6V-8M-5 -8V-11.5H5V-8")
    elif device.kind in MUSHROOM:
        more = _path(f"M0 {middle:g}V-3M0 -5V-7M-7 -7A7 6 0 0 1 7 -7Z")
    elif device.kind in TURNED:
        more = _path(f"M0 {middle:g}V-8M-5 -6V-8H5V-11")
    elif device.kind in SENSED:
        more = _sense(SENSED[device.kind], middle)
    elif timed:
        more = _path(f"M-1.5 {middle:g}V9M1.5 {middle:g}V9M-5 12A5 5 0 0 1 5 12")
    elif part.role == "main pole":
        more = _path("M10 0A3.4 3.4 0 0 1 10 -6.8")
    elif device.kind == "overload":
        more = '<rect x="-4" y="-12.5" width="8" height="5"/>' + _path(f"M0 {middle:g}V-7.5")
    return _path(blade) + more


# ---- loads -----------------------------------------------------------------------------------


def _load(part: Part, iec: bool) -> str:
    works = part.load.works if part.load else ""
    leads = _path("M-18 0H-12M12 0H18")
    ring = '<circle cx="0" cy="0" r="12"/>'
    match works:
        case "coil":
            box = '<rect x="-9" y="-13" width="18" height="26"/>'
            return box + _path("M-18 0H-9M9 0H18") if iec else ring + leads
        case "valve":
            if iec:
                valve = '<rect x="-9" y="-9" width="18" height="14"/>'
                return valve + _path("M-18 0H-9M9 0H18M-7 13L7 7V13L-7 7Z")
            return _path("M-18 0H-13L-10 -8L-5 8L0 -8L5 8L10 -8L13 0H18")
        case "lamp":
            cross = "M-8.5 -8.5L8.5 8.5M-8.5 8.5L8.5 -8.5"
            rays = "M-8.5 -8.5L-12 -12M8.5 -8.5L12 -12M-8.5 8.5L-12 12M8.5 8.5L12 12"
            return ring + leads + (_path(cross) if iec else _path(rays) + _letter("L"))
        case "horn":
            return _path("M-18 0H-12M-12 -7V7L12 12V-12ZM12 0H18")
        case "motor":
            return ring + leads + _letter("M")
        case "heater":
            body = '<rect x="-14" y="-6" width="28" height="12"/>'
            return body + _path("M-18 0H-14M14 0H18M-7 -6V6M0 -6V6M7 -6V6")
        case "resistor" if not iec:
            return _path("M-18 0H-14L-11 -6L-6 6L-1 -6L4 6L9 -6L12 0H18")
        case _:
            return '<rect x="-16" y="-9" width="32" height="18"/>' + _path("M-18 0H-16M16 0H18")


# ---- what joins ------------------------------------------------------------------------------


def _joint(device: Device, part: Part, iec: bool) -> str:
    match device.kind:
        case "fuse":
            body = '<rect x="-14" y="-5.5" width="28" height="11"/>'
            wave = _path("M-18 0H-14Q-7 -11 0 0T14 0H18")
            return body + _path("M-18 0H18") if iec else wave
        case "breaker":
            if iec:
                return _path("M-18 0H-10L9 -9M10 0H18M7 -3L13 3M7 3L13 -3")
            return ENDS + _path("M-15 -4.5Q0 -16 15 -4.5")
        case "disconnect":
            if iec:
                return _path("M-18 0H-10L9 -9M10 0H18M10 -5V5")
            return ENDS + _path("M-12 -1L11 -11")
        case "overload":
            if iec:
                return '<rect x="-13" y="-9" width="26" height="18"/>' + _path(
                    "M-18 0H-5V-5H5V0H18"
                )
            return _path("M-18 0H-12M-12 0A5 5 0 0 1 -2 0M2 0A5 5 0 0 0 12 0M-2 0H2M12 0H18")
        case _:
            return '<rect x="-16" y="-8" width="32" height="16"/>' + _path("M-18 0H18")
