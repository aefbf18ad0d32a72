"""`netcheck diagnose`: symptoms and readings in, suspects and the next reading out."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.given import STANDARD_INPUT, standard_input
from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, unread, write
from netcheck.cli.screen import note, wants_colour
from netcheck.cli.status import Status
from netcheck.record import replace

if TYPE_CHECKING:
    from netcheck.bench.diagnose_document import DiagnoseDocument
    from netcheck.bench.likelihoods import Likelihoods
    from netcheck.bench.observations import Said
    from netcheck.bench.tries import Tries
    from netcheck.cli.asking_readings import Step
    from netcheck.model.panel import Panel

LARGEST_BYTES = 100_000
NOTHING_SEEN = (
    'nothing was seen: name a file, say --saw "M1 does not run with S2 pressed", '
    "or let --ask ask for it"
)
MEANING = """\b
Exit status:
  0  suspects are told, or no fault is needed
  2  wrong use, or something that cannot be read
  3  no single fault explains it, or not all of them could be tried"""


@click.command("diagnose", epilog=MEANING)
@of_one_panel
@click.argument("seen_path", metavar="[SYMPTOMS]", required=False)
@click.option(
    "--saw",
    "saw",
    metavar="SYMPTOM",
    multiple=True,
    help='What was seen or read: "M1 does not run with S2 pressed", '
    '"K1:A1 to K1:A2 0 V with S2 pressed"; may be given several times.',
)
@click.option(
    "--likelihoods",
    "table_path",
    metavar="FILE",
    help='A table of how often each sort of fault happens, a line like `"ground fault" = 5`; '
    "what it leaves out stays as usual.",
)
@click.option(
    "--ask", is_flag=True, help="Ask what is wrong, for the next reading, and for the next."
)
@click.pass_context
def command(
    ctx: click.Context,
    asked: Asked,
    seen_path: str | None,
    saw: tuple[str, ...],
    table_path: str | None,
    ask: bool,
) -> None:
    """Rank the faults of PANEL that explain everything in SYMPTOMS.

    SYMPTOMS is a file, or `-`, with a line for each thing seen; `#` begins a remark.  A line
    says that something works or not, or that everything is off; that it is dim, drops out ("K1
    drops out when S2 is released") or trips ("CB3 trips when K2 pulls in"); what a meter
    read, that an input's lamp is lit or dark, that a wire was seen, not seen or different, or
    a breaker not tripped.  Told are single faults, or two at once where no single one
    explains all, and which two points to meter next.
    """
    if asked.faults:
        raise click.UsageError("diagnose looks for the fault: leave --fault away")
    _refuse_shared_streams(asked, seen_path, ask=ask)
    likelihoods = _likelihoods(table_path)
    with opened(asked, "diagnosing in") as read:
        steps = [*_steps_of(seen_path, read.path), *(("--saw", word) for word in saw)]
        lines, skipped = _parted(steps)
        tries = _tries_in(read)
        document = None
        if lines or tries is None:
            document = diagnosed(read, lines, likelihoods, skipped, tries)
    if ask and tries is not None:
        if read.mistakes:
            note(f"netcheck: {unread(read.mistakes)}")
        said = [step for _, step in steps]
        document = _asked(asked, read, said, likelihoods, tries) or document
    if document is None:
        raise click.UsageError(NOTHING_SEEN)
    document = replace(document, likelihoods=_word_for(table_path))
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(status_of(document) if written and not read.mistakes else Status.WRONG)


def _refuse_shared_streams(asked: Asked, seen_path: str | None, *, ask: bool) -> None:
    """Raises UsageError where two things would be read from standard input, or written mixed."""
    if ask and "-" in (asked.path, seen_path):
        raise click.UsageError("--ask needs standard input for the answers: name the files")
    if asked.path == seen_path == "-":
        raise click.UsageError(
            "PANEL and SYMPTOMS: only one of them can be read from standard input"
        )
    if ask and any(one.form == "json" and one.path == "-" for one in asked.outputs):
        raise click.UsageError("--ask talks on standard output: write --output json=FILE")


def _steps_of(path: str | None, panel_path: str) -> list[tuple[str, Step]]:
    """Where each line stands, and what it says.  Raises UsageError."""
    if path is None:
        return []
    from netcheck.cli.asking_readings import step_of

    lines = _text_of(path, "a file of symptoms").splitlines()
    _note_other_panel(path, lines[:1], panel_path)
    said = [(f"{path}, line {number}", step_of(line)) for number, line in enumerate(lines, start=1)]
    return [(place, step) for place, step in said if step]


def _parted(
    steps: Sequence[tuple[str, Step]],
) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """The lines with their places, and the pairs that are not to be asked for."""
    lines = [(place, step) for place, step in steps if isinstance(step, str)]
    return lines, [step for _, step in steps if not isinstance(step, str)]


def _note_other_panel(path: str, first: Sequence[str], panel_path: str) -> None:
    """Say so where a dialogue was saved at another panel than this."""
    from netcheck.cli.asking_readings import SAVED_AT
    from netcheck.report.terminal import visible

    here = _file_of(panel_path)
    for line in first:
        if line.startswith(SAVED_AT) and line != f"{SAVED_AT}{here}":
            there = line[len(SAVED_AT) :]
            note(visible(f"netcheck: {path} was saved at {there}, not at {here}"))


def _file_of(path: str) -> str:
    from netcheck.report.terminal import visible

    return visible(os.path.basename(path))


def _text_of(path: str, what: str) -> str:
    """Raises UsageError."""
    if os.path.isdir(path):
        raise click.UsageError(f"{path!r} is a folder; name {what}")
    try:
        if path == STANDARD_INPUT:
            text = standard_input()
        else:
            with open(path, "rb") as file:
                text = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        said = f"; to say a symptom write --saw {path!r}" if " " in path else ""
        why = error.strerror or error
        raise click.UsageError(f"cannot read {path!r}: {why}{said}") from None
    if len(text) > LARGEST_BYTES:
        raise click.UsageError(f"{path!r} is longer than {LARGEST_BYTES:,} bytes")
    return text.decode("utf-8-sig", errors="replace")


def _likelihoods(path: str | None) -> Likelihoods:
    """The usual ones with what a file changes.  Raises UsageError."""
    from netcheck.bench.likelihoods import USUAL, NoTable, likelihoods_in
    from netcheck.report.terminal import visible

    if path is None:
        return USUAL
    try:
        return {**USUAL, **likelihoods_in(_text_of(path, "a file of likelihoods"))}
    except NoTable as error:
        raise click.UsageError(visible(f"{path}: {error}")) from None


def _word_for(table_path: str | None) -> str:
    """On whose word the likelihoods are."""
    from netcheck.bench.likelihoods import COMMON_PRACTICE
    from netcheck.report.terminal import visible

    if table_path is None:
        return COMMON_PRACTICE
    return visible(f"{COMMON_PRACTICE}, but for what {table_path} says")


def _tries_in(read: Read) -> Tries | None:
    from netcheck.bench.tries import Tries

    return None if read.panel is None else Tries(read.panel)


def _asked(
    asked: Asked, read: Read, steps: Sequence[Step], likelihoods: Likelihoods, tries: Tries
) -> DiagnoseDocument | None:
    """What is known at the end of the dialogue; None where nothing was said."""
    from netcheck.cli.asking_readings import Asking

    known: Tries | None = tries

    def again(said: Sequence[str], skipped: Sequence[tuple[str, str]]) -> DiagnoseDocument:
        nonlocal known
        lines = [("", line) for line in said]
        kept = known or _tries_in(read)
        known = None  # what an interrupt leaves half worked out is not used again
        try:
            document = diagnosed(read, lines, likelihoods, skipped, kept)
        except click.UsageError:
            known = kept
            raise
        known = kept
        return document

    return Asking(again, steps, _file_of(read.path), colour=wants_colour(asked.colour)).run()


def diagnosed(
    read: Read,
    lines: Sequence[tuple[str, str]],
    likelihoods: Likelihoods,
    skipped: Sequence[tuple[str, str]] = (),
    tries: Tries | None = None,
) -> DiagnoseDocument:
    from netcheck.bench.diagnose_document import DiagnoseDocument

    tries = tries or _tries_in(read)
    if read.panel is None or tries is None:
        return DiagnoseDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.diagnosing import diagnose
    from netcheck.bench.tracing import resting_on

    seen = _observed(read.panel, lines)
    return DiagnoseDocument(
        read.path,
        read.supposed,
        tuple(one.words for one in seen),
        diagnose(read.panel, seen, likelihoods, skipped, tries),
        (*_taken(seen), *resting_on(tries.sound.standing())),
        read.mistakes,
    )


def _taken(seen: Sequence[Said]) -> Iterator[str]:
    """What a line is taken to mean that does not say it."""
    from netcheck.bench.observations import Symptom, Trips, is_lamp

    told = {one.device for one in seen if isinstance(one, Symptom)}
    lamps = dict.fromkeys(one.red.partition(":")[0] for one in seen if is_lamp(one))
    for name in (name for name in lamps if name not in told):
        yield f"{name} itself works: if not, say `{name} is off` instead"
    for one in seen:
        if isinstance(one, Trips) and not one.when:
            yield (
                f"`{one.words}` as soon as there is power: if only later, add `when K2 pulls in` "
                "with the relay that it waits for"
            )


def _observed(panel: Panel, lines: Sequence[tuple[str, str]]) -> list[Said]:
    from netcheck.bench.observations import MOST, observation
    from netcheck.model.names import NameMistake
    from netcheck.report.terminal import visible

    if len(lines) > MOST:
        raise click.UsageError(f"{len(lines)} symptoms are more than {MOST}; say the telling ones")
    found = []
    for place, line in lines:
        try:
            found.append(observation(panel, line))
        except NameMistake as mistake:
            help = f"; {mistake.help}" if mistake.help else ""
            at = f"{place}: " if place else ""
            raise click.UsageError(visible(f"{at}{mistake.message}{help}")) from None
    if found and not any(_says_something(one) for one in found):
        raise click.UsageError(
            "what was looked at is no symptom: say what is wrong as well, "
            "as in `M1 does not run with S2 pressed`"
        )
    return found


def _says_something(one: Said) -> bool:
    from netcheck.bench.observations import Look, Looked

    return not isinstance(one, Looked) or one.look is Look.DIFFERENT


def status_of(document: DiagnoseDocument) -> Status:
    told = document.diagnosis
    if told is None:
        return Status.WRONG
    explained = told.sound_fits or told.suspects
    return Status.NOTHING if explained and not told.not_told and not told.more else Status.OPEN


def rendered(form: str, document: DiagnoseDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import diagnose_json

        return diagnose_json.render(document)
    from netcheck.bench import diagnose_text

    return diagnose_text.render(document, colour=colour, width=width)
