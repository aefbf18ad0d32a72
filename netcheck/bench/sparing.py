"""Would this spare do: another device in the place of one that is drawn, and what that changes.

The spare is the device's line as it would stand in the text.  Where it stands and what it is
there for (`at pump house`, `hazardous`) belong to the place, and are taken over where the
line does not say them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from netcheck.case import Case
from netcheck.facts.part_currents import PartCurrents
from netcheck.facts.sections import Sections
from netcheck.facts.source_loading import SourceLoading
from netcheck.facts.starting_currents import StartingCurrents
from netcheck.figure import figure
from netcheck.finding import SEVERITY_ORDER, Mistake, Place
from netcheck.loading import Loader
from netcheck.model.build import understood
from netcheck.model.devices import Device
from netcheck.model.maker import EXCLUSIVE
from netcheck.model.panel import Panel
from netcheck.reading import statements as say
from netcheck.reading.near import did_you_mean
from netcheck.reading.project import Gathered, replace_device
from netcheck.reading.syntax import logical_lines, read_statements
from netcheck.reading.values import PhraseMistake
from netcheck.record import record, replace
from netcheck.revisions.comparison import Comparison, Read, compare, read
from netcheck.revisions.findings import FindingChange
from netcheck.text import Source, Span

SPARE = "the spare"
"""What the line of the spare is called where a mistake in it is told."""
OF_THE_PLACE = frozenset(
    ("always on", "hazardous", "not hazardous", "jog", "restart allowed", "live with the main off")
)
"""Marks of what a device is there for; `safety-rated` is the device's own and is never lent."""
INRUSH = {
    "coil_inrush_va": "VA", "coil_inrush_a": "A", "inrush_va": "VA", "inrush_a": "A",
    "locked_a": "A",
}  # fmt: skip


class NoSpare(Exception):
    """The line is none that could stand in a device's place; `mistakes` say why."""

    def __init__(self, *mistakes: Mistake) -> None:
        super().__init__()
        self.mistakes = mistakes


@record
class Lacking:
    """A terminal that is wired and that the spare does not have, and what is wired to it where."""

    terminal: str
    wires: tuple[str, ...]
    places: tuple[Place, ...]


@record
class Figure:
    """A figure of the worst state that is another with the spare.  `before` is empty where there
    was none, `now` where there is none any more; `verb` stands before either."""

    of: str
    verb: str
    before: str
    now: str


@record
class Sparing:
    """The `line` in the place of `device`; `taken_over` are the words that it did not say.

    `unwired` are mistakes that the rest of the text makes of it, beside what it is `lacking`.
    """

    device: str
    line: str
    taken_over: tuple[str, ...]
    lacking: tuple[Lacking, ...]
    unwired: tuple[Mistake, ...]
    figures: tuple[Figure, ...]
    comparison: Comparison
    checks: int
    protects_at_a: tuple[float, float] | None = None
    """Of a protective device, what it carries for long: what stands there, and the spare."""

    @property
    def is_larger(self) -> bool:
        """Whether it opens later than what stands there: sound as the text may be with it, why it
        is no larger there is not in the text."""
        return self.protects_at_a is not None and self.protects_at_a[0] < self.protects_at_a[1]

    @property
    def worse(self) -> tuple[FindingChange, ...]:
        return tuple(one for one in self.comparison.findings if one.is_against_the_change)

    @property
    def fits(self) -> bool:
        """Whether every wire finds its terminal."""
        return not (self.lacking or self.unwired)

    @property
    def left_open(self) -> tuple[str, ...]:
        """What is open with it and was not, and loads of which it is not known."""
        undecided = [f"{one.name}: {one.reason}" for one in self.comparison.loads if one.reason]
        return (*self.comparison.left_open, *undecided)


def spared(path: str, loader: Loader, line: str, as_of: str = "") -> Sparing:
    """The panel at `path`, a text without mistakes, as it is and with the spare of `line` in it.

    Raises NoSpare, and CannotLoad.
    """
    spare, text = _asked(line)
    name = str(spare.name)
    old = read(path, loader, as_of)
    device = old.panel.devices.get(name)
    if device is None:
        near = did_you_mean(name, old.panel.devices, "name the device that it stands in for", 0.5)
        raise NoSpare(_mistake(f"there is no `{name}` in this panel", text, name, near))
    taken = tuple(_taken_over(device, spare))
    new = read(path, loader, as_of, _putting_in("; ".join((text, *taken))))
    own = [one for one in new.mistakes if one.place.span.path == SPARE]
    if own:
        raise NoSpare(*own)
    lacking = tuple(_lacking(old.panel, new.panel, name))
    lost = {(place.span.path, place.span.line) for one in lacking for place in one.places}
    others = (m for m in new.mistakes if (m.place.span.path, m.place.span.line) not in lost)
    compared = _without_the_unread(compare(name, old, new), new)
    figures = tuple(one for one in _apart(old.case, new.case, name) if one.now or not lacking)
    checks = new.review.checks
    stood, spare_a = (one.case.conclude(Sections).rating_a_of(name) for one in (old, new))
    return Sparing(
        name,
        text,
        taken,
        lacking,
        tuple(others),
        figures,
        compared,
        checks,
        None if stood is None or spare_a is None else (stood, spare_a),
    )


def _without_the_unread(compared: Comparison, new: Read) -> Comparison:
    """What is gone only because a line was not read is not gone."""
    if not new.mistakes:
        return compared
    told = tuple(one for one in compared.findings if one.kind != "gone")
    return replace(compared, findings=told)


# ---- the line ----------------------------------------------------------------------------------


def _asked(line: str) -> tuple[say.Device, str]:
    """The device, and its line without remark.  Raises NoSpare."""
    said = [text for _, text in logical_lines([" ".join(line.split())])]
    text = said[0] if said else ""
    reading = read_statements(Source(SPARE, text))
    if reading.mistakes:
        raise NoSpare(*reading.mistakes)
    one = reading.statements[0] if len(reading.statements) == 1 else None
    if not isinstance(one, say.Device):
        raise NoSpare(
            _mistake(
                "this is no device", text, text, "write its line: `fuse FU1 2 A`, with its own name"
            )
        )
    return one, text


def _mistake(message: str, text: str, words: str, help: str) -> Mistake:
    at = max(text.find(words), 0)
    return Mistake(message, Place(Span(SPARE, 1, at + 1, at + 1 + max(len(words), 1))), help)


def _taken_over(device: Device, spare: say.Device) -> Iterator[str]:
    """Words of the old line that belong to the place, unless the new one says the like.  Of one
    that cannot be understood none: its mistakes are told where it is read."""
    try:
        own = understood(spare)[1][0]
    except PhraseMistake:
        return
    if device.location != "panel" and not own.has("place"):
        yield f"{'on' if device.location == 'door' else 'at'} {device.location}"
    for mark in sorted(device.marks & OF_THE_PLACE):
        key = mark.replace(" ", "_")
        rivals = next((some for some in EXCLUSIVE if key in some), (key,))
        if not any(map(own.has, rivals)):
            yield mark


def _putting_in(line: str) -> Callable[[Gathered], None]:
    """Puts the line in place of the device's own, in an assembly for that one use of it only."""
    source = Source(SPARE, line)
    reading = read_statements(source)
    if reading.mistakes:
        raise NoSpare(*reading.mistakes)
    (spare,) = reading.statements
    assert isinstance(spare, say.Device)

    def put_in(gathered: Gathered) -> None:
        gathered.sources[SPARE] = source
        replace_device(gathered, spare)

    return put_in


# ---- what it lacks -----------------------------------------------------------------------------


def _lacking(old: Panel, new: Panel, name: str) -> Iterator[Lacking]:
    has = new.devices[name].terminals if name in new.devices else ()
    for terminal in old.devices[name].terminals:
        wires = old.wires_at.get(terminal, ())
        if wires and terminal not in has:
            told = tuple(old.wire_name(wire) for wire in wires)
            yield Lacking(terminal, told, tuple(Place(wire.span, terminal) for wire in wires))


# ---- figures -----------------------------------------------------------------------------------


_Told = Iterator[tuple[str, str, str]]
"""What a figure is of, the verb, and the amounts."""


def _apart(old: Case, new: Case, name: str) -> Iterator[Figure]:
    """Figures of the worst state that differ."""
    for told in (_inrush(name), _supplies, _poles):
        before = {(of, verb): amounts for of, verb, amounts in told(old)}
        now = {(of, verb): amounts for of, verb, amounts in told(new)}
        for key in dict.fromkeys((*now, *before)):
            if before.get(key) != now.get(key):
                yield Figure(*key, before.get(key, ""), now.get(key, ""))


def _supplies(case: Case) -> _Told:
    for one in case.conclude(SourceLoading).sources:
        needed, rated = figure(one.needed_a, "A"), figure(one.rated_a, "A")
        yield one.device.name, "gives at most", f"{needed} of {rated}"


def _poles(case: Case) -> _Told:
    """Of contacts and protective devices; nothing of what nothing draws through."""
    for one in case.conclude(PartCurrents).bounds:
        if one.most_a:
            most, rated = figure(one.most_a, "A"), figure(one.rated_a, "A")
            yield one.part.label, "carries at most", f"{most} of {rated}"


def _inrush(name: str) -> Callable[[Case], _Told]:
    """As the text says it of the device or of one of its loads, or by a motor's code letter."""

    def told(case: Case) -> _Told:
        device = case.panel.devices.get(name)
        if device is None:
            return
        for key, unit in INRUSH.items():
            parts = (case.panel.parts[index] for index in device.parts)
            for value in (device.number(key), *(part.number(key) for part in parts)):
                if value:
                    yield name, "takes as it goes on", figure(value, unit)
        if not device.number("locked_a") and device.values.get("code_letter"):
            for one in case.conclude(StartingCurrents).of.values():
                if one.load.device == name and not one.is_guess:
                    yield name, "takes as it goes on", _between(one.least_a, one.most_a)

    return told


def _between(least_a: float, most_a: float | None) -> str:
    """A current in words, A, of which the code letter gives a range."""
    least = figure(least_a, "A")
    return f"{least} or more" if most_a is None else f"{least} to {figure(most_a, 'A')}"


def worst_of(found: tuple[FindingChange, ...]) -> str:
    """`1 danger, 2 defects`."""
    counts = {
        severity: sum(one.finding.severity is severity for one in found)
        for severity in SEVERITY_ORDER
    }
    several = {"query": "queries", "defect": "defects", "danger": "dangers"}
    return ", ".join(
        f"{count} {severity.value if count == 1 else several[severity.value]}"
        for severity, count in counts.items()
        if count
    )
