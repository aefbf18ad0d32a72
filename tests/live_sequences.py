"""Random operations on a panel, and what the program itself says of every state they lead to.

The program's machine (`states/behaviour.py`) is asked literal by literal, its solver
(`solve/steady.py`) for volts; breakers and fuses are taken as switches so that they can be
opened.  Relays move one at a time in the order of the panel, timers only when they are let.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from netcheck.bench.live_model import live_model
from netcheck.bench.readings import read
from netcheck.bench.standing import Standing
from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Drive
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.record import replace
from netcheck.solve.coil_verdicts import CoilVerdicts
from netcheck.solve.steady import Steady
from netcheck.states.answers import Undecided
from netcheck.states.behaviour import Behaviour

MOST_MOVES = 200
READINGS = 4
LENGTH = 12
STATES_KEPT = 500
"""A solution of a large panel takes 400 kB."""


@dataclass
class Operated:
    """One panel at rest with its power off, and everything that is done to it."""

    panel: Panel

    def __post_init__(self) -> None:
        movable = {
            name: replace(one, drive=Drive.HAND) if one.drive is Drive.PROTECTION else one
            for name, one in self.panel.mechanisms.items()
        }
        panel = replace(self.panel, mechanisms=movable)
        self.states = Behaviour(panel, find_nodes(panel), verdicts=CoilVerdicts())
        self.case = Case(panel)
        self.loads = [part for part in panel.parts if part.load is not None]
        self._known: dict[frozenset[tuple[int, bool]], Steady | None] = {}
        self.reset()

    @property
    def model(self) -> dict[str, Any]:
        return live_model(self.panel, self.case.conclude(ComponentValues))

    def reset(self) -> None:
        machine = self.states.machine
        self.values: dict[int, bool] = {}
        self.at: dict[str, int] = {}
        for name, switch in machine.switches.items():
            self._put(name, int(self.panel.mechanisms[name].drive is Drive.PROTECTION))
            assert name == switch.name
        for mover in machine.movers.values():
            self.values[mover.state] = False

    def _put(self, name: str, position: int) -> None:
        self.at[name] = position
        for place, bit in enumerate(self.states.machine.switches[name].bits):
            self.values[bit] = bool(position >> place & 1)

    def put(self, name: str, target: int) -> bool:
        """Whether the relays came to rest in every position on the way."""
        while self.at[name] != target:
            self._put(name, self.at[name] + (1 if target > self.at[name] else -1))
            if not self._settle():
                return False
        return True

    def run_out(self, name: str) -> bool:
        self.values[self.states.machine.movers[name].state] ^= True
        return self._settle()

    def running(self) -> list[str]:
        """Timers that may move and must not."""
        machine, holds = self.states.machine, self.holds
        found = []
        for name, mover in machine.movers.items():
            motion = machine.motions[name]
            may = motion.may_fall if self.values[mover.state] else motion.may_rise
            must = motion.must_fall if self.values[mover.state] else motion.must_rise
            if mover.timed and holds(may) and not holds(must):
                found.append(name)
        return found

    def holds(self, literal: int) -> bool:
        return self.states.logic.evaluate(literal, self.values)

    def _settle(self) -> bool:
        machine = self.states.machine
        for _ in range(MOST_MOVES):
            for name, mover in machine.movers.items():
                motion, is_in = machine.motions[name], self.values[mover.state]
                must = motion.must_fall if is_in else motion.must_rise
                if self.holds(must) and (is_in or not self.interlocked(name)):
                    self.values[mover.state] = not is_in
                    break
            else:
                return True
        return False

    def interlocked(self, name: str) -> bool:
        """Whether something that is mechanically interlocked with it is in."""
        return any(
            other != name and self.position(other) == 1
            for group in self.panel.interlocks
            if name in group
            for other in group
        )

    def position(self, name: str) -> int:
        mover = self.states.machine.movers.get(name)
        return self.at[name] if mover is None else int(self.values[mover.state])

    # ---- what is told ------------------------------------------------------------------------

    @property
    def standing(self) -> Standing:
        return Standing(self.case, self.states, self.values)

    def _solved(self) -> Steady | None:
        """Worked out once for a state: many operations lead back to one that was met before."""
        now = frozenset(self.values.items())
        if now not in self._known:
            if len(self._known) >= STATES_KEPT:
                self._known.clear()
            standing = self.standing
            solved = standing.solve()
            if isinstance(solved, Undecided) or standing.doubtful:
                self._known[now] = None
            else:
                self._known[now] = solved
        return self._known[now]

    def told(self, pairs: list[tuple[str, str]]) -> dict[str, Any] | None:
        """None where the program leaves something open: a coil in doubt, no solution."""
        solved = self._solved()
        if solved is None:
            return None
        volts = []
        for red, black in pairs:
            reading = read(solved, red, black)
            volts.append(None if reading.floats else [reading.dc_v, reading.ac_v])
        return {
            "in": [name for name in self.states.machine.movers if self.position(name)],
            "on": [part.index for part in self.loads if self.holds(self.states.energised(part))],
            "running": self.running(),
            "volts": volts,
        }


def sequences(operated: Operated, count: int, seed: int) -> Iterator[list[dict[str, Any]]]:
    """So many runs of operations from power off, each with what must be so after it."""
    chance = random.Random(seed)
    for _ in range(count):
        operated.reset()
        yield list(_sequence(operated, chance))


def _sequence(operated: Operated, chance: random.Random) -> Iterator[dict[str, Any]]:
    mechanisms, terminals = operated.panel.mechanisms, operated.panel.terminals
    switches = [name for name in operated.states.machine.switches if mechanisms[name].held is None]
    sources = [name for name in switches if mechanisms[name].drive is Drive.SOURCE]
    for at in range(LENGTH + len(sources)):
        running = operated.running()
        step: dict[str, Any]
        if running and chance.random() < 0.4:
            name = chance.choice(running)
            rests = operated.run_out(name)
            step = {"runs out": name}
        else:
            name = sources[at] if at < len(sources) else chance.choice(switches)
            others = sorted(mechanisms[name].resting - {operated.at[name]})
            target = 1 if at < len(sources) else chance.choice(others)
            if target == 1 and operated.interlocked(name):
                continue
            rests = operated.put(name, target)
            step = {"put": name, "to": target}
        pairs = [(chance.choice(terminals), chance.choice(terminals)) for _ in range(READINGS)]
        told = operated.told(pairs) if rests else None
        yield {**step, "pairs": pairs, "told": told}
        if not rests:
            return


REPLAYED = """
  const [model, runs] = arguments;
  const wrong = [];
  let compared = 0;
  const bench = new Bench(model);
  const m = new Map(model.mechanisms.map((one, at) => [one.name, at]));
  const t = new Map(model.terminals.map((name, at) => [name, at]));
  runs.forEach((run, number) => {
    bench.reset();
    run.forEach((step, at) => {
      const where = `run ${number} step ${at} ${step.put || step['runs out']}: `;
      if (step.put) bench.put(m.get(step.put), step.to);
      else bench.runOut(m.get(step['runs out']));
      if (!step.told) return;
      compared += 1;
      const same = (what, ours, theirs) => {
        if (JSON.stringify(ours) !== JSON.stringify(theirs)) {
          wrong.push(where + what + ' ' + JSON.stringify(ours) + ' not ' + JSON.stringify(theirs));
        }
      };
      const names = list => list.map(one => model.mechanisms[one].name);
      same('in', names(bench.movers.filter(one => bench.positions[one])), step.told.in);
      same('on', model.parts.map((_, one) => one)
        .filter(one => model.parts[one].load && bench.state.energised(one)), step.told.on);
      same('running', names(bench.running()), step.told.running);
      step.pairs.forEach(([red, black], pair) => {
        const ours = bench.read(t.get(red), t.get(black));
        const theirs = step.told.volts[pair];
        if (!ours || ours.floats !== (theirs === null)) {
          wrong.push(where + red + ' ' + black + ' ' + JSON.stringify(ours));
        } else if (theirs) {
          const off = Math.max(Math.abs(ours.dc - theirs[0]), Math.abs(ours.ac - theirs[1]));
          if (off > 1e-4 * Math.max(1, Math.abs(theirs[0]), theirs[1])) {
            wrong.push(where + red + ' ' + black + ' ' + JSON.stringify([ours, theirs]));
          }
        }
      });
    });
  });
  return {compared, wrong: wrong.slice(0, 20)};
"""
"""What the page's own engine makes of the same, told where it differs."""
