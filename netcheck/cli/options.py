"""Options that several commands share, each worded once."""

from __future__ import annotations

import click

from netcheck.cli.day import read_day

root = click.option(
    "--root",
    metavar="FOLDER",
    type=click.Path(exists=True, file_okay=False),
    help="Folder that includes may not leave, if not the panel's own.",
)
colour = click.option(
    "--colour",
    "--color",
    type=click.Choice(["auto", "always", "never"]),
    default="auto",
    show_default=True,
    help="Colour the text; auto means on a terminal, unless NO_COLOR is set.",
)
as_of = click.option(
    "--as-of", metavar="DATE", callback=read_day, help="The day to take for today."
)
