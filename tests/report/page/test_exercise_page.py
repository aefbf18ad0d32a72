"""Exercises on the page: each can be solved, and what is told at the end is what was done."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from netcheck.cli.main import group
from tests.bench.panels import SAMPLES
from tests.browser import Browser, browser

pytestmark = pytest.mark.slow

PANELS = sorted(SAMPLES.glob("*.panel"))
LEVELS = ("easy", "medium", "hard")
MOST_ALIKE = 8
"""Faults that no reading of volts parts: each joint of one conductor, say."""

SOLVED = """
  const [at, level] = arguments;
  const {tasks, troubles} = live.sound.exercise;
  const task = tasks[at];
  const list = task[level].map(one => troubles[one]);
  const seen = drill.looks(live.sound, task, list);
  return list.map((one, target) => {
    const bench = drill.run(new engine.Bench(drill.applied(live.sound, one.edit)), task.moves);
    const {steps, left} = drill.plan(task, seen, target);
    return {words: one.words, works: bench.state.energised(task.load), readings: steps.length,
      left: left.length, kept: left.includes(target)};
  });
"""
RUN_SOUND = """
  return live.sound.exercise.tasks.map(task =>
    drill.run(new engine.Bench(live.sound), task.moves).state.energised(task.load));
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
  live.red.value = red;
  live.black.value = black;
  live.dial.value = dial;
  [...document.querySelectorAll('#live button')].find(one => one.textContent === 'Read').click();
  return live.reading.textContent;
"""


@pytest.fixture(scope="module")
def session() -> Iterator[Browser]:
    with browser() as found:
        yield found


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("exercises")
    for path in PANELS:
        result = CliRunner().invoke(group, ["report", str(path), "-o", str(folder / path.stem)])
        assert 0 == result.exit_code, result.output
    return {path.stem: folder / path.stem / "report.html" for path in PANELS}


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
        for level in LEVELS:
            for one in session.run(SOLVED, at, level):
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
    session.run("live.put(live.bySort.source[0], 0)")
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
    assert session.run("return live.wayGroup.hidden")


def test_a_hint_names_two_points_and_giving_up_names_the_fault(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    fault = session.run(BEGUN, "medium", "11")
    assert "Hint 1: " in session.run(CLICKED, "A hint")
    told = session.run(CLICKED, "Give up")
    assert f"Given up. The fault: {fault}." in told
    assert "Hints: 1." in told


def test_the_same_number_is_the_same_exercise_and_others_are_others(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    first = [session.run(BEGUN, "hard", str(number)) for number in range(12)]
    assert first == [session.run(BEGUN, "hard", str(number)) for number in range(12)]
    assert len(set(first)) > 6
