"""The page in a real browser: nothing is fetched or run, nothing is cut, on screen and on paper."""

from __future__ import annotations

import re
from base64 import b64decode
from pathlib import Path

import pytest

from tests.browser import Browser
from tests.report.hostile import CLOSING, FORMULA, SCRIPT

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[3]
PANELS = sorted((ROOT / "samples" / "panels").glob("*.panel"))

PX = 96 / 25.4
"""CSS pixels in a millimetre (CSS Values and Units, 96 to an inch)."""
MARGINS_MM = 24
SHEET_MARGIN_MM = 8
PAPERS_MM = {"letter": (215.9, 279.4), "A4": (210.0, 297.0)}

TOO_WIDE = """
  const room = document.body.clientWidth;
  return [...document.querySelectorAll('table, svg, p, h1, h2, h3, dl')]
    .filter(one => one.getBoundingClientRect().right > room + 1)
    .map(one => one.tagName + ' ' + one.textContent.slice(0, 40));
"""
CUT_CELLS = """
  return [...document.querySelectorAll('th, td')]
    .filter(one => one.scrollWidth > one.clientWidth + 1)
    .map(one => one.textContent.slice(0, 40));
"""
TALLEST = """
  return Math.max(...[...document.querySelectorAll('tr, .finding')]
    .map(one => one.getBoundingClientRect().height));
"""
FAINTEST = """
  const rgb = text => text.match(/[0-9.]+/g).slice(0, 3).map(Number);
  const light = colour => rgb(colour).map(c => c / 255)
    .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
    .reduce((sum, c, at) => sum + c * [0.2126, 0.7152, 0.0722][at], 0);
  const paper = light(getComputedStyle(document.documentElement).backgroundColor);
  return Math.min(...[...document.querySelectorAll('body *:not(svg, svg *)')]
    .filter(one => one.innerText && one.innerText.trim())
    .map(one => light(getComputedStyle(one).color))
    .map(ink => (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05)));
"""
GROUNDS = """
  const light = colour => Math.max(...colour.match(/[0-9.]+/g).slice(0, 3).map(Number));
  const own = document.documentElement;
  const shown = 'section:not(#live) svg:is(.sheet, .chart)';
  const lines = [...document.querySelectorAll(shown)].flatMap(svg =>
    [getComputedStyle(svg).backgroundColor, ...[...svg.querySelectorAll('text, .wire')].map(one =>
      getComputedStyle(one)[one.tagName === 'text' ? 'fill' : 'stroke'])]);
  return [light(getComputedStyle(own).backgroundColor), ...new Set(lines)
    .difference(new Set(['rgba(0, 0, 0, 0)'])).values().map(light)];
"""
LAID_OUT = """
  for (const one of document.querySelectorAll('.far')) one.style.contentVisibility = 'visible';
"""
SKIPPED_ONCE = """
  // A browser decides frame by frame what it lays out: looked at until it is so, for ten seconds.
  const all = [...document.querySelectorAll(':is(figure, .wide).far')], count = all.length;
  const isSo = new Function('count', 'skipped', 'return ' + arguments[0]);
  const until = performance.now() + 10000;
  return new Promise(done => {
    const look = () => {
      const skipped = all.filter(one => !one.querySelector('text, td')
        .checkVisibility({contentVisibilityAuto: true})).length;
      if (isSo(count, skipped) || performance.now() > until) done([count, skipped]);
      else requestAnimationFrame(look);
    };
    look();
  });
"""
OTHER_SIZES = """
  return [...document.querySelectorAll('svg.sheet text')]
    .filter(one => getComputedStyle(one).fontSize !== one.getAttribute('font-size') + 'px')
    .map(one => one.textContent);
"""
CAPITALS_MM = """
  const pen = document.createElement('canvas').getContext('2d');
  return Math.min(...[...document.querySelectorAll('figure svg')].flatMap(svg => {
    const scale = svg.getScreenCTM().a;
    return [...svg.querySelectorAll('text')].map(text => {
      const { fontSize, fontFamily, fontWeight } = getComputedStyle(text);
      pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
      return pen.measureText('H').actualBoundingBoxAscent * scale * 25.4 / 96;
    });
  }));
"""
LOWEST_PT = """
  return Math.min(...[...document.querySelectorAll('td, th, li, p, dd')]
    .filter(one => one.getClientRects().length && one.textContent.trim())
    .map(one => parseFloat(getComputedStyle(one).fontSize) * 72 / 96));
"""
TEXTS_OUTSIDE = """
  return [...document.querySelectorAll('svg.sheet')].flatMap(svg => {
    const box = svg.getBoundingClientRect();
    return [...svg.querySelectorAll('text')].filter(one => {
      const at = one.getBoundingClientRect();
      return at.left < box.left - 1 || at.right > box.right + 1;
    }).map(one => one.textContent);
  });
"""
OVERLAPPING = """
  return [...document.querySelectorAll('svg.sheet')].flatMap(svg => {
    const texts = [...svg.querySelectorAll('text')]
      .map(one => [one.lastChild.textContent, one.getBBox(), one.closest('g')])
      .filter(one => !one[2]);
    const found = [];
    texts.forEach(([a, p], at) => texts.slice(at + 1).forEach(([b, q]) => {
      const wide = Math.min(p.x + p.width, q.x + q.width) - Math.max(p.x, q.x);
      const high = Math.min(p.y + p.height, q.y + q.height) - Math.max(p.y, q.y);
      if (wide > 1 && high > 3.5) found.push(a + ' over ' + b);
    }));
    return found;
  });
"""


NAMES = [*(path.stem for path in PANELS), "hostile"]
each = pytest.mark.parametrize("name", NAMES)


@each
def test_the_page_asks_for_nothing_but_itself_and_complains_of_nothing(
    session: Browser, pages: dict[str, Path], name: str
) -> None:
    session.requested()
    session.complaints()
    session.open(pages[name])
    assert "complete" == session.run("return document.readyState")
    assert [pages[name].as_uri()] == session.requested()
    assert [] == session.complaints()


def test_hostile_words_run_nothing_and_can_be_read(
    session: Browser, pages: dict[str, Path]
) -> None:
    session.open(pages["hostile"])
    assert session.run("return window.hacked === undefined")
    assert session.run("return document.getElementById('hacked') === null")
    own = "return [...document.querySelectorAll('script, img')].map(one => one.id || one.src)"
    assert ["live-data", ""] == session.run(own)
    assert SCRIPT == session.run("return document.title")
    words = session.run("return document.body.textContent")
    assert CLOSING in words
    assert FORMULA in words


@each
@pytest.mark.parametrize("paper", PAPERS_MM)
def test_nothing_is_cut_on_paper(
    session: Browser, pages: dict[str, Path], name: str, paper: str
) -> None:
    wide, tall = PAPERS_MM[paper]
    session.open(pages[name])
    session.show_as("print", int((wide - MARGINS_MM) * PX))
    assert [] == session.run(TOO_WIDE)
    assert [] == session.run(CUT_CELLS)
    assert session.run(TALLEST) < (tall - 2 * 14) * PX


@each
@pytest.mark.parametrize("paper", PAPERS_MM)
def test_capitals_of_the_drawing_are_not_lower_than_drafting_asks_for(
    session: Browser, pages: dict[str, Path], name: str, paper: str
) -> None:
    # ISO 3098-1 names letters by the height h of a capital, and has h = 2.5 mm in its series; that
    # no letter of a drawing is to be lower is common practice, from memory.
    wide = PAPERS_MM[paper][1] - 2 * SHEET_MARGIN_MM
    session.open(pages[name])
    session.show_as("print", int(wide * PX))
    assert round(session.run(CAPITALS_MM), 1) >= 2.5


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_the_report_of_the_greenhouse_takes_less_than_fifty_pages_in_letters_of_eight_points(
    session: Browser, pages: dict[str, Path], paper: str
) -> None:
    wide, tall = PAPERS_MM[paper]
    session.open(pages["greenhouse"])
    session.show_as("print", int((wide - MARGINS_MM) * PX))
    assert session.run(LOWEST_PT) >= 8
    size = {"paperWidth": wide / 25.4, "paperHeight": tall / 25.4, "preferCSSPageSize": True}
    printed = b64decode(session.tell("Page.printToPDF", **size)["data"])
    assert 20 < len(re.findall(rb"/Type\s*/Page\b", printed)) < 50


@each
def test_a_small_screen_scrolls_down_and_only_tables_and_sheets_aside(
    session: Browser, pages: dict[str, Path], name: str
) -> None:
    session.open(pages[name])
    session.show_as("screen", 320)
    assert 320 >= session.run("return document.documentElement.scrollWidth")


def test_what_is_far_from_the_window_is_not_laid_out_yet_and_on_paper_everything_is(
    session: Browser, pages: dict[str, Path]
) -> None:
    session.open(pages["greenhouse"])
    session.show_as("screen", 1200)
    count, skipped = session.run(SKIPPED_ONCE, "skipped > count - 3")
    assert count > 10
    assert skipped > count - 3
    session.run("[...document.querySelectorAll('figure.far')].at(-1).scrollIntoView()")
    assert session.run(SKIPPED_ONCE, f"skipped < {skipped}")[1] < skipped
    session.show_as("print", 800)
    assert [count, 0] == session.run(SKIPPED_ONCE, "skipped === 0")


@each
def test_no_letter_of_the_drawing_is_cut_or_stands_on_another(
    session: Browser, pages: dict[str, Path], name: str
) -> None:
    session.open(pages[name])
    session.show_as("screen", 1400)
    session.run(LAID_OUT)
    assert [] == session.run(OTHER_SIZES)
    assert [] == session.run(TEXTS_OUTSIDE)
    assert [] == session.run(OVERLAPPING)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_all_words_have_contrast_enough(
    session: Browser, pages: dict[str, Path], scheme: str
) -> None:
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1.
    session.open(pages["greenhouse"])
    session.show_as("screen", 1200, scheme=scheme)
    assert session.run(FAINTEST) > 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_drawing_follows_the_theme_of_the_screen_and_prints_as_ink_on_paper(
    session: Browser, pages: dict[str, Path], scheme: str
) -> None:
    session.open(pages["greenhouse"])
    session.show_as("screen", 1200, scheme=scheme)
    paper, *inks = session.run(GROUNDS)
    assert inks
    if scheme == "dark":
        assert paper < 60 < 120 < min(inks)
    else:
        assert max(inks) < 120 < 200 < paper
    session.show_as("print", 900, scheme=scheme)
    paper, *inks = session.run(GROUNDS)
    assert (255, 0) == (paper, max(inks))
