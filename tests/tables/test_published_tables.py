"""Every cell of the product's tables equals the published copy, and neither has a row more.

The copies name the pages on which each value was read; a value from memory is marked there
and must be marked in the product.  Each converter below spells a copy's row as the product
holds it, so that whole tables are compared in one go.
"""

import importlib
import re
from collections.abc import Callable
from typing import Any

import pytest

from netcheck.record import values_of
from netcheck.tables import conductor_colours, panel_wire_us
from netcheck.tables.table import TableSource
from tests.tables.published import Row, table_names, table_rows

# Held for a reader of the tables, not for the product: why there is no module of their own.
NOT_HELD = {
    "mm2_awg_map": "sizes are compared by their areas (see test_wire_sizes.py)",
    "nec_310_16_old_vs_new": "superseded values (see test_table_laws.py for the new ones)",
}


def number(text: str) -> float | None:
    return float(text) if text else None


def figure(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def numbers(row: Row, *columns: str) -> tuple[float | None, ...]:
    return tuple(number(row[column]) for column in columns)


def read(row: Row) -> bool:
    return {"yes": True, "memory": False}[row["confirmed"]]


def gauge(size: str) -> str:
    """The trade form of a size whose copy leaves the unit out."""
    return f"{size} kcmil" if size.isdigit() and int(size) >= 250 else f"{size} AWG"


def sized(row: Row) -> str:
    return f"{row['size']} {row['size_unit']}"


def cited(reference: str) -> str:
    """A bare section or table number belongs to the NEC."""
    return f"NEC {reference}" if re.match(r"\d|Table", reference) else reference


def motor(*voltages: str) -> Callable[[Row], tuple[Any, ...]]:
    def convert(row: Row) -> tuple[Any, ...]:
        power = row["hp"].replace("-", " ")
        return (power, *numbers(row, "hp_decimal", *voltages), read(row))

    return convert


def rule(reference: str) -> Callable[[Row], tuple[Any, ...]]:
    def convert(row: Row) -> tuple[Any, ...]:
        where = cited(row[reference]) if "NEC" not in row[reference] else row[reference]
        return (row["item"], figure(row["value"]), row["unit"], where, read(row))

    return convert


def control_circuit(row: Row) -> tuple[Any, ...]:
    return (row["item"], figure(row["value"]), row["unit"], row["reference"], read(row))


def class_limit(row: Row) -> tuple[Any, ...]:
    value, unit = row["value"], row["unit"]
    if value == "ampacity":
        return (row["item"], None, 0, f"ampacity {unit}", row["reference"], read(row))
    power = {"/Vmax": -1, "*Vmax": 1}.get(value.lstrip("0123456789."), 0)
    base = value.removesuffix("/Vmax").removesuffix("*Vmax")
    return (row["item"], float(base), power, unit, row["reference"], read(row))


def panel_wire(row: Row) -> tuple[Any, ...]:
    standard = {
        "NFPA 79 Table 12.5.1": panel_wire_us.NFPA_79,
        "UL 508A Table 38.1 (control circuits)": panel_wire_us.UL_508A_38_1,
        "UL 508A Table 28.1 (power circuits, copper)": panel_wire_us.UL_508A_28_1,
    }[row["standard"]]
    values = numbers(row, "single_value_a", "a60c", "a75c")
    return (standard, gauge(row["size_awg"]), *values, read(row))


def transformer(row: Row) -> tuple[Any, ...]:
    band = {
        ">= 9": (9, None),
        "2 to < 9": (2, 9),
        "< 2": (0, 2),
        "< 9": (0, 9),
        "any": (0, None),
    }[row["current_range_a"]]
    percent = number(row["max_pct"])
    up = row["round_up_to_standard"] == "yes"
    return (row["method"], row["side"], *band, percent, up, read(row))


def tap(row: Row) -> tuple[Any, ...]:
    part = re.search(r"1/(\d+) of|1/(\d+)", row["min_ampacity"])
    one_in = int(part[1] or part[2]) if part else None
    words = (row["min_ampacity"], row["termination"], row["reference"])
    return (row["rule"], number(row["max_length_ft"]), one_in, *words, read(row))


def protective(row: Row) -> tuple[Any, ...]:
    fixed, part = {"S": (None, 1), "S/2": (None, 0.5), "16": (16, None)}[row["sp"]]
    above = number(row["s_min_exclusive_mm2"]) or 0
    return (above, number(row["s_max_mm2"]), fixed, part, read(row))


def bending(row: Row) -> tuple[Any, ...]:
    first, _, last = row["size"].partition("-")
    return (gauge(first), gauge(last or first), number(row["min_in"]), read(row))


def table_9(row: Row) -> tuple[Any, ...]:
    columns = [name for name in row if name.startswith(("x_", "r_"))]
    return (sized(row), *numbers(row, *columns), read(row))


CASES: dict[str, tuple[str, Callable[[Row], tuple[Any, ...]]]] = {
    "awg_sizes": (
        "astm_b258",
        lambda r: (
            gauge(r["awg"]),
            *numbers(r, "diameter_in", "diameter_mm", "area_mm2"),
            read(r),
        ),
    ),
    "control_circuit_rules": ("control_circuits", control_circuit),
    "iec_60204_1_ambient": (
        "iec_60204_1_table_d1",
        lambda r: (*numbers(r, "ambient_c", "factor"), read(r)),
    ),
    "iec_60204_1_current_capacity": (
        "iec_60204_1_table_6",
        lambda r: (number(r["area_mm2"]), r["method"], number(r["iz_a"]), read(r)),
    ),
    "iec_60204_1_protective_conductor": ("iec_60204_1_table_1", protective),
    "iec_60228_resistance": (
        "iec_60228",
        lambda r: (*numbers(r, "area_mm2", "class2_ohm_per_km", "class5_ohm_per_km"), read(r)),
    ),
    "material_constants": (
        "material_constants",
        lambda r: (r["item"], figure(r["value"]), r["unit"], r["material"], read(r)),
    ),
    "min_conductor_sizes_panels": ("panel_minimum_sizes", rule("standard")),
    "nec_240_21_tap_rules": ("nec_240_21", tap),
    "nec_240_4d_small_conductors": (
        "nec_240_4_d",
        lambda r: (
            r["material"],
            gauge(r["size_awg"]),
            *numbers(r, "max_ocpd_a", "max_continuous_load_a"),
            r["condition"],
            read(r),
        ),
    ),
    "nec_240_6a_standard_ocpd": (
        "nec_240_6_a",
        lambda r: (
            number(r["rating_a"]),
            {"fuse only": True, "fuse or breaker": False}[r["device"]],
            "do not list it" in r["note"],
            read(r),
        ),
    ),
    "nec_250_122_egc": (
        "nec_250_122",
        lambda r: (
            number(r["ocpd_not_exceeding_a"]),
            gauge(r["copper_awg"]),
            gauge(r["aluminium_awg"]),
            read(r),
        ),
    ),
    "nec_310_15b1_ambient": (
        "nec_310_15_b1",
        lambda r: (*numbers(r, "t_min_c", "t_max_c", "f60c", "f75c", "f90c"), read(r)),
    ),
    "nec_310_15c1_bundling": (
        "nec_310_15_c1",
        lambda r: (*numbers(r, "n_min", "n_max", "percent"), read(r)),
    ),
    "nec_310_16_ampacity": (
        "nec_310_16",
        lambda r: (r["material"], sized(r), *numbers(r, "a60c", "a75c", "a90c"), read(r)),
    ),
    "nec_312_6a_bending": ("nec_312_6_a", bending),
    "nec_430_247_motor_dc": ("nec_430_247", motor("v90", "v120", "v180", "v240", "v500")),
    "nec_430_248_motor_1ph": ("nec_430_248", motor("v115", "v200", "v208", "v230")),
    "nec_430_250_motor_3ph": (
        "nec_430_250",
        motor("v115", "v200", "v208", "v230", "v460", "v575"),
    ),
    "nec_430_7b_code_letters": (
        "nec_430_7_b",
        lambda r: (r["letter"], *numbers(r, "from_kva_per_hp", "below_kva_per_hp"), read(r)),
    ),
    "nec_430_251_locked_rotor_1ph": ("nec_430_251", motor("v115", "v208", "v230")),
    "nec_430_52_motor_scpd": (
        "nec_430_52",
        lambda r: (
            r["motor_type"],
            *numbers(
                r,
                "nontime_delay_fuse_pct",
                "dual_element_fuse_pct",
                "instantaneous_trip_pct",
                "inverse_time_breaker_pct",
            ),
            read(r),
        ),
    ),
    "nec_430_72b_control_conductors": (
        "nec_430_72_b",
        lambda r: (
            gauge(r["size_awg"]),
            *numbers(r, "colA_cu", "colA_al", "colB_cu", "colB_al", "colC_cu", "colC_al"),
            read(r),
        ),
    ),
    "nec_430_motor_rules": ("nec_430_rules", rule("reference")),
    "nec_450_3b_transformer": ("nec_450_3_b", transformer),
    "nec_ch9_t8_dc_resistance": (
        "nec_ch9_table_8",
        lambda r: (
            sized(r),
            number(r["area_cmil"]),
            r["stranding"],
            *numbers(r, "strands", "cu_uncoated_ohm_per_kft", "al_ohm_per_kft"),
            read(r),
        ),
    ),
    "nec_ch9_t9_ac_impedance": ("nec_ch9_table_9", table_9),
    "nec_class1_class2_limits": ("nec_class_limits", class_limit),
    "panel_rules_misc": ("nec_panel_rules", rule("reference")),
    "panel_wire_ampacity_us": ("panel_wire_us", panel_wire),
}


def published_rows(name: str) -> list[Row]:
    """The rows of a copy; `14 and larger: see NEC 310.16` is a pointer, not a row of values."""
    return [row for row in table_rows(name) if row.get("size_awg") != "14 and larger"]


def held_rows(module: str) -> list[tuple[Any, ...]]:
    return [values_of(row) for row in importlib.import_module(f"netcheck.tables.{module}").ROWS]


def test_every_published_table_is_held_or_has_a_reason_not_to_be() -> None:
    assert sorted([*CASES, "conductor_colours", *NOT_HELD]) == table_names()


@pytest.mark.parametrize("name", CASES)
def test_a_table_equals_its_published_copy_cell_by_cell(name: str) -> None:
    module, convert = CASES[name]
    assert [convert(row) for row in published_rows(name)] == held_rows(module)


@pytest.mark.parametrize("name", CASES)
def test_a_copy_has_no_column_of_values_that_the_comparison_leaves_out(name: str) -> None:
    _, convert = CASES[name]
    aside = {"source_ids", "note"}
    changed = {"fuse or breaker": "fuse only", "yes": "memory", "no": "yes", "memory": "yes"}
    unseen = set()
    for column in table_rows(name)[0].keys() - aside:
        seen = False
        for row in table_rows(name):
            value = row[column]
            other = changed.get(value) or (f"{value}1" if re.search(r"\d\Z", value) else "7")
            try:
                seen = seen or convert(row | {column: other}) != convert(row)
            except (KeyError, ValueError):
                seen = True
        if not seen:
            unseen.add(column)
    assert set() == unseen


def colours_published() -> list[tuple[Any, ...]]:
    """The copy names its pages in brackets inside two cells."""
    return [
        (
            row["standard"],
            row["function"],
            re.sub(r" \((etalk|infr)\)", "", row["colour"]),
            read(row),
        )
        for row in table_rows("conductor_colours")
    ]


def colours_held() -> list[tuple[Any, ...]]:
    return [
        (row.standard, row.function, row.wording, row.confirmed) for row in conductor_colours.ROWS
    ]


def test_colours_equal_their_published_copy_word_for_word() -> None:
    assert colours_published() == colours_held()


def test_every_accepted_colour_is_made_of_the_words_of_its_source() -> None:
    strangers = [
        (row.wording, colour)
        for row in conductor_colours.ROWS
        for colour in row.colours
        for word in colour.split()
        # "green/yellow" is the source's short form of green with a yellow stripe.
        if word not in re.split(r"\W+", row.wording.replace("stripes", "stripe"))
        and row.wording != "green/yellow"
    ]
    assert [] == strangers


@pytest.mark.parametrize("module", sorted({module for module, _ in CASES.values()}))
def test_a_table_says_where_it_stands(module: str) -> None:
    source = importlib.import_module(f"netcheck.tables.{module}").SOURCE
    assert isinstance(source, TableSource)
    assert source.title
    assert source.cite


@pytest.mark.parametrize("module", sorted({module for module, _ in CASES.values()}))
def test_the_named_rules_of_a_table_are_all_among_its_rows(module: str) -> None:
    loaded = importlib.import_module(f"netcheck.tables.{module}")
    row_type = type(loaded.ROWS[0])
    named = [value for value in vars(loaded).values() if isinstance(value, row_type)]
    assert not named or sorted(map(repr, named)) == sorted(map(repr, loaded.ROWS))
