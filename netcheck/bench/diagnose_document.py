"""What `netcheck diagnose` tells, whatever form it takes."""

from __future__ import annotations

from netcheck.bench.diagnosing import Diagnosis
from netcheck.bench.likelihoods import COMMON_PRACTICE
from netcheck.finding import Mistake
from netcheck.record import record


@record
class DiagnoseDocument:
    """`seen` is each symptom and reading, as given; `likelihoods` is on whose word these are."""

    path: str
    supposed: tuple[str, ...] = ()
    seen: tuple[str, ...] = ()
    diagnosis: Diagnosis | None = None
    assumed: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    likelihoods: str = COMMON_PRACTICE
