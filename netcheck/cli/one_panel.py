"""What every command that looks at one panel does alike: its options, reading, writing.

@of_one_panel
@click.pass_context
def command(ctx, path, asked): ...
    with opened(asked) as reading: ...
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

import click

from netcheck.cli import options
from netcheck.cli.given import STANDARD_INPUT, Given, given_panels, readable, standard_input
from netcheck.cli.loader import FileLoader
from netcheck.cli.outputs import Output, read_outputs, refuse_harmful, write_each
from netcheck.cli.screen import Progress, screen_width, wants_colour
from netcheck.cli.supposing import supposing
from netcheck.record import fresh, record

if TYPE_CHECKING:
    from netcheck.finding import Mistake
    from netcheck.loading import Loader
    from netcheck.model.panel import Panel
    from netcheck.text import Source

Command = TypeVar("Command", bound=Callable[..., object])
LEFT_OUT = "All of that is left out below: it may be live, and feed what looks dead."
HOW_TO_DESCRIBE = "`netcheck explain language` shows how one is described"


@record
class Asked:
    """The options that such commands share, as they were given."""

    path: str
    outputs: tuple[Output, ...]
    as_path: str | None
    root: str | None
    colour: str
    withs: tuple[str, ...]
    faults: tuple[str, ...]


@record
class Read:
    """The panel as it is `drawn`; with what `--with` says; with what `--fault` says besides.

    `supposed` says both in words.  None where the text describes nothing.  `loader` gives the
    texts once more.
    """

    path: str
    drawn: Panel | None
    panel: Panel | None
    broken: Panel | None
    supposed: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    sources: Mapping[str, Source] = fresh(factory=dict)
    loader: Loader | None = None


def of_one_panel(command: Command) -> Command:
    """Adds PANEL and the shared options; the command gets them as `asked`."""

    def gathered(*, asked_path: str, **given: Any) -> object:
        names = ("outputs", "as_path", "root", "colour", "withs", "faults")
        own = {name: value for name, value in given.items() if name not in names}
        asked = Asked(asked_path, *[given[name] for name in names])
        return command(asked=asked, **own)

    gathered.__doc__ = command.__doc__
    shared: Any = gathered
    shared.__click_params__ = list(getattr(command, "__click_params__", ()))
    shared = supposing(shared)
    for option in reversed(_OPTIONS):
        shared = option(shared)
    return shared  # type: ignore[no-any-return]


_OPTIONS = (
    click.argument("asked_path", metavar="PANEL"),
    click.option(
        "--output",
        "outputs",
        metavar="FORM=PATH",
        callback=read_outputs,
        multiple=True,
        help="Write it as text or json to a file, or to standard output with `-`; "
        "may be given several times.  Without it: text=-",
    ),
    click.option(
        "--as", "as_path", metavar="PATH", help="The file whose text `-` reads from standard input."
    ),
    options.root,
    options.colour,
)


@contextmanager
def opened(asked: Asked, doing: str, *, at_the_bench: bool = True) -> Iterator[Read]:
    """Reads the panel; shows progress until the block is left.  Raises UsageError.

    At the bench breakers are closed, and their auxiliary contacts stand as they do.
    """
    if asked.as_path and asked.path != STANDARD_INPUT:
        raise click.UsageError("--as names the text that `-` reads; give `-` as PANEL")
    if os.path.isdir(asked.path):
        raise click.UsageError(f"{asked.path!r} is a folder; name one panel")
    given = given_panels([asked.path], asked.as_path, asked.root)
    refuse_harmful(asked.outputs, given.paths)
    unsaved = {}
    if asked.path == STANDARD_INPUT:
        unsaved = {asked.as_path or STANDARD_INPUT: standard_input()}
    loader = FileLoader(given.roots, unsaved)
    with Progress(lambda: f"{doing} {loader.latest}"):
        read = _read(asked, given, loader, at_the_bench=at_the_bench)
        with _telling_unread(read.mistakes):
            yield read


@contextmanager
def _telling_unread(mistakes: Sequence[Mistake]) -> Iterator[None]:
    """A name that is not known may stand on a line that could not be read."""
    try:
        yield
    except click.UsageError as error:
        if not mistakes:
            raise
        raise click.UsageError(f"{error.message}\n{unread(mistakes)}", error.ctx) from None


def unread(mistakes: Sequence[Mistake]) -> str:
    """How many mistakes there are, and the first of them with its line."""
    from netcheck.report.terminal import visible

    span = mistakes[0].place.span
    what = "a line could not be read" if len(mistakes) == 1 else f"{len(mistakes)} mistakes"
    return visible(f"{what} in the text, {span.path}, line {span.line}: {mistakes[0].message}")


def _read(asked: Asked, given: Given, loader: FileLoader, *, at_the_bench: bool) -> Read:
    from netcheck.bench.as_found import as_found
    from netcheck.finding import Mistake, Place
    from netcheck.model.build import build_panel
    from netcheck.reading.project import gather
    from netcheck.text import Span

    (path,) = given.paths
    if not readable(given, loader):
        return Read(path, None, None, None, mistakes=tuple(given.mistakes))
    gathered = gather(path, loader)
    built, found = build_panel(path, gathered)
    panel = as_found(built) if at_the_bench else built
    mistakes = (*gathered.mistakes, *found)
    sources = {**gathered.sources, path: loader.load(path)}
    if not panel.devices:
        where = Place(Span(path, 1, 1, 2))
        nothing = Mistake("this text describes no device", where, HOW_TO_DESCRIBE)
        return Read(path, None, None, None, (), (*mistakes, nothing), sources)
    from netcheck.cli.supposing import supposed

    # Faults first: their words name wires that another fault may have taken away.
    with _telling_unread(mistakes):
        broken, words = supposed(panel, asked.withs, asked.faults)
        sound, _ = supposed(panel, asked.withs, ())
    if not asked.faults:
        broken = sound
    return Read(path, panel, sound, broken, words, mistakes, sources, loader)


def write(asked: Asked, read: Read, form_of: Callable[[str, bool, int | None], str]) -> bool:
    """Write every output; return whether all could be written.

    `form_of` renders a form, with colour or not, for a terminal of so many columns.
    """
    colour = wants_colour(asked.colour)

    def text_of(form: str, on_screen: bool) -> str:
        look = (colour, screen_width()) if on_screen else (False, None)
        return _mistakes(read, form, *look) + form_of(form, *look)

    return write_each(asked.outputs, text_of, colour)


def _mistakes(read: Read, form: str, colour: bool, width: int | None) -> str:
    """What could not be read, before a text of what could."""
    if not read.mistakes or form != "text":
        return ""
    from netcheck.finding import Review
    from netcheck.report.terminal import wrapped
    from netcheck.report.text import render

    told = render(Review(mistakes=read.mistakes), read.sources, colour=colour, width=width)
    left_out = "\n".join(wrapped(LEFT_OUT, width)) + "\n\n" if read.panel is not None else ""
    return told.rsplit("\n\n", 1)[0] + "\n\n" + left_out


def refuse_unknown(panel: Panel, name: str, known: Sequence[str], otherwise: str) -> None:
    """Raise UsageError for a device that is not there, or a terminal that it does not have."""
    from netcheck.reading.near import did_you_mean
    from netcheck.report.terminal import visible

    device = name.partition(":")[0]
    if device not in panel.devices:
        hint = did_you_mean(device, known, otherwise, cutoff=0.5)
        raise click.UsageError(visible(f"there is no `{device}` in {panel.path!r}; {hint}"))
    if name != device and name not in panel.devices[device].terminals:
        terminals = panel.devices[device].terminals
        hint = did_you_mean(name, terminals, f"it has {', '.join(terminals[:12])}")
        raise click.UsageError(visible(f"`{device}` has no terminal `{name}`; {hint}"))
