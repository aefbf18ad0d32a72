"""Where a report goes, and in which form."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.loader import SUFFIX
from netcheck.cli.screen import cannot_write, say
from netcheck.record import record

if TYPE_CHECKING:
    from netcheck.finding import Review
    from netcheck.text import Source

STANDARD_OUTPUT = "-"

FORMS = ("text", "json", "sarif", "junit", "github", "gitlab", "markdown", "csv")
FORMS_OF = {"review": FORMS, "compare": ("text", "json", "markdown")}
"""Forms of the commands that know more than text and json."""


@record
class Output:
    """A form and the path it is written to; `-` is standard output."""

    form: str
    path: str


@record
class Look:
    """How a text is to look; other forms have one look only."""

    colour: bool = False
    width: int | None = None
    findings_only: bool = False


def read_outputs(
    ctx: click.Context, option: click.Parameter, texts: tuple[str, ...]
) -> tuple[Output, ...]:
    """Read each `FORM=PATH` of an option; none at all means text on standard output."""
    forms = FORMS_OF.get(ctx.command.name or "", ("text", "json"))
    return tuple(_output(text, forms) for text in texts) or (Output("text", STANDARD_OUTPUT),)


def _output(text: str, forms: Sequence[str]) -> Output:
    form, equals, path = text.partition("=")
    if form not in forms:
        raise click.BadParameter(f"{form!r} is no form of report; there are {', '.join(forms)}")
    if not equals or not path:
        raise click.BadParameter(f"write {form}=PATH, or {form}=- for standard output")
    return Output(form, path)


def rendered(form: str, review: Review, sources: Mapping[str, Source], look: Look) -> str:
    """Return the report in `form`; only what that form needs is imported."""
    if form == "sarif":
        from netcheck.report import sarif

        return sarif.render(review, sources)
    if form != "text":
        from importlib import import_module

        written: str = import_module(f"netcheck.report.{form}").render(review)
        return written
    from netcheck.report import text

    return text.render(
        review,
        sources,
        colour=look.colour,
        width=look.width,
        findings_only=look.findings_only,
    )


def refuse_harmful(outputs: Sequence[Output], inputs: Iterable[str]) -> None:
    """Raise UsageError for an output that would spoil something, before any work is done."""
    taken = {os.path.realpath(path) for path in inputs}
    used: set[str] = set()
    for output in outputs:
        if output.path == STANDARD_OUTPUT:
            real = STANDARD_OUTPUT
        else:
            real = os.path.realpath(output.path)
            _refuse_target(output.path, real, taken)
        if real in used:
            raise click.UsageError(f"two outputs go to {output.path!r}")
        used.add(real)


def _refuse_target(path: str, real: str, taken: set[str]) -> None:
    if real in taken or SUFFIX in (os.path.splitext(name)[1].lower() for name in (path, real)):
        raise click.UsageError(f"{path!r} is a panel's text, and is never written over")
    if os.path.isdir(real):
        raise click.UsageError(f"{path!r} is a folder")
    if os.path.exists(real) and not os.path.isfile(real):
        raise click.UsageError(f"{path!r} is no ordinary file; `-` is standard output")


def write_each(
    outputs: Sequence[Output], text_of: Callable[[str, bool], str], colour: bool = False
) -> bool:
    """Write every output, files first; say which cannot be, and return whether all could.

    `text_of` gives the text in a form, for standard output or not; `colour` is for that alone.
    """
    written = True
    for output in sorted(outputs, key=lambda output: output.path == STANDARD_OUTPUT):
        on_screen = output.path == STANDARD_OUTPUT
        try:
            text = text_of(output.form, on_screen)
            say(text, colour) if on_screen else write_whole(output.path, text)
        except OSError as error:
            cannot_write(output.path, error)
            written = False
    return written


def write_whole(path: str, text: str) -> None:
    """Write `text` to `path` so that a reader finds the old file or the whole new one.

    Raises OSError, also for a file that is there and may not be written, though its folder may.
    A file that was there keeps its permissions.
    """
    import errno
    import tempfile

    real = os.path.realpath(path)
    if os.path.exists(real) and not os.access(real, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), path)
    mode = os.stat(real).st_mode & 0o777 if os.path.exists(real) else 0o666 & ~_umask()
    handle, part = tempfile.mkstemp(dir=os.path.dirname(real), prefix=".netcheck-")
    try:
        with open(handle, "w", encoding="utf-8", errors="backslashreplace", newline="\n") as file:
            file.write(text)
        os.chmod(part, mode)
        os.replace(part, real)
    except BaseException:
        os.unlink(part)
        raise


def _umask() -> int:
    """The permissions new files do not get.  It can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
