"""Text in, findings out: the whole flow.

Each text given is one panel: its statements are gathered (includes followed, assemblies
written out), built into a panel with every name resolved, and put before every rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from netcheck.acceptance import accept
from netcheck.case import Case
from netcheck.facts.load_currents import by_nameplate
from netcheck.finding import (
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    Proved,
    Review,
)
from netcheck.loading import Loader
from netcheck.model.build import build_panel
from netcheck.model.defaults import taken_for_granted
from netcheck.model.panel import Panel
from netcheck.order import in_order
from netcheck.reading.project import gather
from netcheck.record import replace
from netcheck.rule import Rule, all_rules
from netcheck.text import Source, Span

Supposing = Callable[[Panel], tuple[Panel, tuple[str, ...]]]


def as_drawn(panel: Panel) -> tuple[Panel, tuple[str, ...]]:
    """Nothing is supposed."""
    return panel, ()


def review(
    paths: Sequence[str], loader: Loader, supposing: Supposing = as_drawn
) -> tuple[Review, Mapping[str, Source]]:
    """Review every panel, and give back the sources that were read, by path.

    `supposing` changes a panel before it is judged, and says in words what it changed.

    Raises CannotLoad where one of `paths` cannot be read; includes that cannot be
    are mistakes at their place.
    """
    reviews, sources, said = [], {}, dict[str, None]()
    for path in paths:
        gathered = gather(path, loader)
        sources.update(gathered.sources)
        panel, mistakes = build_panel(path, gathered)
        if not panel.devices and not gathered.assemblies:
            mistakes.append(_describes_nothing(path))
        panel, words = supposing(panel)
        said.update(dict.fromkeys(words))
        reviews.append(judge(panel, [*gathered.mistakes, *mistakes]))
    return replace(in_order(reviews), supposed=tuple(said)), sources


def judge(panel: Panel, mistakes: Iterable[Mistake] = ()) -> Review:
    """What every rule has to say of one panel."""
    case = Case(panel)
    outcomes: list[Outcome] = []
    failures: list[str] = []
    rules = all_rules() if panel.devices else ()
    for rule in rules:
        try:
            outcomes += rule.outcomes(case)
        except Exception as error:
            failures.append(f"{panel.path}: {rule.name}: {type(error).__name__}: {error}")
            outcomes.append(_failed(panel, rule))
    findings = [outcome for outcome in outcomes if isinstance(outcome, Finding)]
    accepted, kept, unfit = accept(panel, findings, rules)
    return Review(
        tuple(kept),
        tuple(outcome for outcome in outcomes if isinstance(outcome, NotChecked)),
        tuple(outcome for outcome in outcomes if isinstance(outcome, NotDecided)),
        tuple(accepted),
        (*mistakes, *unfit),
        proved=tuple(outcome for outcome in outcomes if isinstance(outcome, Proved)),
        panels=(panel.path,) if panel.devices else (),
        assumed=(*taken_for_granted(panel), *by_nameplate(panel)),
        checks=len(rules),
        failures=tuple(failures),
    )


def _describes_nothing(path: str) -> Mistake:
    return Mistake(
        "this text describes no device",
        Place(Span(path, 1, 1, 2)),
        "`netcheck explain language` shows how one is described",
    )


def _failed(panel: Panel, rule: Rule) -> NotDecided:
    """A rule that broke has decided nothing, and must not look as if it had."""
    place = Place(replace(next(iter(panel.devices.values())).span))
    return NotDecided("netcheck itself failed here; please report it", place, rule=rule.name)
