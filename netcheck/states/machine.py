"""What can move in a panel, and when: switches that are operated, relays that follow.

A `Machine` is built in two passes, because relays refer to one another: first every
switch and mover is declared, then `attach` says when each mover moves.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.record import draft, fresh, record
from netcheck.states.expressions import FALSE, TRUE, Logic


@record
class Switch:
    """Something operated from outside: a button, selector, float, source, controller output.

    `positions` are its names, in order; the other fields number them from 0.
    `resting` are those it can be left in; it only passes through the others, such as
    the gap of a button whose normally closed contact opens before the other closes.
    `start` are those it may be in at power-up, `moves` what one operation can do.
    `bits` are the variables that hold the position's number, lowest first.
    """

    name: str
    positions: tuple[str, ...]
    resting: frozenset[int]
    start: frozenset[int]
    moves: frozenset[tuple[int, int]]
    bits: tuple[int, ...]

    def values_in(self, position: int) -> dict[int, bool]:
        """The values of its variables in a position."""
        return {bit: bool(position >> place & 1) for place, bit in enumerate(self.bits)}


@record
class Mover:
    """Something that follows its circuit: relay, latching relay, timer, uncertain coil.

    `state` is the variable that is true while it is in.  `start` is its state at
    power-up, None where it may be either.  A `timed` mover moves of its own accord
    (`may` without `must`) only when everything else has settled: a timer running out
    is an operation of its own.
    """

    name: str
    state: int
    start: bool | None = False
    timed: bool = False


@record
class Motion:
    """When a mover moves: literals that are true while it may, or must, rise or fall.

    Between `must` and `may` it can do either, now or later.
    """

    may_rise: int
    may_fall: int
    must_rise: int
    must_fall: int


@draft
class Machine:
    """Everything that moves in a panel, and what is assumed of it."""

    logic: Logic = fresh(factory=Logic)
    switches: dict[str, Switch] = fresh(factory=dict)
    movers: dict[str, Mover] = fresh(factory=dict)
    motions: dict[str, Motion] = fresh(factory=dict)
    constraints: list[int] = fresh(factory=list)
    _standing: dict[tuple[str, frozenset[int]], int] = fresh(factory=dict)
    """What `in_positions` has said: a review asks 15 times for each."""

    def switch(
        self,
        name: str,
        positions: Iterable[str],
        *,
        resting: Iterable[int] | None = None,
        start: Iterable[int] | None = None,
        moves: Iterable[tuple[int, int]] | None = None,
    ) -> Switch:
        """Declare a switch; ValueError for a name used twice or a position it has not.

        Unless said otherwise it can rest and start in every position, and one operation
        moves it to the next position or the one before.
        """
        names = tuple(positions)
        everywhere = range(len(names))
        if moves is None:
            moves = [(a, b) for a in everywhere for b in everywhere if abs(a - b) == 1]
        made = Switch(
            name,
            names,
            frozenset(everywhere if resting is None else resting),
            frozenset(everywhere if start is None else start),
            frozenset(moves),
            tuple(
                self.logic.variable(f"{name} position bit {bit}")
                for bit in range((len(names) - 1).bit_length())
            ),
        )
        self._check(made)
        self.switches[name] = made
        return made

    def mover(self, name: str, *, start: bool | None = False, timed: bool = False) -> Mover:
        """Declare a mover, at rest until `attach` says otherwise; ValueError for a name twice."""
        self._claim(name)
        made = Mover(name, self.logic.variable(name), start, timed)
        self.movers[name] = made
        self.motions[name] = Motion(FALSE, FALSE, FALSE, FALSE)
        return made

    def attach(
        self, mover: Mover, *, may_rise: int, may_fall: int, must_rise: int, must_fall: int
    ) -> None:
        """Say when a mover moves.  What it must do it also may."""
        either = self.logic.either
        self.motions[mover.name] = Motion(
            either(may_rise, must_rise), either(may_fall, must_fall), must_rise, must_fall
        )

    def attach_relay(
        self, mover: Mover, coil: int, uncertain: int = FALSE, held: int = FALSE
    ) -> None:
        """A plain relay: in with its coil, out without; either while `uncertain` holds.

        While `held` it stays in if it is in, as behind an economising resistor.
        """
        logic = self.logic
        surely_on = logic.both(coil, uncertain ^ 1)
        surely_off = logic.both(coil ^ 1, uncertain ^ 1)
        self.attach(
            mover,
            may_rise=surely_off ^ 1,
            may_fall=logic.both(surely_on ^ 1, held ^ 1),
            must_rise=surely_on,
            must_fall=logic.both(surely_off, held ^ 1),
        )

    def attach_on_delay(self, mover: Mover, coil: int, uncertain: int = FALSE) -> None:
        """A timer in some while after its coil is on, out at once without (declare it `timed`)."""
        logic = self.logic
        self.attach(
            mover,
            may_rise=logic.either(coil, uncertain),
            may_fall=coil ^ 1,
            must_rise=FALSE,
            must_fall=logic.both(coil ^ 1, uncertain ^ 1),
        )

    def attach_off_delay(self, mover: Mover, coil: int, uncertain: int = FALSE) -> None:
        """A timer in at once with its coil, out some while after it (declare it `timed`)."""
        may_rise = self.logic.either(coil, uncertain)
        self.attach(mover, may_rise=may_rise, may_fall=coil ^ 1, must_rise=coil, must_fall=FALSE)

    def attach_latching(
        self,
        mover: Mover,
        latch: int,
        unlatch: int,
        uncertain_latch: int = FALSE,
        uncertain_unlatch: int = FALSE,
    ) -> None:
        """A latching relay: moved by either coil, held by neither, either way with both on."""
        logic = self.logic
        may_rise = logic.either(latch, uncertain_latch)
        may_fall = logic.either(unlatch, uncertain_unlatch)
        self.attach(
            mover,
            may_rise=may_rise,
            may_fall=may_fall,
            must_rise=logic.both(latch, may_fall ^ 1),
            must_fall=logic.both(unlatch, may_rise ^ 1),
        )

    def position(self, switch: Switch, index: int) -> int:
        """The literal that is true while the switch is in its position number `index`."""
        if not 0 <= index < len(switch.positions):
            raise ValueError(f"{switch.name} has no position number {index}")
        bits = enumerate(switch.bits)
        return self.logic.all_of([bit ^ 1 ^ (index >> place & 1) for place, bit in bits])

    def in_positions(self, switch: Switch, indexes: Iterable[int]) -> int:
        """The literal that is true while the switch is in one of these positions."""
        key = switch.name, frozenset(indexes)
        known = self._standing.get(key)
        if known is None:
            known = self._standing[key] = self._in_any_of(switch, key[1])
        return known

    def _in_any_of(self, switch: Switch, wanted: frozenset[int]) -> int:
        if wanted.issuperset(range(len(switch.positions))):
            return TRUE
        return self.logic.any_of([self.position(switch, index) for index in wanted])

    def assume(self, literal: int) -> None:
        """Consider only states in which the literal is true; a step out of them is not taken."""
        self.constraints.append(literal)

    def exclude(self, first: Mover, second: Mover) -> None:
        """A mechanical interlock: neither mover can come in while the other is in."""
        self.assume(self.logic.both(first.state, second.state) ^ 1)

    def owners(self) -> dict[int, str]:
        """The name of what each variable is the state of."""
        owners = {mover.state: name for name, mover in self.movers.items()}
        for name, switch in self.switches.items():
            owners.update(dict.fromkeys(switch.bits, name))
        return owners

    def valid_code(self, switch: Switch) -> int:
        """True where the switch's bits number a position it has."""
        if len(switch.positions) == 1 << len(switch.bits):
            return TRUE
        return self.logic.any_of(
            [self.position(switch, index) for index in range(len(switch.positions))]
        )

    def _claim(self, name: str) -> None:
        if name in self.switches or name in self.movers:
            raise ValueError(f"{name} is declared twice")

    def _check(self, switch: Switch) -> None:
        self._claim(switch.name)
        known = set(range(len(switch.positions)))
        named = {index for move in switch.moves for index in move}
        if not known or not switch.start or not switch.resting:
            raise ValueError(f"{switch.name} needs a position, a start and a place to rest")
        if not known >= switch.start | switch.resting | named:
            raise ValueError(f"{switch.name} lacks a position it should start, rest or move in")
