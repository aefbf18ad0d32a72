"""The live page, operated in a real browser: by click, by key, and against the program itself."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from netcheck.bench.as_found import as_found
from netcheck.bench.live_model import live_model
from netcheck.bench.trial import Trial
from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.supposed import suppose
from tests.bench.diode_circuits import HOLDS, OPENS, bed
from tests.bench.panels import SAMPLES, THREE_LINES, panel_of, sample
from tests.browser import Browser
from tests.live_sequences import REPLAYED, Operated, sequences

pytestmark = pytest.mark.slow

PANELS = sorted(SAMPLES.glob("*.panel"))

SEQUENCES = 200
AT_ONCE = 20

EVERY_BUTTON = """
  const wrong = [];
  let tried = 0;
  for (const [m, {stands, buttons}] of live.controls.rows) {
    for (const [at, button] of buttons) {
      if (at === 'runs out') continue;
      live.powerUp();
      const why = typeof at === 'number' && live.bench.barred(m, at);
      button.click();
      tried += 1;
      const name = live.controls.called(m) + ' ' + button.textContent + ': ';
      if (why) {
        if (!live.status.textContent.includes(why)) wrong.push(name + live.status.textContent);
      } else if (at === 'press') {
        if (live.bench.positions[m] !== 0) wrong.push(name + 'stays in');
      } else if (button.getAttribute('aria-pressed') !== 'true') {
        const opened = live.alarm.textContent.includes('short');
        if (!opened) wrong.push(name + stands.textContent);
      }
    }
  }
  live.powerUp();
  return {tried, wrong};
"""
POWERED = """
  const [model, pairs] = arguments;
  const bench = new Bench(model);
  const said = model.sources.filter(one => one.m >= 0).flatMap(one => bench.put(one.m, 1));
  const at = name => model.terminals.indexOf(name);
  return {said, volts: pairs.map(([red, black]) => bench.read(at(red), at(black)))};
"""
"""What follows once all its sources are on, and what is then read."""
UNNAMED = """
  return [...document.querySelectorAll('#live :is(button, input, select, output)')]
    .filter(one => !(one.labels && one.labels.length) && !one.textContent.trim())
    .map(one => one.outerHTML.slice(0, 80));
"""
CLICKED_ONLY = """
  return [...document.querySelectorAll('#live [role=button], #live [onclick]')].length;
"""
LOOKS = """
  return Object.fromEntries(['hot', 'home', 'through', 'dead'].map(style => {
    const line = document.querySelector('#live .sheet polyline');
    line.setAttribute('class', 'wire ' + style);
    const {strokeWidth, strokeDasharray} = getComputedStyle(line);
    return [style, strokeWidth + ' ' + strokeDasharray];
  }));
"""
PLACED = """
  const named = document.querySelector(arguments[0]);
  named.value = arguments[1];
  named.dispatchEvent(new Event('change'));
"""


each = pytest.mark.parametrize("path", PANELS, ids=lambda path: path.stem)


def opened(session: Browser, page: Path) -> Browser:
    session.open(page)
    session.show_as("screen", 1280)
    return session


def shed(session: Browser, pages: dict[str, Path]) -> Browser:
    return opened(session, pages["potting_shed"])


def is_on(session: Browser, load: str) -> bool:
    rows = "[...live.loads.rows].find(([at]) => live.model.devices[at].name === arguments[0])"
    return bool(session.run(f"return {rows}[1].told.textContent.startsWith('ON')", load))


def button(session: Browser, name: str, words: str) -> None:
    """Click what bears these words at the thing of this name, with the mouse."""
    script = (
        "const row = [...live.controls.rows]"
        ".find(([m]) => live.model.mechanisms[m].name === arguments[0]);"
        "const found = [...row[1].row.querySelectorAll('button')]"
        ".find(one => one.textContent === arguments[1]);"
        "found.closest('details')?.setAttribute('open', '');"
        "found.scrollIntoView({block: 'center'});"
        "const box = found.getBoundingClientRect();"
        "return [box.x + box.width / 2, box.y + box.height / 2];"
    )
    x, y = session.run(script, name, words)
    for kind in ("mousePressed", "mouseReleased"):
        session.tell("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)


# ---- against the program -------------------------------------------------------------------------


@each
def test_states_and_volts_are_those_of_the_program_whatever_is_operated(
    session: Browser, pages: dict[str, Path], path: Path
) -> None:
    opened(session, pages[path.stem])
    operated = Operated(as_found(sample(path)))
    runs = list(sequences(operated, SEQUENCES, seed=7))
    compared = 0
    for first in range(0, SEQUENCES, AT_ONCE):
        found = session.run(REPLAYED, operated.model, runs[first : first + AT_ONCE])
        assert [] == found["wrong"]
        compared += found["compared"]
    assert compared > 5 * SEQUENCES


@pytest.mark.parametrize("name", [*OPENS, *HOLDS])
def test_what_diodes_do_is_what_the_program_says(
    session: Browser, pages: dict[str, Path], name: str
) -> None:
    text = OPENS[name][0] if name in OPENS else HOLDS[name]
    panel = bed(text)
    trial = Trial(panel)
    said = trial.powered()
    pairs = [(one.a, one.b) for one in panel.parts if one.load or one.device in ("D1", "K1")]
    volts = [trial.reading(*pair) for pair in pairs]
    opened(session, pages["potting_shed"])
    model = live_model(panel, Case(panel).conclude(ComponentValues))
    found = session.run(POWERED, model, pairs)
    assert said == found["said"]
    for (red, black), ours, theirs in zip(pairs, volts, found["volts"], strict=True):
        assert ours is not None
        assert ours.floats == theirs["floats"], (red, black)
        read = pytest.approx([theirs["dc"], theirs["ac"]], abs=1e-4, rel=1e-4)
        assert [ours.dc_v, ours.ac_v] == read, (red, black)


@pytest.mark.parametrize("fault", ["", "FU1 blown", "FU2 blown", "FU3 blown"])
def test_a_monitor_of_three_lines_is_operated_while_all_of_them_are_there(
    session: Browser, pages: dict[str, Path], fault: str
) -> None:
    panel = suppose(as_found(panel_of(THREE_LINES)), (), (fault,) if fault else ()).panel
    opened(session, pages["potting_shed"])
    model = live_model(panel, Case(panel).conclude(ComponentValues))
    (lamp,) = session.run(POWERED, model, [("H1:X1", "H1:X2")])["volts"]
    assert pytest.approx(0 if fault else 24, abs=0.1) == lamp["dc"]


# ---- by hand -------------------------------------------------------------------------------------


@each
def test_every_button_does_what_it_says_or_tells_why_not(
    session: Browser, pages: dict[str, Path], path: Path
) -> None:
    opened(session, pages[path.stem]).complaints()
    found = session.run(EVERY_BUTTON)
    assert [] == found["wrong"]
    assert found["tried"] > 10
    assert [] == session.complaints()


def test_a_motor_is_started_with_the_mouse_and_the_emergency_stop_is_felt_at_once(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    button(session, "S0", "Press")
    button(session, "S2", "Press")
    assert is_on(session, "M1")
    button(session, "ES1", "pushed")
    assert not is_on(session, "M1")
    assert "off: " in session.run("return live.status.textContent")
    assert "STOPPED: ES1" in session.run("return live.bar.innerText")
    button(session, "ES1", "reset")
    assert "STOPPED" not in session.run("return live.bar.innerText")
    assert not is_on(session, "M1")


def test_a_button_is_held_with_the_keyboard_for_as_long_as_the_key_is_down(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    at = "live.model.mechanisms.findIndex(one => one.name === 'S2')"
    session.run(f"live.controls.rows.get({at}).buttons.get('press').focus()")
    session.press(" ", " ")
    assert 1 == session.run(f"return live.bench.positions[{at}]")
    session.release(" ")
    assert 0 == session.run(f"return live.bench.positions[{at}]")


def test_a_short_opens_its_breaker_and_is_cried_out(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    session.run("""
      const at = name => live.model.terminals.indexOf(name);
      const joint = {...live.model.parts[0], a: at('HTR1:1'), b: at('HTR1:2'), conducts: 'joins',
        m: -1, closed: [], oneWay: false, load: null, draw: null, leak: null, cold: null};
      live.model.parts.push(joint);
      live.powerUp();
    """)
    assert "opens: a short" in session.run("return live.alarm.textContent")


@each
def test_everything_that_can_be_operated_has_a_name_and_is_a_thing_that_keys_reach(
    session: Browser, pages: dict[str, Path], path: Path
) -> None:
    opened(session, pages[path.stem])
    assert [] == session.run(UNNAMED)
    assert 0 == session.run(CLICKED_ONLY)


def test_no_two_sorts_of_line_differ_in_their_tint_alone(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    looks = session.run(LOOKS)
    assert 4 == len(set(looks.values())), looks


# ---- the meter and the way home ------------------------------------------------------------------


def test_the_meter_reads_volts_and_refuses_ohms_on_what_is_live(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    session.run(PLACED, "#live-red", "HTR1:1")
    session.run(PLACED, "#live-black", "HTR1:2")
    volts = session.run("return live.meter.reading.textContent")
    assert volts.endswith(" V AC")
    session.run(PLACED, "#live-dial", "ohms")
    assert session.run("return live.meter.reading.textContent").startswith(
        "refused: HTR1:1 stands "
    )
    button(session, "MAINS", "off")
    assert session.run("return live.meter.reading.textContent").endswith(" ohm")


def test_the_meter_says_which_terminal_there_is_not(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    session.run(PLACED, "#live-red", "<b>:1")
    assert "there is no terminal <b>:1" == session.run("return live.meter.reading.textContent")


@each
def test_the_way_of_a_load_that_is_on_is_closed_and_of_one_that_is_off_says_where_it_is_open(
    session: Browser, pages: dict[str, Path], path: Path
) -> None:
    opened(session, pages[path.stem])
    told: Sequence[dict[str, Any]] = session.run("""
      return [...live.walk.chosen.options].map(one => Number(one.value)).map(part => {
        const {told, steps} = wayHome.of(live.bench, part);
        return {on: live.bench.state.energised(part), told, open: steps.some(s => s.open),
          steps: steps.length};
      });
    """)
    assert told
    for one in told:
        if one["on"]:
            assert "comes home" in one["told"]
            assert not one["open"]
        elif one["open"]:
            assert "open at" in one["told"] or "gives nothing" in one["told"]
    assert any(one["steps"] > 4 for one in told)


def test_the_way_home_is_walked_place_by_place_on_the_drawing(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    session.run("""
      const {walk} = live;
      walk.chosen.selectedIndex = [...walk.chosen.options]
        .findIndex(one => one.textContent.startsWith('HTR1'));
      walk.walkTo(0);
    """)
    first = session.run("return live.walk.here.textContent")
    session.run("live.walk.walkTo(live.walk.step + 1)")
    assert first.startswith("1 of ")
    assert session.run("return live.walk.here.textContent").startswith("2 of ")
    assert 1 == session.run("return document.querySelectorAll('#live [aria-current=step]').length")


def test_one_press_is_spoken_once_and_the_place_on_the_way_only_when_it_is_walked_to(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    spoken = """
      const regions = '#live :is([role=status], [role=alert], [role=log], output)';
      const all = [...document.querySelectorAll(regions)];
      const before = all.map(one => one.textContent);
      arguments[0] === 'press' ? live.put(live.controls.bySort.source[0], 0)
        : live.walk.walkTo(live.walk.step + 1);
      return all.filter((one, at) => one.textContent !== before[at]
        && one.getAttribute('aria-live') !== 'off').map(one => one.className);
    """
    assert ["status"] == session.run(spoken, "press")
    assert ["here"] == session.run(spoken, "walk")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_is_usable_on_a_small_screen(
    session: Browser, pages: dict[str, Path], scheme: str
) -> None:
    session.open(pages["greenhouse"])
    session.show_as("screen", 320, 640, scheme)
    assert 320 >= session.run("return document.documentElement.scrollWidth")
    smallest = session.run("""
      return Math.min(...[...document.querySelectorAll('#live :is(button, input, select, summary)')]
        .map(one => one.getBoundingClientRect()).filter(box => box.height)
        .map(box => Math.min(box.width, box.height)));
    """)
    # WCAG 2.2, success criterion 2.5.8: 24 CSS pixels.
    assert smallest >= 24


# ---- what is told and shown ----------------------------------------------------------------------


def test_what_a_press_did_is_still_told_when_the_button_is_let_go(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    button(session, "S0", "Press")
    told = session.run("return live.status.textContent")
    assert told.startswith("press S0; K0 pulls in")
    assert told.endswith("release S0.")


def test_walking_on_turns_to_the_sheet_where_the_place_is_drawn(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    shown = session.run("""
      const found = [];
      for (const option of live.walk.chosen.options) {
        live.walk.chosen.value = option.value;
        live.walk.walkTo(0);
        for (let step = 0; step < live.walk.found.steps.length; step += 1) {
          live.walk.walkTo(step);
          const {wire} = live.walk.found.steps[step];
          if (wire === undefined) continue;
          const line = live.sheets.frame.querySelector(`[data-wire="${wire}"].walked`);
          found.push([live.sheets.shown, line !== null]);
        }
      }
      return found;
    """)
    assert all(is_there for _, is_there in shown)
    assert len({sheet for sheet, _ in shown}) > 2


def test_a_load_that_is_on_is_drawn_heavier_in_a_box_of_its_own_too(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    heavy = """
      const part = live.model.parts.findIndex(one => one.load && one.label.startsWith('M1'));
      live.sheets.show(live.sheets.sheetOf({part}));
      return Boolean(live.sheets.frame.querySelector(`[data-part="${part}"].energised`));
    """
    assert not session.run(heavy)
    button(session, "S0", "Press")
    button(session, "S2", "Press")
    assert session.run(heavy)


def test_words_that_run_from_right_to_left_turn_none_of_their_neighbours(
    session: Browser, pages: dict[str, Path]
) -> None:
    opened(session, pages["hostile"])
    isolated = """
      return [...document.querySelectorAll('#live .name, code, dd')]
        .filter(one => getComputedStyle(one).unicodeBidi !== 'isolate').length;
    """
    assert 0 == session.run(isolated)
    # The position stands right of the name, as it does for any other switch.
    sides = session.run("""
      const box = (row, name) => row.querySelector(name).getBoundingClientRect();
      return [...document.querySelectorAll('#live .side .control:not(.places)')]
        .filter(row => row.offsetHeight).map(row => [box(row, '.name'), box(row, '.stands')])
        .map(([name, stands]) => stands.top > name.top + 12 || stands.left >= name.right - 1);
    """)
    assert sides
    assert all(sides)


def test_hostile_words_do_nothing_when_everything_is_operated(
    session: Browser, pages: dict[str, Path]
) -> None:
    opened(session, pages["hostile"]).complaints()
    found = session.run(EVERY_BUTTON)
    assert [] == found["wrong"]
    session.run("live.trainer.begin(); live.trainer.hint(); live.trainer.end('Given up.');")
    assert session.run("return window.hacked === undefined")
    assert session.run("return document.querySelectorAll('#hacked, img').length === 0")
    assert [] == session.complaints()


def test_every_sheet_of_the_drawing_can_be_chosen_and_nothing_else(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    told = session.run("return [...live.sheets.choice.options].map(one => one.textContent)")
    assert len(told) > 2
    numbers = [f"Sheet {number} of {len(told)}: " for number in range(1, len(told) + 1)]
    assert all(one.startswith(number) for one, number in zip(told, numbers, strict=True)), told


def test_the_drawing_is_shown_larger_and_scrolls_within_its_frame(
    session: Browser, pages: dict[str, Path]
) -> None:
    shed(session, pages)
    letters = """
      const text = live.sheets.frame.querySelector('text.n');
      return parseFloat(text.getAttribute('font-size')) * text.getScreenCTM().a;
    """
    before = session.run(letters)
    session.run("[...live.sheets.figure.querySelectorAll('button')][0].click()")
    assert session.run(letters) > 1.3 * before
    assert session.run(letters) > 10
    assert 1280 >= session.run("return document.documentElement.scrollWidth")
