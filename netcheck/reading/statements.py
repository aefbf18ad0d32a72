"""What one statement of a panel's text says, still in the words it was written in.

A token is a piece of the text with its place; `Origin` turns a token's place
within its statement into a place in the source.
"""

from __future__ import annotations

from dataclasses import dataclass

from lark import Token

from netcheck.text import Span

Item = tuple[Token, ...]
"""Words between two commas."""
Facet = tuple[Item, ...]
"""Items between two semicolons."""
Facets = tuple[Facet, ...]


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a statement stands: its source, and the line its first character is on."""

    path: str
    first_line: int

    def span(self, token: Token) -> Span:
        return Span(
            self.path,
            self.first_line + (token.line or 1) - 1,
            token.column or 1,
            token.end_column or (token.column or 1) + len(token),
        )

    @property
    def start(self) -> Span:
        return Span(self.path, self.first_line, 1, 2)


@dataclass(frozen=True, slots=True)
class Panel:
    origin: Origin
    keyword: Token
    name: Token | None
    title: Token


@dataclass(frozen=True, slots=True)
class Setting:
    origin: Origin
    keyword: Token
    items: Facet


@dataclass(frozen=True, slots=True)
class Location:
    origin: Origin
    words: Item
    facets: Facets


@dataclass(frozen=True, slots=True)
class Include:
    origin: Origin
    file: Token


@dataclass(frozen=True, slots=True)
class Device:
    origin: Origin
    kind: Token
    name: Token
    facets: Facets


@dataclass(frozen=True, slots=True)
class WireKind:
    origin: Origin
    words: Item
    facets: Facets


@dataclass(frozen=True, slots=True)
class Wire:
    """Properties of one wire, or of all that bear a number when no ends are given."""

    origin: Origin
    number: Token
    ends: tuple[Token, Token] | None
    facets: Facets


@dataclass(frozen=True, slots=True)
class Cable:
    origin: Origin
    name: Token
    facets: Facets


@dataclass(frozen=True, slots=True)
class Circuit:
    origin: Origin
    keyword: Token
    facets: Facets


@dataclass(frozen=True, slots=True)
class Chain:
    """A circuit line: `stops` has one more entry than `wires`; `own` is the wire's own items."""

    origin: Origin
    stops: tuple[Token, ...]
    wires: tuple[Token, ...]
    own: tuple[Facet, ...]


@dataclass(frozen=True, slots=True)
class Assembly:
    origin: Origin
    name: Token
    title: Token | None


@dataclass(frozen=True, slots=True)
class Connections:
    origin: Origin
    names: tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Given:
    """A setting of an assembly with the value it has when its user gives none."""

    origin: Origin
    name: Token
    value: Item


@dataclass(frozen=True, slots=True)
class Use:
    origin: Origin
    assembly: Token
    name: Token
    settings: tuple[tuple[Token, Item], ...]


@dataclass(frozen=True, slots=True)
class End:
    origin: Origin
    keyword: Token


@dataclass(frozen=True, slots=True)
class Interlock:
    origin: Origin
    names: tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Opposing:
    origin: Origin
    names: tuple[Token, Token]


@dataclass(frozen=True, slots=True)
class IsSo:
    """`K1 is in`, `S1 is not pressed`."""

    name: Token
    denied: bool
    state: Token


@dataclass(frozen=True, slots=True)
class Deny:
    inner: Condition


@dataclass(frozen=True, slots=True)
class Both:
    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Either:
    parts: tuple[Condition, ...]


Condition = IsSo | Deny | Both | Either


@dataclass(frozen=True, slots=True)
class Claim:
    """`form` is whenever, never, always or sometimes; `given` only with whenever."""

    form: str
    condition: Condition
    given: Condition | None = None


@dataclass(frozen=True, slots=True)
class Apart:
    """`K1, K2 and K3 are never in together`: no two of them at the same time."""

    names: tuple[Token, ...]
    state: Token


@dataclass(frozen=True, slots=True)
class Order:
    first: Token
    second: Token


@dataclass(frozen=True, slots=True)
class Assume:
    origin: Origin
    keyword: Token
    title: Token | None
    body: Claim | Apart | Order


@dataclass(frozen=True, slots=True)
class Intent:
    origin: Origin
    title: Token
    claim: Claim | Apart
    proviso: str


@dataclass(frozen=True, slots=True)
class WireName:
    """A wire by its number, and by both its ends where several bear that number."""

    number: Token
    ends: tuple[Token, Token] | None = None


@dataclass(frozen=True, slots=True)
class Accept:
    origin: Origin
    rule: tuple[Token, ...]
    devices: tuple[Token, ...]
    wires: tuple[WireName, ...]
    reason: Token
    until: Token | None


Statement = (
    Panel
    | Setting
    | Location
    | Include
    | Device
    | WireKind
    | Wire
    | Cable
    | Circuit
    | Chain
    | Assembly
    | Connections
    | Given
    | Use
    | End
    | Interlock
    | Opposing
    | Assume
    | Intent
    | Accept
)
