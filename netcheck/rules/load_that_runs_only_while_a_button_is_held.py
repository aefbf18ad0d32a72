"""A motor or heater that runs while a button is held, and in no state once all are let go.

Asked, once everything has settled, of motors and heaters that can be energised: the relay a
start button pulls in should hold itself in, and its holding contact is missing, is another
relay's, or was landed elsewhere.

It keeps silent where the load, or a relay it cannot do without, is marked `jog`; where only
buttons marked so run it; and on foot switches and selectors that spring back, which are held
by their nature.  A load that a selector also runs, or another relay, is not asked about.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import (
    Condition,
    LoadFeed,
    LoadFeeds,
    Verdict,
    ask,
    energised,
    never,
)
from netcheck.facts.seen_states import SeenStates
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.devices import Device
from netcheck.rule import rule
from netcheck.states.aftermath import Aftermath
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed

RUNS = frozenset(("motor", "heater"))
REST = frozenset((0,))


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DEFECT,
    summary="a motor or heater stops as soon as its button is let go",
    why="it runs for as long as somebody stands there, which nobody does for long",
    source="three-wire control holds itself in: Mott, Machine Elements, p. 814, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, CertainBehaviour, LoadFeeds, SeenStates),
)
def find(view: View) -> Iterator[Outcome]:
    buttons = [one for one in view.panel.devices.values() if one.kind == "button"]
    if not buttons:
        return
    let_go = _let_go(view[SeenStates].behaviour, buttons)
    for load in view[LoadFeeds].loads:
        made = load.parts[0].load
        if made is None or made.works not in RUNS or load.verdict is not Verdict.ENERGISED:
            continue
        concerned = _concerned(view, load)
        pressed = [button for button in buttons if button.name in concerned]
        if not pressed or _is_jogged(view, load, concerned):
            continue
        if _is_seen_to_run_on(view[SeenStates], load, let_go):
            continue
        runs = _runs(view, load, pressed)
        if isinstance(runs, Undecided):
            reason = f"whether `{load.name}` runs on once its button is let go: {runs.reason}"
            place = Place(view.panel.devices[load.device].span)
            yield NotDecided(reason, place, (load.device,))
        elif never(runs):
            jogs = [button for button in pressed if "jog" in button.marks]
            by_others = _runs(view, load, jogs)
            if isinstance(by_others, Reached):
                yield _finding(view, load, by_others)


def _concerned(view: View, load: LoadFeed) -> frozenset[str]:
    """The devices that have a say in it."""
    states = view[Behaviour]
    names = states.prover.depends_on(energised(load.parts)(states))
    return frozenset(view.panel.mechanisms[name].device for name in names)


def _is_jogged(view: View, load: LoadFeed, concerned: frozenset[str]) -> bool:
    devices = [view.panel.devices[name] for name in (load.device, *sorted(concerned))]
    return any("jog" in one.marks for one in devices if one.kind != "button")


def _let_go(states: Behaviour, buttons: list[Device]) -> Aftermath:
    """What follows as every button is let go."""
    names = [name for one in buttons for name in one.mechanisms if name in states.machine.switches]
    may_move = states.prover.may_move_after(names)
    return Aftermath(states.machine, dict.fromkeys(names, 0), may_move)


def _is_seen_to_run_on(seen: SeenStates, load: LoadFeed, let_go: Aftermath) -> bool:
    """Whether it is known to run, and to run on once every button is let go."""
    on = energised(load.parts)(seen.behaviour)
    return seen.happen(seen.behaviour.logic.both(on, let_go.of(on)))


def _running(load: LoadFeed, released: list[Device]) -> Condition:
    """It runs while these are let go."""

    def condition(states: Behaviour) -> int:
        rest = [states.in_positions(name, REST) for one in released for name in one.mechanisms]
        return states.logic.all_of([energised(load.parts)(states), *rest])

    return condition


def _runs(view: View, load: LoadFeed, released: list[Device]) -> Answer:
    certain = view[CertainBehaviour].behaviour
    return ask(view[Behaviour], certain, _running(load, released), "settled")


def _finding(view: View, load: LoadFeed, answer: Reached) -> Finding:
    panel = view.panel
    witness = tell(panel, answer)
    held = [
        name
        for name, position in answer.state.items()
        if panel.devices[panel.mechanisms[name].device].kind == "button"
        and position != panel.mechanisms[name].positions[0]
    ]
    by = [panel.mechanisms[name].device for name in held]
    relays = [name for name, value in answer.state.items() if value is True]
    at = panel.devices[relays[0]] if relays else panel.devices[load.device]
    return Finding(
        f"`{load.name}` runs only while {listed(by)} {'are' if len(by) > 1 else 'is'} held",
        Place(at.span, "does not hold itself in" if relays else "runs while it is held"),
        devices=(load.device, *by, *relays),
        condition=load.name,
        related=(Place(panel.devices[load.device].span, "runs while it is held"),),
        state=dict(witness.state),
        steps=witness.steps,
        help="let a contact of the contactor itself bridge the start button, behind the stop; or "
        "mark what is meant to be held `jog`",
    )
