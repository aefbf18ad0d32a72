"""Text in, findings out: the whole flow.

Each text given is one panel: its statements are gathered (includes followed, assemblies
written out), built into a panel with every name resolved, and put before every rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from netcheck.acceptance import accept, not_needed
from netcheck.case import Case
from netcheck.chosen import chosen
from netcheck.facts.load_currents import by_nameplate
from netcheck.finding import (
    Calculation,
    Family,
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
from netcheck.one_cause import told_once, unchecked_once
from netcheck.order import in_order
from netcheck.reading.project import Gathered, gather
from netcheck.record import replace
from netcheck.rule import Rule, all_rules
from netcheck.telling import listed
from netcheck.text import Source, Span

Supposing = Callable[[Panel], tuple[Panel, tuple[str, ...]]]


def as_drawn(panel: Panel) -> tuple[Panel, tuple[str, ...]]:
    """Nothing is supposed."""
    return panel, ()


def review(
    paths: Sequence[str],
    loader: Loader,
    supposing: Supposing = as_drawn,
    *,
    as_of: str = "",
    working: bool = False,
) -> tuple[Review, Mapping[str, Source]]:
    """Review every panel, and give back the sources that were read, by path.

    `supposing` changes a panel before it is judged, and says in words what it changed.
    `as_of` is the day (`2027-01-31`) that acceptances are held against; empty, none runs out.
    `working` asks for the calculation sheets.

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
        mistakes = [*gathered.mistakes, *mistakes]
        judged = judge(panel, mistakes, as_of=as_of, as_drawn=not words, working=working)
        reviews.append(_without_what_hangs_on_the_unread(judged, panel, gathered, mistakes))
    return replace(in_order(reviews), supposed=tuple(said)), sources


def judge(
    panel: Panel,
    mistakes: Iterable[Mistake] = (),
    *,
    as_of: str = "",
    as_drawn: bool = True,
    working: bool = False,
    case: Case | None = None,
) -> Review:
    """What every rule has to say of one panel.  `case` is the panel's, where somebody has one;
    `working` asks for its calculation sheet too."""
    case = case or Case(panel)
    outcomes: list[Outcome] = []
    failures: list[str] = []
    choice = chosen(panel, all_rules() if panel.devices else ())
    rules = choice.asked
    for rule in rules:
        try:
            outcomes += rule.outcomes(case)
        except Exception as error:
            failures.append(f"{panel.path}: {rule.name}: {type(error).__name__}: {error}")
            outcomes.append(_failed(panel, rule))
    findings = [outcome for outcome in outcomes if isinstance(outcome, Finding)]
    if as_drawn and not mistakes:
        unsure = frozenset(o.rule for o in outcomes if isinstance(o, (NotChecked, NotDecided)))
        findings += choice.of_asked(not_needed(panel, findings, rules, unsure))
    parted = accept(panel, findings, all_rules() if panel.devices else (), as_of)
    calculated: tuple[tuple[str, tuple[Calculation, ...]], ...] = ()
    if working and panel.devices:
        try:
            calculated = _calculated(case)
        except Exception as error:
            failures.append(f"{panel.path}: calculations: {type(error).__name__}: {error}")
    said = Review(
        parted.kept,
        unchecked_once(outcome for outcome in outcomes if isinstance(outcome, NotChecked)),
        told_once(outcome for outcome in outcomes if isinstance(outcome, NotDecided)),
        parted.accepted,
        (*mistakes, *choice.unfit, *parted.unfit),
        proved=tuple(outcome for outcome in outcomes if isinstance(outcome, Proved)),
        panels=(panel.path,) if panel.devices else (),
        assumed=(*taken_for_granted(panel), *by_nameplate(panel)),
        checks=len(rules),
        failures=tuple(failures),
        calculations=calculated,
        switched_off=choice.off,
    )
    return replace(said, clean=said.panels) if _is_clean(said) else said


def _calculated(case: Case) -> tuple[tuple[str, tuple[Calculation, ...]], ...]:
    from netcheck.facts.calculations import Calculations

    return ((case.panel.path, case.conclude(Calculations).lines),)


def _is_clean(said: Review) -> bool:
    left_open = said.not_checked or said.not_decided or said.mistakes or said.failures
    return not (said.findings or said.accepted or left_open or said.switched_off)


def _without_what_hangs_on_the_unread(
    judged: Review, panel: Panel, gathered: Gathered, mistakes: Sequence[Mistake]
) -> Review:
    """A path may only look open, an intent only seem to hold or to fail, because of a line that
    could not be read."""
    hasty = {Family.OPEN_PATH, Family.INTENT}
    if not mistakes or not (judged.proved or any(one.family in hasty for one in judged.findings)):
        return judged
    from netcheck.reading.touched import touched

    known = {name.rpartition(".")[2] for name in panel.devices}
    spans = [one.place.span for one in mistakes]
    unread = touched(gathered.sources.values(), spans, known, gathered.unread.devices)
    if not unread and not gathered.unread.files:
        return judged
    kept, unchecked = [], []
    for finding in judged.findings:
        open_path = finding.family is Family.OPEN_PATH
        names = _hanging_on(finding, panel) if open_path else unread
        lines = sorted(unread[name].line for name in names if name in unread)
        if finding.family in hasty and (lines or gathered.unread.files):
            may = "may join what looks open" if open_path else "may decide it"
            reason = f"{_not_read(lines)}, and {may}: {finding.message}"
            unchecked.append(NotChecked(reason, finding.place, finding.devices, finding.rule))
        else:
            kept.append(finding)
    unchecked += _no_longer_proved(judged.proved, sorted(span.line for span in unread.values()))
    not_checked = (*judged.not_checked, *unchecked)
    return replace(judged, findings=tuple(kept), not_checked=not_checked, proved=())


def _no_longer_proved(proved: Sequence[Proved], lines: Sequence[int]) -> Iterator[NotChecked]:
    """One line for all intents: what was proved was proved of another panel."""
    if proved:
        names = listed([one.what for one in proved])
        whether = f"intent {names} holds" if len(proved) == 1 else f"intents {names} hold"
        reason = f"{_not_read(lines)}, and may decide whether {whether}"
        yield NotChecked(reason, proved[0].place, rule=proved[0].rule)


def _not_read(lines: Sequence[int]) -> str:
    return f"{f'line {lines[0]}' if lines else 'a part of the text'} could not be read"


def _hanging_on(finding: Finding, panel: Panel) -> set[str]:
    """The devices of a finding and on its path, as their own lines name them.

    Not its sources: nearly every line names one, and joins nothing else to it.  But where a
    source is all that it speaks of, the source it is.
    """
    sources = {source.device for source in panel.sources}
    on_path = (step.at.partition(":")[0] for step in finding.path)
    names = {*finding.devices, *on_path}
    return {name.rpartition(".")[2] for name in names - sources or names}


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
