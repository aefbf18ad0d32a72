"""A device in the making: a kind's builder names terminals, parts, sources and mechanisms."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from netcheck.model.devices import (
    Conducts,
    Device,
    Drive,
    Load,
    Mechanism,
    Part,
    Plain,
    Rated,
    SourcePart,
    mark_of,
)
from netcheck.reading.conductor_size import ConductorSize
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.quantities import Quantity, SystemVoltage
from netcheck.reading.values import PhraseMistake, Rating, Value
from netcheck.record import draft, fresh, record, replace
from netcheck.text import Span

POSITIONS = {
    "button": (("released", "half pressed", "pressed"), ("release {}", "", "press {}")),
    "switch": (("off", "between", "on"), ("turn {} off", "", "turn {} on")),
    "emergency stop": (("reset", "half pushed", "pushed"), ("reset {}", "", "push {}")),
    "process": (("at rest", "between", "operated"), ("{} returns", "", "{} operates")),
    "overload": (("reset", "between", "tripped"), ("reset {}", "", "{} trips")),
    "protection": (("open", "closed"), ("open {}", "close {}")),
    "relay": (("out", "in"), ("{} drops out", "{} pulls in")),
    "latching relay": (("reset", "set"), ("{} resets", "{} sets")),
    "output": (("off", "on"), ("{} goes off", "{} goes on")),
    "source": (("absent", "present"), ("{} is lost", "{} comes on")),
}
"""For each sort of mechanism its positions' names and how each is reached."""

AT_REST = frozenset(names[0] for names, _ in POSITIONS.values())
"""Positions in which a thing is that nobody moves."""


@draft
class Made:
    """What all devices of a panel add up to while it is built."""

    parts: list[Part] = fresh(factory=list)
    sources: list[SourcePart] = fresh(factory=list)
    mechanisms: dict[str, Mechanism] = fresh(factory=dict)

    def forget(self, parts: int, sources: int, mechanisms: int) -> None:
        """Back to so many of each: a device that could not be built leaves nothing behind."""
        del self.parts[parts:]
        del self.sources[sources:]
        for name in list(self.mechanisms)[mechanisms:]:
            del self.mechanisms[name]


@record
class Kind:
    """One kind of device: what may be said of it, and how it is built from that.

    `example` is a statement of this kind, printed by the reference and tried by a test.
    """

    words: str
    groups: tuple[Group, ...]
    build: Build
    example: str
    note: str


Build = Callable[["Maker", Said], None]
"""Names the terminals of a device and the parts between them."""


class Maker:
    """Builds one device.  Terminals are made as they are first named, in that order."""

    def __init__(self, name: str, said: Sequence[Said], made: Made, *, iec: bool) -> None:
        self.name = name
        self.said = said
        self.own = said[0]
        self.iec = iec
        self._made = made
        self._terminals: dict[str, None] = {}
        self._parts: list[int] = []
        self._sources: list[int] = []
        self._mechanisms: list[str] = []
        self._switched: set[frozenset[str]] = set()
        self.values: dict[str, Plain] = {}

    # ---- what was said -----------------------------------------------------------------

    def groups(self, key: str) -> list[Said]:
        return [group for group in self.said if group.key == key]

    def group(self, key: str) -> Said | None:
        return next((group for group in self.said if group.key == key), None)

    def need(self, said: Said, key: str, what: str) -> Value:
        """A property that the kind cannot do without; PhraseMistake where it is missing."""
        value = said.value(key)
        if value is None:
            raise PhraseMistake(said.token or "", f"{self.name} says no {what}", f"say its {what}")
        return value

    def need_rating(self, said: Said, key: str = "rating") -> Rating:
        self.need(said, key, "voltage")
        rating = said.rating(key)
        assert rating is not None
        return rating

    def keep(self, said: Said, *keys: str) -> None:
        """Keep plain values of a group under their own keys."""
        for key in keys:
            value = said.value(key)
            if value is not None:
                self.values[key] = plain(value)

    def _keep_the_rest(self) -> None:
        """Nothing that is said of the device as a whole is dropped, built on or not."""
        for key, slots in self.own.properties.items():
            for name, value in plain_values(key, slots):
                self.values.setdefault(name, value)

    # ---- what it is made of ------------------------------------------------------------

    def terminal(self, mark: str) -> str:
        name = f"{self.name}:{mark}"
        self._terminals[name] = None
        return name

    def ends(self, marks: str) -> tuple[str, str]:
        """The two terminals of `13-14`; PhraseMistake where there are not two."""
        found = marks.split("-")
        if len(found) != 2 or found[0] == found[1]:
            raise PhraseMistake(
                marks,
                f"{self.name}: `{marks}` should be two different terminal marks",
                "write them with a hyphen between: `13-14`",
            )
        return self.terminal(found[0]), self.terminal(found[1])

    def part(
        self,
        role: str,
        a: str,
        b: str,
        conducts: Conducts,
        *,
        mechanism: str = "",
        closed: Iterable[int] = (),
        load: Load | None = None,
        said: Said | None = None,
    ) -> int:
        self._refuse_second(a, b, conducts)
        ratings = ratings_of(said) if said is not None else ()
        rating = said.value("rating") if said is not None else None
        channel = self._channel(said)
        part = Part(
            len(self._made.parts),
            self.name,
            role,
            a,
            b,
            conducts,
            mechanism,
            frozenset(closed),
            load,
            rating.volts if isinstance(rating, Rating) else None,
            rating.kind if isinstance(rating, Rating) else "",
            said.number("current") if said is not None else None,
            bool(said and said.has("spare")),
            ratings,
            said.number("least_a") if said is not None else None,
            channel,
            said_of(said) if said is not None and said is not self.own else (),
        )
        if ratings and part.current_a is None:
            first = ratings[0]
            part = replace(part, volts=first.volts, kind=first.kind, current_a=first.current_a)
        self._made.parts.append(part)
        self._parts.append(part.index)
        return part.index

    def _channel(self, said: Said | None) -> str:
        """A contact's own safety channel, or its device's."""
        own = said.value("channel") if said is not None else None
        return str(own or self.own.value("channel") or "")

    def _refuse_second(self, a: str, b: str, conducts: Conducts) -> None:
        """Two contacts, or a contact and a link, cannot share both their terminals."""
        if conducts not in (Conducts.CONTACT, Conducts.JOINS):
            return
        pair = frozenset((a, b))
        if pair in self._switched:
            marks = f"{mark_of(a)}-{mark_of(b)}"
            raise PhraseMistake(
                marks,
                f"{self.name} says twice what is between {mark_of(a)} and {mark_of(b)}",
                "every contact has terminals of its own",
            )
        self._switched.add(pair)

    def load(self, role: str, a: str, b: str, load: Load, said: Said | None = None) -> int:
        """A load between two terminals; `said` where it is not the device's own."""
        index = self.part(role, a, b, Conducts.LOAD, load=load)
        if said is not None and said is not self.own and said.properties:
            part = self._made.parts[index]
            self._made.parts[index] = replace(
                part, said=said_of(said), spare=said.has("spare"), channel=self._channel(said)
            )
        return index

    def joins(self, role: str, a: str, b: str, said: Said | None = None) -> int:
        return self.part(role, a, b, Conducts.JOINS, said=said)

    def frame(self) -> str:
        """The terminal for the equipment grounding conductor."""
        return self.terminal("PE")

    def mechanism(
        self,
        sort: str,
        drive: Drive,
        *,
        suffix: str = "",
        coils: tuple[int, ...] = (),
        gap: bool = False,
        start: Iterable[int] | None = None,
        positions: tuple[str, ...] = (),
    ) -> Mechanism:
        """A mechanism of one of the usual sorts, or with `positions` of its own (a selector)."""
        name = f"{self.name} {suffix}" if suffix else self.name
        if positions:
            names: tuple[str, ...] = positions
            steps = tuple(
                "" if position.startswith("between") else f"turn {name} to {position}"
                for position in positions
            )
        else:
            names, patterns = POSITIONS[sort]
            if len(names) == 3 and not gap:
                names, patterns = (names[0], names[2]), (patterns[0], patterns[2])
            steps = tuple(pattern.format(name) for pattern in patterns)
        resting = frozenset(i for i, step in enumerate(steps) if step)
        mechanism = Mechanism(
            name,
            self.name,
            drive,
            names,
            steps,
            resting,
            frozenset(resting if start is None else start),
            coils,
        )
        self._made.mechanisms[name] = mechanism
        self._mechanisms.append(name)
        return mechanism

    def source(self, poles: Mapping[str, complex], **known: object) -> int:
        source = SourcePart(self.name, poles, **known)  # type: ignore[arg-type]
        self._made.sources.append(source)
        self._sources.append(len(self._made.sources) - 1)
        return len(self._made.sources) - 1

    def finish(
        self,
        kind: str,
        description: str,
        span: Span,
        statement: Span,
        location: str,
        marks: frozenset[str],
    ) -> Device:
        self._keep_the_rest()
        if self.own.has("metal_housing"):
            self.frame()
        return Device(
            self.name,
            kind,
            description,
            span,
            statement,
            location,
            tuple(self._terminals),
            tuple(self._parts),
            tuple(self._sources),
            tuple(self._mechanisms),
            self.values,
            marks,
        )


IN_FIELDS = frozenset(
    "rating current power va resistance band phases frequency_hz polarised continuous diode "
    "suppressor spare channel least_a".split()
)
"""What parts and their loads have fields for."""


def said_of(said: Said, but: frozenset[str] = IN_FIELDS) -> tuple[tuple[str, Plain], ...]:
    """What is said of a part, `but` what its fields hold."""
    return tuple(
        found
        for key, slots in said.properties.items()
        if key not in but and not key.startswith("rated_at")
        for found in plain_values(key, slots)
    )


def plain_values(key: str, slots: Mapping[str, Value]) -> Iterator[tuple[str, Plain]]:
    """A phrase as devices and parts keep it: by its key, several slots by `key_slot`."""
    if not slots:
        yield key, True
    elif len(slots) == 1:
        yield key, plain(next(iter(slots.values())))
    else:
        for slot, value in slots.items():
            yield f"{key}_{slot}", plain(value)


def plain(value: Value) -> Plain:
    """A value as devices keep it: a quantity in its dimension's unit, a size as it is written."""
    if isinstance(value, Quantity):
        return value.value
    if isinstance(value, Rating):
        return value.volts
    if isinstance(value, SystemVoltage):
        return value.line_v
    if isinstance(value, ConductorSize):
        return value.text
    return float(value) if isinstance(value, int) else value


def ratings_of(said: Said) -> tuple[Rated, ...]:
    """`6 A at 250 V AC, 0.3 A at 110 V DC`."""
    found = []
    for key, slots in said.properties.items():
        rating, current = slots.get("rating"), slots.get("current")
        if (
            key.startswith("rated_at")
            and isinstance(rating, Rating)
            and isinstance(current, Quantity)
        ):
            duty = str(slots.get("duty", ""))
            found.append(Rated(current.value, rating.volts, rating.kind, duty))
    return tuple(found)


MARKS = {
    "spare": "not in use: it need not be connected",
    "always on": "nothing is meant to switch it off",
    "hazardous": "its motion or heat can hurt: stops must reach it",
    "not hazardous": "it cannot hurt, though it moves or heats",
    "jog": "runs only as long as it is held: no seal-in is missing",
    "restart allowed": "may start by itself when a stop is let go or power comes back",
    "live with the main off": "meant to stay live when the main is off",
    "safety-rated": "may be trusted with a stop",
}
"""Marks any device may bear; they decide verdicts and are never guessed."""

MARK_KEYS = {mark.replace(" ", "_"): mark for mark in MARKS}

ANYWHERE = (
    Phrase("place", "on {place:words}", "on door", "where it is"),
    Phrase("place", "at {place:words}", "at pump house", "where it is"),
    Phrase(
        "terminals_c",
        "terminals {terminals:temperature}",
        "terminals 75 degC",
        "what its terminals are marked for",
    ),
    Phrase(
        "accepts",
        "terminals {low:size} to {high:size}",
        "terminals 22 AWG to 10 AWG",
        "the wire its terminals take",
    ),
    Phrase(
        "wires_each",
        "{count:count} wires each terminal",
        "2 wires each terminal",
        "how many wires one terminal takes",
    ),
    Phrase("copper_only", "terminals for copper only", "terminals for copper only", "no aluminium"),
    Phrase(
        "aluminium_too",
        "terminals for copper and aluminium|aluminum",
        "terminals for copper and aluminium",
        "either metal",
    ),
    Phrase(
        "withstand_a",
        "{withstand:current} short-circuit rating",
        "5 kA short-circuit rating",
        "the short-circuit current it withstands",
    ),
    Phrase(
        "combination",
        "{rated:current} short-circuit rating behind {by:name}",
        "25 kA short-circuit rating behind CB1",
        "what it withstands together with that device",
    ),
    Phrase(
        "heat_w", "gives off {heat:power}", "gives off 8 W", "the heat it gives off where it stands"
    ),
    Phrase(
        "torque_nm",
        "torque {torque:torque}",
        "torque 7 lb-in",
        "what its terminals are tightened to",
    ),
    Phrase("type", "type {type:text}", 'type "RX-4"', "its maker's type"),
    Phrase(
        "metal_housing",
        "metal housing",
        "metal housing",
        "its housing is metal, with a terminal PE to ground it",
    ),
    Phrase(
        "safety_category",
        "safety category {category:count}",
        "safety category 3",
        "of the safety function it is part of",
    ),
    Phrase("channel", "channel {channel:name}", "channel A", "one of two safety channels"),
    *(Phrase(mark.replace(" ", "_"), mark, mark, note) for mark, note in MARKS.items()),
)
"""Phrases that every kind of device takes."""

EXCLUSIVE = (
    ("hazardous", "not_hazardous"),
    ("isolated", "common"),
    ("grounded", "floating", "watched", "ungrounded", "bonded"),
)
"""Of each of these only one can be so."""


def refuse_contradictions(said: Said, what: str) -> None:
    if len(said.properties) < 2:
        return
    for rivals in EXCLUSIVE:
        both = [key for key in rivals if said.has(key)]
        if len(both) > 1:
            tokens = sorted((said.tokens[key] for key in both), key=lambda t: (t.line, t.column))
            words = [key.replace("_", " ") for key in both]
            raise PhraseMistake(
                tokens[-1],
                f"{what} is said to be both {words[0]} and {words[1]}",
                "only one of them can be so",
            )
