"""`netcheck review`: the main job."""

from __future__ import annotations

import gc
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli import options
from netcheck.cli.given import STANDARD_INPUT, Given, given_panels, readable, standard_input
from netcheck.cli.loader import FileLoader
from netcheck.cli.many import Many, Task, asked_for, each, many
from netcheck.cli.outputs import (
    STANDARD_OUTPUT,
    Look,
    Output,
    read_outputs,
    refuse_harmful,
    rendered,
    write_each,
)
from netcheck.cli.screen import (
    Fault,
    Progress,
    internal_error,
    note,
    screen_width,
    share_done,
    wants_colour,
)
from netcheck.cli.status import MEANING, Status, status_of
from netcheck.cli.supposing import refuse_several, supposed, supposing
from netcheck.finding import SEVERITY_ORDER, Review, Severity
from netcheck.record import draft, fresh, replace
from netcheck.report.terminal import visible
from netcheck.text import Source

if TYPE_CHECKING:
    from netcheck.cli.kept import Kept
    from netcheck.loading import Loader
    from netcheck.model.panel import Panel
    from netcheck.review import Supposing


@click.command("review", epilog=MEANING)
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option(
    "--output",
    "outputs",
    metavar="FORM=PATH",
    callback=read_outputs,
    multiple=True,
    help="Write the report to a file, or to standard output with `-`; may be given several "
    "times.  FORM is text, json, sarif, junit, github, gitlab, markdown or csv.  "
    "Without it: text=-",
)
@click.option(
    "--fail-on",
    "--severity",
    "severity",
    type=click.Choice([severity.value for severity in SEVERITY_ORDER]),
    default=Severity.QUERY.value,
    show_default=True,
    help="Mildest severity that makes the exit status 1.",
)
@options.as_of
@click.option(
    "--register",
    "register",
    metavar="FILE",
    help="Findings that `netcheck register` wrote down there count as accepted.",
)
@click.option("--new-only", metavar="REVISION", help="So do those of this git revision.")
@click.option(
    "--changed-only",
    metavar="REVISION",
    help="Pass over panels that read as in this git revision, with all they include.",
)
@click.option("--allow-unchecked", is_flag=True, help="What lacked data does not count as open.")
@click.option(
    "--allow-undecided", is_flag=True, help="What no proof decided does not count as open."
)
@click.option(
    "--as", "as_path", metavar="PATH", help="The file whose text `-` reads from standard input."
)
@options.root
@options.colour
@supposing
@click.option(
    "--working",
    is_flag=True,
    help="Add the calculation sheet: what was required, what is allowed, and from where, also "
    "where it holds.",
)
@many
@click.option("--quiet", is_flag=True, help="Show findings only, and the counts of the rest.")
@click.pass_context
def command(
    ctx: click.Context,
    paths: tuple[str, ...],
    outputs: tuple[Output, ...],
    severity: str,
    as_of: str,
    register: str | None,
    new_only: str | None,
    changed_only: str | None,
    allow_unchecked: bool,
    allow_undecided: bool,
    as_path: str | None,
    root: str | None,
    colour: str,
    working: bool,
    workers: int,
    cache: str | None,
    no_cache: bool,
    quiet: bool,
    withs: tuple[str, ...],
    faults: tuple[str, ...],
) -> None:
    """Find what is wrong in the panels described in PATH.

    PATH is a file, a folder (every .panel file in it) or `-` for standard input.
    """
    if as_path and STANDARD_INPUT not in paths:
        raise click.UsageError("--as names the text that `-` reads; give `-` as well")
    how = asked_for(workers, cache, no_cache)
    given = given_panels(paths, as_path, root)
    if len(given.paths) > 1:
        gc.enable()
    refuse_several(given.paths, withs, faults)
    refuse_harmful(outputs, [*given.paths, *filter(None, [register])])
    unsaved = {as_path or STANDARD_INPUT: standard_input()} if STANDARD_INPUT in paths else {}

    loader = FileLoader(given.roots, unsaved)
    passed_over: list[str] = []
    if changed_only is not None:
        from netcheck.cli import gate

        passed_over = gate.changed_only(given, loader, changed_only)

    def supposing(panel: Panel) -> tuple[Panel, tuple[str, ...]]:
        return supposed(panel, withs, faults)

    run = reviewed(given, loader, supposing, as_of, working, how)
    run.review = replace(run.review, passed_over=tuple(sorted(passed_over)))

    def as_then(given: Given, then: FileLoader) -> Review:
        return reviewed(given, then, supposing, as_of, how=how).review

    if new_only is not None:
        from netcheck.cli import gate

        run.review = gate.new_only(run.review, given, new_only, as_then)
    if register is not None:
        from netcheck.cli import gate

        run.review, run.sources = gate.registered(run.review, run.sources, register, as_of)
    status = status_of(run.review, Severity(severity), allow_unchecked, allow_undecided)
    if not write(run, outputs, Look(wants_colour(colour), screen_width(), quiet)):
        status = Status.WRONG
    if run.review.failures or run.failures:
        _say_faults(run.review.failures, run.failures)
        status = Status.OPEN
    ctx.exit(status)


def _say_faults(of_rules: Sequence[str], failures: Sequence[tuple[str, Fault]]) -> None:
    """Each once, with the first of the panels it met."""
    for failure in of_rules:
        note(f"netcheck: a fault in netcheck itself, not in your panel: {visible(failure)}")
    met: dict[Fault, list[str]] = {}
    for path, fault in failures:
        met.setdefault(fault, []).append(path)
    for fault, paths in met.items():
        more = f" and {len(paths) - 1} more" if len(paths) > 1 else ""
        internal_error(fault, f"while reviewing `{paths[0]}`{more}")


ALONE = Many()


@draft
class Run:
    """A review, the texts it points into, and the panels netcheck itself failed on."""

    review: Review
    sources: dict[str, Source] = fresh(factory=dict)
    failures: list[tuple[str, Fault]] = fresh(factory=list)


def reviewed(
    given: Given,
    loader: FileLoader,
    supposing: Supposing | None = None,
    as_of: str = "",
    working: bool = False,
    how: Many = ALONE,
) -> Run:
    """Review what can be read; what cannot is a mistake of the review.

    `supposing` is for one panel: what is kept and what other processes do supposes nothing.
    """
    run = Run(Review())
    reviews: list[Review] = []
    paths: list[str] = []
    with Progress(lambda: _doing(len(reviews), len(paths), loader.latest)):
        paths = readable(given, loader)
        options = {"as_of": as_of, "working": working}
        if len(paths) == 1:
            task = Task(review, loader, {**options, "supposing": supposing})
        else:
            task = Task(review, loader, options, _kept(how, options))
        for done in each(task, paths, how.workers):
            reviews.append(done.review)
            run.sources.update(done.sources)
            if done.fault is not None:
                run.failures.append((done.path, done.fault))
    run.review = _together(reviews)
    run.review = replace(run.review, mistakes=(*given.mistakes, *run.review.mistakes))
    for path in paths:
        run.sources.setdefault(path, loader.load(path))
    return run


def _doing(done: int, all: int, latest: str) -> str:
    return share_done(done, all, f"reviewing {latest}") if all > 1 else f"reviewing {latest}"


def _kept(how: Many, options: Mapping[str, object]) -> Kept | None:
    if how.cache == "":
        return None
    from netcheck.cli.kept import Kept, usual_folder

    folder = usual_folder() if how.cache is None else how.cache
    return Kept(folder, [repr(options["working"])], str(options["as_of"]))


def _together(reviews: Sequence[Review]) -> Review:
    if len(reviews) == 1:
        return reviews[0]
    from netcheck.order import in_order

    return in_order(reviews)


def review(
    paths: Sequence[str],
    loader: Loader,
    supposing: Supposing | None = None,
    as_of: str = "",
    working: bool = False,
) -> tuple[Review, Mapping[str, Source]]:
    """The review itself, imported only when there is something to review."""
    from netcheck.review import as_drawn
    from netcheck.review import review as review_panels

    return review_panels(paths, loader, supposing or as_drawn, as_of=as_of, working=working)


def write(run: Run, outputs: Sequence[Output], look: Look) -> bool:
    """Write every output; return whether all could be written."""
    plain = Look(findings_only=look.findings_only)

    def text_of(form: str, on_screen: bool) -> str:
        return rendered(form, run.review, run.sources, look if on_screen else plain)

    written = write_each(outputs, text_of, look.colour)
    if not look.findings_only and all(output.path != STANDARD_OUTPUT for output in outputs):
        from netcheck.report.closing import closing_line

        note(closing_line(run.review))
    return written
