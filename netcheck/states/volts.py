"""Differences of potential between places that several sources may hold apart."""

from __future__ import annotations

from netcheck.model.devices import Load

Volts = tuple[tuple[str, complex], ...]
"""A difference of potential: for each basis that contributes, its volts, sorted by basis."""


def volts_of(basis: str, volts: complex) -> Volts:
    """The volts of one source, rounded so that equal ones compare equal."""
    volts = complex(round(volts.real, 3), round(volts.imag, 3))
    return ((basis, volts),) if volts else ()


def add_volts(first: Volts, second: Volts) -> Volts:
    """The sum, basis by basis; what is zero drops out."""
    total = dict(first)
    for basis, volts in second:
        total[basis] = total.get(basis, 0j) + volts
    return tuple(sorted((basis, volts) for basis, volts in total.items() if abs(volts) > 1e-2))


def minus(volts: Volts) -> Volts:
    """The same difference, the other way round."""
    return tuple((basis, -value) for basis, value in volts)


def is_live(volts: Volts) -> bool:
    return bool(volts)


def dc_volts(volts: Volts) -> float:
    """The DC part, with its sign."""
    return sum(value.real for basis, value in volts if basis == "DC")


def magnitude(volts: Volts) -> float:
    """Volts as a meter reads them; sources that are not synchronised may add up."""
    return sum(abs(value) for _, value in volts)


def kind_of(volts: Volts) -> str:
    kinds = {"DC" if basis == "DC" else "AC" for basis, _ in volts}
    return "AC and DC" if len(kinds) > 1 else next(iter(kinds), "")


def in_band(volts: Volts, load: Load) -> bool:
    """Whether a load is made for these volts: their kind, their amount, their polarity."""
    if not volts:
        return False
    if load.volts is None:
        return True
    kind = kind_of(volts)
    if load.kind and kind != load.kind:
        return False
    if load.polarised and kind == "DC" and dc_volts(volts) < 0:
        return False
    amount = magnitude(volts)
    return load.volts * load.low - 1e-6 <= amount <= load.volts * load.high + 1e-6
