"""Exercises on the page: each can be solved, and what is told at the end is what was done."""

from __future__ import annotations

from pathlib import Path

import pytest

from netcheck.bench.as_found import as_found
from netcheck.bench.drills import LEVELS, tasks_of
from netcheck.bench.exercising import Exercise, chosen
from tests.bench.panels import SAMPLES, sample
from tests.browser import Browser

pytestmark = pytest.mark.slow

PANELS = sorted(SAMPLES.glob("*.panel"))
MOST_ALIKE = 8
"""Faults that no reading of volts parts: each joint of one conductor, say."""

SOLVED = """
  const {tasks, troubles} = live.sound.exercise;
  const task = tasks[arguments[0]];
  const known = new Map();
  const look = one => {
    if (!known.has(one)) {
      const bench = drill.run(
        new Bench(fault.put(live.sound, troubles[one].edit)), task.moves);
      known.set(one, {works: bench.state.energised(task.load),
        read: task.pairs.map(([red, black]) => bench.read(red, black))});
    }
    return known.get(one);
  };
  return ['easy', 'medium', 'hard'].flatMap(level => {
    const seen = task[level].map(one => look(one).read);
    return task[level].map((one, target) => {
      const {steps, left} = plan.of(task, seen, target);
      return {words: troubles[one].words, works: look(one).works, readings: steps.length,
        left: left.length, kept: left.includes(target)};
    });
  });
"""
RUN_SOUND = """
  return live.sound.exercise.tasks.map(task =>
    drill.run(new Bench(live.sound), task.moves).state.energised(task.load));
"""
BEGUN = """
  const [level, number] = arguments;
  live.trainer.level.value = level;
  live.trainer.seed.value = number;
  [...document.querySelectorAll('#live button')].find(one => one.textContent === 'Begin').click();
  return live.trainer.now.trouble.words;
"""
NAMED = """
  const {named, told} = live.trainer;
  named.value = arguments[0];
  [...document.querySelectorAll('#live button')].find(one => one.textContent === 'Name it').click();
  return told.textContent;
"""
CLICKED = """
  [...document.querySelectorAll('#live button')]
    .find(one => one.textContent === arguments[0]).click();
  return live.trainer.told.textContent;
"""
READ = """
  const [red, black, dial] = arguments;
  live.meter.red.value = red;
  live.meter.black.value = black;
  live.meter.dial.value = dial;
  [...document.querySelectorAll('#live button')].find(one => one.textContent === 'Read').click();
  return live.meter.reading.textContent;
"""


def shed(session: Browser, pages: dict[str, Path]) -> Browser:
    session.open(pages["potting_shed"])
    return session


each = pytest.mark.parametrize("name", [path.stem for path in PANELS])


@each
def test_every_fault_of_every_exercise_keeps_its_load_off_and_can_be_found_by_metering(
    session: Browser, pages: dict[str, Path], name: str
) -> None:
    session.open(pages[name])
    runs = session.run(RUN_SOUND)
    assert runs
    assert all(runs), "what an exercise says should make its load work does not"
    for at in range(len(runs)):
        for one in session.run(SOLVED, at):
            assert not one["works"], one
            assert one["kept"], one
            assert one["left"] <= MOST_ALIKE, one


def test_a_fault_is_named_wrongly_then_rightly_and_both_are_told(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "easy", "3")
    wrong = session.run("""
      const {task, troubles, trouble} = live.trainer.now;
      const {left} = live.trainer.best();
      return troubles.find((one, at) => !left.includes(at)).words;
    """)
    assert f"Not {wrong}" in session.run(NAMED, wrong)
    told = session.run(NAMED, fault)
    assert f"Right. The fault: {fault}." in told
    assert "Readings taken: 0;" in told
    assert "Named wrongly: 1." in told
    assert "nothing missed" in told
    assert session.run("return live.drill === null")


def test_each_reading_is_counted_and_a_reading_is_only_taken_when_asked_for(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "hard", "5")
    session.run(READ, "MAINS:L1", "MAINS:L2", "volts")
    session.run(READ, "MAINS:L1", "MAINS:N", "volts")
    assert "Readings taken: 2;" in session.run(NAMED, fault)


def test_ohms_on_a_live_circuit_are_refused_with_the_reason_and_told_at_the_end(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "easy", "3")
    assert "on a live circuit" in session.run(READ, "MAINS:L1", "MAINS:N", "ohms")
    told = session.run(NAMED, fault)
    assert "asked for ohms on a live circuit" in told
    assert "Readings taken: 0;" in told


def test_ohms_on_what_was_not_proved_dead_are_told_at_the_end(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "easy", "3")
    session.run("live.put(live.controls.bySort.source[0], 0)")
    session.run(READ, "M1:U", "M1:V", "ohms")
    assert "had not been proved dead" in session.run(NAMED, fault)


def test_while_a_fault_is_looked_for_the_drawing_and_the_way_tell_nothing(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    lit = "return document.querySelectorAll('#live .hot, #live .home, #live path.now').length"
    session.run("live.powerUp()")
    assert session.run(f"{lit} - 2") > 0  # two stand in the legend
    session.run(BEGUN, "easy", "3")
    assert 2 == session.run(lit)
    assert session.run("return live.walk.group.hidden")


def test_a_hint_names_two_points_and_giving_up_names_the_fault(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "medium", "11")
    assert "Hint 1: " in session.run(CLICKED, "A hint")
    told = session.run(CLICKED, "Give up")
    assert f"Given up. The fault: {fault}." in told
    assert session.run("return document.activeElement === live.trainer.told")
    assert "Hints: 1." in told


def test_the_same_number_is_the_same_exercise_and_others_are_others(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    first = [session.run(BEGUN, "hard", str(number)) for number in range(12)]
    assert first == [session.run(BEGUN, "hard", str(number)) for number in range(12)]
    assert len(set(first)) > 6


CHOSEN = """
  const [level, seeds] = arguments;
  return [...Array(seeds).keys()].map(seed => {
    const {task, trouble} = drill.chosen(live.sound.exercise, level, seed);
    return [task.load, trouble.words];
  });
"""
PLANNED = """
  const [level, seed] = arguments;
  live.trainer.level.value = level;
  live.trainer.seed.value = seed;
  live.trainer.begin();
  const {steps, left, best} = live.trainer.best();
  const {terminals} = live.sound;
  const {troubles} = live.trainer.now;
  const names = pair => pair.map(at => terminals[at]);
  return [steps.map(names), left.map(at => troubles[at].words), best];
"""


@each
def test_the_page_and_the_program_set_the_same_exercises(
    session: Browser, pages: dict[str, Path], name: str
) -> None:
    session.open(pages[name])
    tasks = tasks_of(as_found(sample(SAMPLES / f"{name}.panel")))
    for level in LEVELS:
        ours = [chosen(tasks, level, seed) for seed in range(50)]
        told = [[one.task.load.index, one.trouble.words] for one in ours]
        assert told == session.run(CHOSEN, level, len(told))


@pytest.mark.parametrize("level", LEVELS)
def test_the_page_and_the_program_hold_the_same_plan_against_the_trainee(
    session: Browser, pages: dict[str, Path], level: str
) -> None:
    shed(session, pages)
    panel = sample(SAMPLES / "potting_shed.panel")
    tasks = tasks_of(panel)
    for seed in (1, 2, 5):
        plan = Exercise(panel, chosen(tasks, level, seed)).plan
        ours = [[list(pair) for pair in plan.pairs], [one.words for one in plan.left], plan.best]
        assert ours == session.run(PLANNED, level, str(seed))


def test_closing_again_onto_a_short_opens_again_at_once_and_is_told_at_the_end(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run("""
      const {tasks, troubles} = live.sound.exercise;
      const {trainer} = live;
      const isShort = ({now, safe}) => now && now.trouble.sort === 'short' && safe.opened.size;
      trainer.level.value = 'hard';
      for (let seed = 0; !isShort(trainer); seed += 1) {
        live.trainer.seed.value = seed;
        live.trainer.begin();
        for (const [m, at] of live.trainer.now.task.moves) live.put(m, at);
      }
      const [m] = live.trainer.safe.opened;
      live.put(m, 1);
      return live.bench.positions[m] === 0 && live.trainer.now.trouble.words;
    """)
    assert fault
    assert "closed again onto a short" in session.run(NAMED, fault)


def test_nought_between_two_points_proves_neither_dead(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "easy", "3")
    session.run(READ, "MAINS:L1", "MAINS:N", "volts")
    session.run("live.put(live.controls.bySort.source[0], 0)")
    session.run(READ, "M1:U", "M1:V", "volts")
    session.run(READ, "M1:U", "M1:V", "ohms")
    assert "had not been proved dead" in session.run(NAMED, fault)
    session.run(BEGUN, "easy", "3")
    session.run(READ, "MAINS:L1", "MAINS:N", "volts")
    session.run("live.put(live.controls.bySort.source[0], 0)")
    for terminal in ("M1:U", "M1:V"):
        session.run(READ, terminal, "MAINS:PE", "volts")
    session.run(READ, "M1:U", "M1:V", "ohms")
    assert "nothing missed" in session.run(NAMED, fault)
