"""What has to be done, from where a panel stands, until a load is energised.

First it is proved whether it can happen at all; then the fewest operations from here are
looked for, each one switch put somewhere else and everything left to settle.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from netcheck.bench.readings import fits, read
from netcheck.bench.standing import Standing, settled
from netcheck.model.devices import Part
from netcheck.model.let_go import let_go
from netcheck.record import record, replace
from netcheck.states.answers import Never, Reached, Undecided
from netcheck.states.cone import Slicer
from netcheck.states.expressions import FALSE
from netcheck.states.machine import Switch
from netcheck.states.witness import assignment, tell

MOST_MOVES = 1_000_000
"""So many times it is looked whether a relay must move, over all states on the way from here."""

PROVED = "proved: no operation leaves it energised, with fuses and breakers as they stand"

Done = tuple[tuple[Switch, int], ...]
"""Operations one after the other: which switch, to which of its positions."""


@record
class Energising:
    """`steps` in words, and where the panel then stands; None where it is not energised.

    `from_here`: the steps begin where the panel stands, else at power-up.  `why_not` says why
    there are none: that it is proved never to happen, or that it is `open`.  `tells_of` are the
    breakers and fuses one of which must have opened first: for their alarm.  `moves` are the
    steps as `--with` takes them.
    """

    steps: tuple[str, ...] = ()
    then: Standing | None = None
    from_here: bool = True
    why_not: str = ""
    open: bool = False
    tells_of: tuple[str, ...] = ()
    moves: tuple[str, ...] = ()


def energise(here: Standing, load: Part) -> Energising:
    wanted = here.states.energised(load)
    if here.holds(wanted) and not here.restless:
        return Energising(then=here)
    answer = here.states.prover.can_happen(wanted, at="settled")
    if not isinstance(answer, Never):
        return _steps(here, load, wanted, answer)
    if answer.how == "assumptions contradict":
        return Energising(why_not="what is assumed contradicts itself", open=True)
    maybe = here.states.uncertain(load)
    if maybe == FALSE:
        return Energising(why_not=PROVED)
    return _by_numbers(here, load, maybe)


def _by_numbers(here: Standing, load: Part, maybe: int) -> Energising:
    """Of a load that is only fed through others, or at other volts: the first state is solved."""
    answer = here.states.prover.can_happen(maybe, at="settled")
    if here.holds(maybe) and not here.restless:
        found = Energising(then=here)
    elif isinstance(answer, Never):
        return Energising(why_not=PROVED)
    else:
        found = _steps(here, load, maybe, answer)
    if found.then is None:
        return found
    solved = found.then.solve()
    assert load.load is not None
    if isinstance(solved, Undecided):
        return Energising(why_not=solved.reason, open=True)
    reading = read(solved, load.a, load.b)
    if fits(reading, load.load):
        return found
    steps = f" after {'; '.join(found.steps)}" if found.steps else ""
    why = f"fed only through other loads or at other volts: it gets {reading}{steps}"
    return Energising(why_not=why, open=True)


def _steps(here: Standing, load: Part, wanted: int, answer: Reached | Undecided) -> Energising:
    if isinstance(answer, Undecided):
        return Energising(why_not=answer.reason, open=True)
    found = _searched(here, load, wanted)
    if found is not None:
        return found
    panel, states = here.panel, here.states
    there = replace(here, values=assignment(states, answer), restless=False)
    return Energising(tell(panel, answer).steps, there, from_here=False)


def _searched(here: Standing, load: Part, wanted: int) -> Energising | None:
    machine = here.states.machine
    cone = Slicer(machine).reach([wanted])
    switches = [switch for name, switch in machine.switches.items() if name in cone]
    variables = [machine.movers[name].state for name in machine.movers if name in cone]
    variables += [bit for switch in switches for bit in switch.bits]

    def key(standing: Standing) -> tuple[bool, ...]:
        return tuple(standing.values[variable] for variable in variables)

    left = MOST_MOVES // max(1, len(machine.movers))
    todo: deque[tuple[Standing, Done]] = deque([(here, ())])
    seen = {key(here)}
    while todo:
        standing, done = todo.popleft()
        for switch, position, there in _operations(standing, switches):
            left -= 1
            if left < 0:
                return None
            if key(there) in seen:
                continue
            if there.holds(wanted):
                return _let_go(here, load, wanted, (*done, (switch, position)))
            seen.add(key(there))
            todo.append((there, (*done, (switch, position))))
    return None


def _operations(
    standing: Standing, switches: list[Switch]
) -> Iterator[tuple[Switch, int, Standing]]:
    """Each switch to each place it can rest in, one position after the other."""
    for switch in switches:
        now = _index(standing, switch)
        for target in sorted(switch.resting - {now}):
            there = _moved(standing, switch, now, target)
            if there is not None:
                yield switch, target, there


def _moved(standing: Standing, switch: Switch, now: int, target: int) -> Standing | None:
    """None where it cannot go there, or what follows does not come to rest or be so."""
    there = standing
    step = 1 if target > now else -1
    for position in range(now + step, target + step, step):
        if (position - step, position) not in switch.moves:
            return None
        there = settled(there, {switch.name: position})
        if there.restless:
            return None
    constraints = standing.states.machine.constraints
    return there if all(there.holds(one) for one in constraints) else None


def _index(standing: Standing, switch: Switch) -> int:
    bits = enumerate(switch.bits)
    return sum(int(standing.values[bit]) << place for place, bit in bits)


def _let_go(here: Standing, load: Part, wanted: int, done: Done) -> Energising:
    """What springs back is let go, at once or else in the end, where the load stays on without
    it and does so by other contacts than its own: whoever looks for why a coil stays out must
    hold its button."""
    panel = here.panel
    words: list[str] = []
    plan: Done = ()
    ends: Done = ()
    for at, (switch, position) in enumerate(done):
        mechanism = panel.mechanisms[switch.name]
        word, rest = mechanism.steps[position], let_go(panel, mechanism)
        plan = (*plan, (switch, position))
        if rest is not None and rest != position:
            back = ((switch, rest),)
            later = (*done[at + 1 :], *ends)
            if _keeps(here, load, wanted, (*plan, *back, *later)):
                plan = (*plan, *back)
                word += ", let go"
            else:
                word += ", hold"
                if _keeps(here, load, wanted, (*plan, *later, *back)):
                    ends = (*ends, *back)
        words.append(word)
    then = _after(here, (*plan, *ends))
    assert then is not None
    released = (panel.mechanisms[switch.name].steps[position] for switch, position in ends)
    moves = {switch.name: position for switch, position in done}
    put = (
        f"{name.replace(' ', ':')} {panel.mechanisms[name].positions[position]}"
        for name, position in moves.items()
    )
    return Energising((*words, *released), then, moves=tuple(put))


def _keeps(here: Standing, load: Part, wanted: int, done: Done) -> bool:
    there = _after(here, done)
    return there is not None and _own_contacts_open(there, load).holds(wanted)


def _after(here: Standing, done: Done) -> Standing | None:
    """None where one of these cannot be done."""
    there: Standing | None = here
    for switch, position in done:
        if there is not None:
            there = _moved(there, switch, _index(there, switch), position)
    return there


def _own_contacts_open(standing: Standing, load: Part) -> Standing:
    own = [
        standing.states.machine.movers[name].state
        for name, mechanism in standing.panel.mechanisms.items()
        if load.index in mechanism.coils and name in standing.states.machine.movers
    ]
    return replace(standing, values={**standing.values, **dict.fromkeys(own, False)})


def doing(standing: Standing, part: Part) -> str:
    """Why a contact stands as it does: `S2 is released`, `K1 is out`."""
    if not part.mechanism:
        return ""
    name = part.mechanism.replace(" ", ":")
    position = standing.position(part.mechanism)
    return f"{name} is {position}"
