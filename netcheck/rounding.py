"""What is rounded, and when: nothing until it is printed.

Figures are kept as they are worked out, from tables as they stand there; no step rounds,
neither up to the next ampere nor down as NEC 220.5(B) would let one.  A limit that is met
exactly holds, and sums of decimal fractions are not held against the last digits of their
binary form: what exceeds a limit by less than a millionth of it does not exceed it.  Printed
figures have three digits, or as many as it takes for two that differ to look it
(`figure.py`); what is printed as JSON has nine.

Sizes and ratings that come in steps are never interpolated: the table's own next row is
taken, up or down as its rule says.
"""

from __future__ import annotations

WITHIN = 1e-6
"""Of a limit."""


def exceeds(needed: float, allowed: float) -> bool:
    """Whether `needed` is more than `allowed`, both in one unit and not negative."""
    return needed > with_slack(allowed)


def with_slack(allowed: float) -> float:
    """The limit as sums are held against it."""
    return allowed * (1 + WITHIN)
