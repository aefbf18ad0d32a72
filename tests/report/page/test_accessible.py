"""Whom the page keeps out: what axe-core finds, the keyboard alone, where it stands, motion."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.bench.panels import SAMPLES
from tests.browser import Browser, carried

pytestmark = pytest.mark.slow

FAULTY = SAMPLES.parent / "faults" / "missing-load" / "ammeter-across-the-line.panel"

# Of the drawing's sheets the live one is looked at, a copy of the first: each takes a while.
LOOKED_AT = """
  const {violations, passes} = await axe.run(
    {exclude: [['#drawing svg']]}, {preload: false, resultTypes: ['violations']});
  return {passed: passes.length, found: violations.map(
    ({id, impact, nodes}) => `${impact}: ${id} at ${nodes.map(one => one.html).slice(0, 3)}`)};
"""
BEGUN = """
  live.trainer.level.value = 'hard';
  live.trainer.begin();
  live.trainer.hint();
"""
SPOILT = """
  document.querySelector('#live input').removeAttribute('id');
  document.querySelector('#live button').setAttribute('role', 'nothing');
"""
REACHABLE = """
  const all = [...document.querySelectorAll(
    'a[href], button, input, select, summary, [tabindex="0"]')]
    .filter(one => !one.disabled && one.checkVisibility());
  window.reachable = all;
  document.activeElement.blur();
  return all.length;
"""
FOCUSED = """
  const one = document.activeElement;
  const {outlineStyle, outlineWidth} = getComputedStyle(one);
  const box = one.getBoundingClientRect();
  const outlined = outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2;
  const seen = box.bottom > 0 && box.top < innerHeight;
  return {at: reachable.indexOf(one), outlined, seen, html: one.outerHTML.slice(0, 90)};
"""
TOGGLES = """
  live.powerUp();
  const {controls} = live;
  return [...controls.rows].filter(([m]) => !controls.isTimer(m)).flatMap(([m, {buttons}]) =>
    [...buttons.keys()].filter(at => typeof at === 'number' && at !== live.bench.positions[m]
      && !live.bench.barred(m, at)).map(at => [m, at]));
"""
FOCUS = """
  const [m, at] = arguments;
  live.powerUp();
  const button = live.controls.rows.get(m).buttons.get(at);
  button.closest('details')?.setAttribute('open', '');
  button.focus();
"""
MOVING = """
  const still = one => ['transitionDuration', 'animationDuration'].every(
    name => getComputedStyle(one)[name].split(', ').every(time => time === '0s'));
  return {animations: document.getAnimations().length,
    moving: [...document.querySelectorAll('body *')].filter(one => !still(one)).length,
    scrolling: getComputedStyle(document.documentElement).scrollBehavior};
"""


@cache
def axe() -> str:
    return carried("axe_playwright_python", "axe.min.js").read_text(encoding="utf-8")


def looked_at(session: Browser) -> dict[str, Any]:
    session.run(f"{axe()}; window.axe = axe")
    found: dict[str, Any] = session.run(f"return (async () => {{ {LOOKED_AT} }})()")
    return found


def opened(session: Browser, page: Path, scheme: str = "light", width: int = 1280) -> None:
    session.open(page)
    session.show_as("screen", width, 900, scheme)


@pytest.mark.parametrize(
    ("name", "scheme", "first"),
    [
        ("frost_guard", "light", ""),
        ("frost_guard", "dark", ""),
        ("frost_guard", "light", BEGUN),
        ("faulty", "dark", ""),
        ("hostile", "light", ""),
    ],
    ids=["light", "dark", "exercise", "faulty", "hostile"],
)
def test_axe_core_finds_nothing(
    session: Browser,
    pages: dict[str, Path],
    report_of: Callable[[Path], Path],
    name: str,
    scheme: str,
    first: str,
) -> None:
    page = report_of(FAULTY) if name == "faulty" else pages[name]
    opened(session, page, scheme)
    session.run(first)
    told = looked_at(session)
    assert [] == told["found"]
    assert told["passed"] > 30


def test_axe_core_would_find_something(session: Browser, pages: dict[str, Path]) -> None:
    opened(session, pages["frost_guard"])
    session.run(SPOILT)
    found = looked_at(session)["found"]
    assert any(one.startswith("critical: label") for one in found), found
    assert any("aria-roles" in one for one in found), found


def test_the_tab_key_reaches_everything_in_turn_shows_where_it_is_and_is_not_trapped(
    session: Browser, pages: dict[str, Path]
) -> None:
    opened(session, pages["potting_shed"])
    count = session.run(REACHABLE)
    reached = []
    for _ in range(count):
        session.stroke("Tab", number=9)
        told = session.run(FOCUSED)
        assert told["outlined"], told
        assert told["seen"], told
        reached.append(told["at"])
    assert list(range(count)) == reached
    session.stroke("Tab", number=9)
    assert session.run("return reachable.indexOf(document.activeElement)") in (-1, 0)


@pytest.mark.parametrize(("key", "text", "number"), [("Enter", "\r", 13), (" ", " ", 32)])
def test_every_switch_is_put_everywhere_by_key(
    session: Browser, pages: dict[str, Path], key: str, text: str, number: int
) -> None:
    opened(session, pages["potting_shed"])
    toggles = session.run(TOGGLES)
    assert len(toggles) > 8
    for m, at in toggles:
        session.run(FOCUS, m, at)
        session.stroke(key, text, number)
        assert at == session.run("return live.bench.positions[arguments[0]]", m)


def test_nothing_moves_by_itself_so_there_is_no_motion_to_reduce(
    session: Browser, pages: dict[str, Path]
) -> None:
    opened(session, pages["potting_shed"])
    assert {"animations": 0, "moving": 0, "scrolling": "auto"} == session.run(MOVING)


def test_a_small_screen_never_scrolls_sideways_while_an_exercise_runs(
    session: Browser, pages: dict[str, Path]
) -> None:
    for name in ("potting_shed", "hostile"):
        opened(session, pages[name], width=320)
        session.run(BEGUN)
        assert 320 >= session.run("return document.documentElement.scrollWidth")
