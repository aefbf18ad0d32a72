"""What one statement of a panel's text says, still in the words it was written in.

A token is a piece of the text with its place; `Origin` turns a token's place
within its statement into a place in the source.
"""

from __future__ import annotations

from netcheck.reading.token import Token
from netcheck.record import record
from netcheck.text import Span

Item = tuple[Token, ...]
"""Words between two commas."""
Facet = tuple[Item, ...]
"""Items between two semicolons."""
Facets = tuple[Facet, ...]


@record
class Origin:
    """Where a statement stands: its source, and the line its first character is on."""

    path: str
    first_line: int

    def span(self, token: Token) -> Span:
        return Span(
            self.path,
            self.first_line + token.line - 1,
            token.column,
            token.end_column,
        )

    @property
    def start(self) -> Span:
        return Span(self.path, self.first_line, 1, 2)


@record
class Panel:
    origin: Origin
    keyword: Token
    name: Token | None
    title: Token


@record
class Setting:
    origin: Origin
    keyword: Token
    items: Facet


@record
class Location:
    origin: Origin
    words: Item
    facets: Facets


@record
class Include:
    origin: Origin
    file: Token


@record
class Device:
    origin: Origin
    kind: Token
    name: Token
    facets: Facets


@record
class WireKind:
    origin: Origin
    words: Item
    facets: Facets


@record
class Wire:
    """Properties of one wire, or of all that bear a number when no ends are given."""

    origin: Origin
    number: Token
    ends: tuple[Token, Token] | None
    facets: Facets


@record
class Raceway:
    origin: Origin
    keyword: Token
    name: Token
    facets: Facets


@record
class Cable:
    origin: Origin
    name: Token
    facets: Facets


@record
class Circuit:
    origin: Origin
    keyword: Token
    facets: Facets


@record
class Chain:
    """A circuit line: `stops` has one more entry than `wires`; `own` is the wire's own items."""

    origin: Origin
    stops: tuple[Token, ...]
    wires: tuple[Token, ...]
    own: tuple[Facet, ...]


@record
class Assembly:
    origin: Origin
    name: Token
    title: Token | None


@record
class Connections:
    origin: Origin
    names: tuple[Token, ...]


@record
class Given:
    """A setting of an assembly with the value it has when its user gives none."""

    origin: Origin
    name: Token
    value: Item


@record
class Use:
    origin: Origin
    assembly: Token
    name: Token
    settings: tuple[tuple[Token, Item], ...]


@record
class End:
    origin: Origin
    keyword: Token


@record
class Interlock:
    origin: Origin
    names: tuple[Token, ...]


@record
class Opposing:
    origin: Origin
    names: tuple[Token, Token]


@record
class IsSo:
    """`K1 is in`, `S1 is not pressed`."""

    name: Token
    denied: bool
    state: Token


@record
class Deny:
    inner: Condition


@record
class Both:
    parts: tuple[Condition, ...]


@record
class Either:
    parts: tuple[Condition, ...]


Condition = IsSo | Deny | Both | Either


@record
class Claim:
    """`form` is whenever, never, always or sometimes; `given` only with whenever."""

    form: str
    condition: Condition
    given: Condition | None = None


@record
class Apart:
    """`K1, K2 and K3 are never in together`: no two of them at the same time."""

    names: tuple[Token, ...]
    state: Token


@record
class Order:
    first: Token
    second: Token


@record
class Assume:
    origin: Origin
    keyword: Token
    title: Token | None
    body: Claim | Apart | Order


@record
class Intent:
    origin: Origin
    title: Token
    claim: Claim | Apart
    proviso: str


@record
class WireName:
    """A wire by its number, by both its ends, or by both where several bear the number."""

    word: Token
    number: Token | None
    ends: tuple[Token, Token] | None = None


@record
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
    | Raceway
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
