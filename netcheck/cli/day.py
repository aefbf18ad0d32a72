"""The day that acceptances are held against: `--as-of`."""

from __future__ import annotations

import re
import time

import click


def read_day(ctx: click.Context, option: click.Parameter, text: str | None) -> str:
    """The day an option names, as `2027-01-31`; today without one.  BadParameter if it is none."""
    if text is None:
        return time.strftime("%Y-%m-%d")
    return checked_day(text)


def checked_day(text: str) -> str:
    from datetime import date

    try:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII):
            raise ValueError
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise click.BadParameter(
            f"{text!r} is no day; write year, month, day: 2027-01-31"
        ) from None
