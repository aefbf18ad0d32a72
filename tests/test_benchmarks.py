"""What a benchmark measures has done its work: a command that fails is no answer."""

from __future__ import annotations

import sys

import pytest

from tests.benchmarks.whole_process import Failed, spent


def python(program: str) -> list[str]:
    return [sys.executable, "-c", program]


@pytest.mark.parametrize("status", [0, 1, 3])
def test_a_command_that_did_its_work_is_measured(status: int) -> None:
    assert spent(python(f"raise SystemExit({status})")).clock_s > 0


@pytest.mark.parametrize(
    "program",
    [
        "raise SystemExit(2)",
        "import os; os.abort()",
        "import no_such_package",
        # As netcheck says that a fault is its own: with the status of what is left open.
        "import sys; sys.stderr.write('netcheck: a fault in netcheck itself'); sys.exit(3)",
        "import sys; sys.stderr.write('netcheck: cannot write'); sys.exit(0)",
    ],
)
def test_a_command_that_failed_is_told_whatever_its_exit_status(program: str) -> None:
    with pytest.raises(Failed, match="failed, exit status"):
        spent(python(program))


def test_a_package_that_is_missing_is_no_answer() -> None:
    """An interpreter without the solver ends with the status of what is left open."""
    panel = "samples/panels/greenhouse.panel"
    program = (
        "import sys; sys.modules['pysolvers'] = None; from netcheck.__main__ import main; "
        f"sys.argv = ['netcheck', 'diagnose', {panel!r}, '--saw', 'CB3 trips when K5 pulls in']; "
        "main()"
    )
    with pytest.raises(Failed, match=r"(?s)exit status 3.*a fault in netcheck itself"):
        spent(python(program))
