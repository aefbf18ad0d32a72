"""A review loads only the tables it reads."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def loaded_after(statement: str) -> set[str]:
    """Modules of netcheck.tables that a fresh interpreter holds after a statement."""
    program = f"import sys\n{statement}\nprint(*sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True
    )
    return {
        name.removeprefix("netcheck.tables.")
        for name in run.stdout.split()
        if name.startswith("netcheck.tables.")
    }


def test_the_package_alone_loads_no_table() -> None:
    assert set() == loaded_after("import netcheck.tables")


@pytest.mark.parametrize("module", ["ampacity", "protection", "sizing", "motors", "resistance"])
def test_a_lookup_loads_its_tables_only_when_asked(module: str) -> None:
    tables = {
        name
        for name in loaded_after(f"import netcheck.tables.{module}")
        if name.startswith(("nec_", "iec_", "panel_", "material_", "conductor_", "astm_"))
    }
    assert set() == tables


def test_sizing_a_wire_in_nec_practice_loads_no_iec_or_motor_table() -> None:
    loaded = loaded_after(
        "from netcheck.tables.conditions import Conditions\n"
        "from netcheck.tables.sizing import smallest_size_for\n"
        "smallest_size_for(20, Conditions(90, 60, 40))"
    )
    assert "nec_310_16" in loaded
    assert set() == {name for name in loaded if name.startswith(("iec_", "nec_43", "conductor"))}
