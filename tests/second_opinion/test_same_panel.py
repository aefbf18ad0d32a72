"""One panel written in several ways gets one verdict: other names, another order, doubled wires.

No other opinion is asked here: what must not matter is changed, and nothing may come of it.
"""

from __future__ import annotations

import re
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings

from netcheck.facts.as_built import build
from netcheck.facts.closed_loops import ClosedLoops
from netcheck.finding import Review
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.record import replace
from netcheck.review import judge, review
from tests.annotated import Texts
from tests.second_opinion.random_panels import Drawn, panels
from tests.second_opinion.tally import REWRITTEN, counts
from tests.second_opinion.test_states import kind_of
from tests.test_samples import FAULTS, SOUND

FEW = settings(max_examples=15, suppress_health_check=list(HealthCheck))
MANY = settings(max_examples=100, suppress_health_check=list(HealthCheck))
HUNDREDS = settings(max_examples=900, suppress_health_check=list(HealthCheck))
PATH = "a.panel"

# A quoted text, a remark, or a word; words after a colon are terminals' marks.
WORD = re.compile(r'"[^"\n]*"|#[^\n]*|(?<![\w:.-])[A-Z]\w*')

OF_STATES = {
    "missing load",
    "missing load in a race",
    "load never energised",
    "contacts never closed together",
    "contradictory interlock",
    "relay never pulls in",
    "chattering",
    "load that nothing switches off",
    "loads in series",
    "return by another source",
    "return by grounding conductor",
}
"""Rules that ask which states there are; others rightly care for the size and place of a wire."""

# Written in one file, without a part that is used several times.
PLAIN = {
    path: text
    for path, text in (FAULTS | SOUND).items()
    if not re.search(r"^\s*(include|assembly|use)\b", text, re.MULTILINE)
}
NAMED_PANEL = re.compile(r"^panel [A-Z]", re.MULTILINE)


by_text = counts(REWRITTEN, lambda drawn: drawn.text)
by_path = counts(REWRITTEN, lambda path: path)


def judged(text: str) -> Review:
    found, _ = review([PATH], Texts({PATH: text}))
    assert () == found.mistakes, f"{found.mistakes}\n{text}"
    return found


def panel_of(text: str) -> Panel:
    panel, _ = build_panel(PATH, gather(PATH, Texts({PATH: text})))
    return panel


# ---- other names -----------------------------------------------------------------------------


def other_names(panel: Panel) -> dict[str, str]:
    """Names that sort the other way round, of the same letters.

    One that is a terminal's mark as well is left as it is: the text does not tell them apart.
    """
    marks = {terminal.partition(":")[2] for terminal in panel.terminals}
    found = {}
    for place, name in enumerate(panel.devices):
        if name in marks:
            continue
        letters = re.match(r"[A-Za-z]+", name)
        found[name] = f"{letters.group() if letters else 'Z'}{9_000 - place}"
    return found


def renamed(text: str, names: dict[str, str]) -> str:
    return WORD.sub(lambda found: names.get(found.group(), found.group()), text)


def told_by_name(found: Review, names: dict[str, str]) -> Counter[tuple[str, int, str]]:
    """Each outcome by its rule, line and identity, under the names of before."""
    back = {new: old for old, new in names.items()}

    def plain(words: str) -> str:
        old = re.sub(r"[A-Z]\w*", lambda word: back.get(word.group(), word.group()), words)
        return " ".join(sorted(old.replace(",", " ").split()))

    told = [(f.rule, f.place.span.line, plain(f.identity)) for f in found.findings]
    told += [(n.rule, n.place.span.line, "not decided") for n in found.not_decided]
    told += [(n.rule, n.place.span.line, "not checked") for n in found.not_checked]
    return Counter(told)


@pytest.mark.parametrize("path", PLAIN)
@by_path
def test_other_names_change_nothing_in_a_sample(path: str) -> None:
    text = PLAIN[path]
    names = other_names(panel_of(text))
    assert told_by_name(judged(text), {}) == told_by_name(judged(renamed(text, names)), names)


@by_text
def names_do_not_matter(drawn: Drawn) -> None:
    names = other_names(panel_of(drawn.text))
    before, after = judged(drawn.text), judged(renamed(drawn.text, names))
    assert told_by_name(before, {}) == told_by_name(after, names), drawn.text


# ---- another order ---------------------------------------------------------------------------


def turned_round(text: str) -> str:
    """Circuits last to first, and within each its lines."""
    head, *circuits = re.split(r"(?m)^(?=circuit )", text)
    return head + "".join(_lines_turned_round(circuit) for circuit in reversed(circuits))


def _lines_turned_round(circuit: str) -> str:
    first, *lines = circuit.rstrip("\n").split("\n")
    statements: list[list[str]] = []
    for line in lines:
        goes_on = line.lstrip().startswith("--") or (
            statements and statements[-1][-1].partition("#")[0].rstrip().endswith((",", ";"))
        )
        if goes_on:
            statements[-1].append(line)
        else:
            statements.append([line])
    drawn = [one for one in statements if " --" in one[0]]
    rest = [one for one in statements if one not in drawn]
    return "\n".join([first, *(line for one in [*reversed(drawn), *rest] for line in one)]) + "\n"


def rules_in(found: Review) -> Counter[tuple[str, str]]:
    return Counter(
        [("found", f.rule) for f in found.findings]
        + [("not decided", n.rule) for n in found.not_decided]
        + [("not checked", n.rule) for n in found.not_checked]
    )


@pytest.mark.parametrize(
    "path",
    [
        path
        for path, text in PLAIN.items()
        if not NAMED_PANEL.search(text)  # a circuit belongs to the panel it stands in
    ],
)
@by_path
def test_the_order_of_circuit_lines_changes_no_verdict_on_a_sample(path: str) -> None:
    text = PLAIN[path]
    assert rules_in(judged(text)) == rules_in(judged(turned_round(text)))


@by_text
def order_does_not_matter(drawn: Drawn) -> None:
    alike_but_for_causes(drawn, judged(drawn.text), judged(turned_round(drawn.text)))


def alike_but_for_causes(drawn: Drawn, before: Review, after: Review) -> None:
    """The cause of a short is what is drawn last, and the rest is judged as if it were mended:
    where there is a short, only that there is one must stay."""
    short = ("found", "missing load")
    assert (short in rules_in(before)) == (short in rules_in(after)), drawn.text
    if short not in rules_in(before):
        assert of_states(before) == of_states(after), drawn.text


# ---- doubled wires ---------------------------------------------------------------------------


def doubled(text: str) -> Review:
    """The review of the panel with each wire a second time beside the first, without a number."""
    return judge(doubly_wired(panel_of(text)))


def doubly_wired(panel: Panel) -> Panel:
    first = len(panel.wires)
    beside = [
        replace(wire, index=first + place, number="", cable="")
        for place, wire in enumerate(panel.wires)
    ]
    return replace(panel, wires=(*panel.wires, *beside))


def of_states(found: Review) -> set[tuple[str, str]]:
    return {(kind, rule) for kind, rule in rules_in(found) if rule in OF_STATES}


@pytest.mark.parametrize("path", PLAIN)
@by_path
def test_a_second_wire_beside_each_changes_no_state_of_a_sample(path: str) -> None:
    text = PLAIN[path]
    assert of_states(judged(text)) == of_states(doubled(text))


@by_text
def doubled_wires_do_not_matter(drawn: Drawn) -> None:
    alike_but_for_causes(drawn, judged(drawn.text), doubled(drawn.text))


# ---- panels made up --------------------------------------------------------------------------

CHANGES = [names_do_not_matter, order_does_not_matter, doubled_wires_do_not_matter]


@pytest.mark.parametrize("change", CHANGES)
def test_a_made_up_panel_written_otherwise_gets_the_same_verdict(change: object) -> None:
    assert callable(change)
    FEW(given(panels())(lambda drawn: change(drawn)))()


@pytest.mark.slow
@pytest.mark.parametrize("change", CHANGES)
def test_many_made_up_panels_written_otherwise_get_the_same_verdict(change: object) -> None:
    assert callable(change)
    MANY(given(panels())(lambda drawn: change(drawn)))()


# ---- proofs alone, which cost less than a review -------------------------------------------------


@by_text
def proofs_are_alike(drawn: Drawn) -> None:
    panel = panel_of(drawn.text)
    expected = proved(panel)
    assert expected == proved(panel_of(renamed(drawn.text, other_names(panel)))), drawn.text
    assert expected == proved(panel_of(turned_round(drawn.text))), drawn.text
    assert expected == proved(doubly_wired(panel)), drawn.text


def proved(panel: Panel) -> list[str]:
    """Whether each load can be on and off, each relay in, and any loop closed, as devices stand
    in the text."""
    built = build(panel)
    behaviour = built.wide
    prover, machine = behaviour.prover, behaviour.machine
    loads = [behaviour.energised(part) for part in panel.parts if part.load is not None]
    rests = [prover.can_happen(bad, at="settled") for one in loads for bad in (one, one ^ 1)]
    moves = [prover.can_happen(mover.state) for mover in machine.movers.values()]
    loops = [loop.way.condition for loop in ClosedLoops(behaviour, built.certain).of(panel)]
    closed = [
        prover.can_happen(machine.logic.any_of(loops), same_instant=same) for same in (False, True)
    ]
    return [kind_of(answer) for answer in (*rests, *moves, *closed)]


@FEW
@given(panels())
def test_proofs_of_a_made_up_panel_written_otherwise_are_the_same(drawn: Drawn) -> None:
    proofs_are_alike(drawn)


@pytest.mark.slow
@HUNDREDS
@given(panels())
def test_proofs_of_hundreds_of_panels_written_otherwise_are_the_same(drawn: Drawn) -> None:
    proofs_are_alike(drawn)
