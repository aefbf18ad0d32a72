"""The ampacity of a conductor: table value, factors, terminals, and what is not tabulated."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import replace
from netcheck.tables import ampacity as rules
from netcheck.tables.ampacity import ampacity, default_terminal_temperature_c, iec_sizes, nec_sizes
from netcheck.tables.conditions import ALUMINIUM, COPPER, COPPER_CLAD_ALUMINIUM, IEC, Conditions
from netcheck.tables.lookup import CurrentLimit, NotTabulated
from netcheck.tables.wire_sizes import trade_size

FIELD = Conditions(insulation_c=90, terminal_c=60, ambient_c=30)
PANEL = replace(FIELD, ambient_c=40, inside_panel=True)
METRIC = Conditions(insulation_c=70, terminal_c=70, ambient_c=40, practice=IEC)


def limit(size: str, conditions: Conditions) -> CurrentLimit:
    found = ampacity(trade_size(size), conditions)
    assert isinstance(found, CurrentLimit), found
    return found


def reason(size: str, conditions: Conditions) -> str:
    found = ampacity(trade_size(size), conditions)
    assert isinstance(found, NotTabulated), found
    return found.reason


def test_the_terminals_hold_down_good_insulation() -> None:
    """NEC 310.16 with 110.14(C): 14 AWG, 90 C insulation 25 A, 60 C terminals 15 A."""
    found = limit("14 AWG", FIELD)
    assert (15, rules.TERMINALS) == (found.current_a, found.governed_by)
    assert found.confirmed


def test_the_corrected_insulation_column_governs_where_it_is_lower() -> None:
    """310.16, 310.15(B)(1), (C)(1): 12 AWG, 30 A x 0.91 (40 C) x 0.50 (10 together) = 13.65 A."""
    found = limit("12 AWG", replace(FIELD, ambient_c=40, current_carrying=10))
    assert (13.65, rules.INSULATION) == (found.current_a, found.governed_by)


def test_every_figure_of_the_working_names_its_table_row() -> None:
    found = limit("12 AWG", replace(FIELD, ambient_c=40, current_carrying=10))
    assert [
        (30, "A", "NEC 310.16, 12 AWG copper, 90 degC column"),
        (0.91, "", "NEC 310.15(B)(1), up to 40 degC, 90 degC column"),
        (0.5, "", "NEC 310.15(C)(1), 10 current-carrying conductors"),
        (20, "A", "NEC 310.16, 12 AWG copper, 60 degC column"),
    ] == [(step.value, step.unit, step.source) for step in found.steps]
    assert found.working[0].source == found.steps[0].source


@pytest.mark.parametrize(
    ("size", "current_a"), [("22 AWG", 3), ("20 AWG", 5), ("18 AWG", 7), ("16 AWG", 10)]
)
def test_small_wire_in_a_panel_goes_by_the_panel_wire_table(size: str, current_a: float) -> None:
    """NFPA 79 12.5.1, from memory: the answer says that it is not confirmed."""
    found = limit(size, PANEL)
    assert (current_a, rules.PANEL_WIRE) == (found.current_a, found.governed_by)
    assert not found.confirmed


def test_a_crowded_duct_holds_small_panel_wire_below_its_own_table() -> None:
    """18 AWG: 14 A x 0.91 x 0.50 = 6.37 A, below the 7 A of the panel wire table."""
    found = limit("18 AWG", replace(PANEL, current_carrying=20))
    assert (6.37, rules.INSULATION) == (found.current_a, found.governed_by)


def test_a_crowded_duct_holds_small_wire_below_14_awg_of_the_same_insulation() -> None:
    """310.16 has no 75 C value for 16 AWG, so that of 14 AWG bounds it: 20 A x 0.88 x 0.45."""
    found = limit("16 AWG", replace(PANEL, insulation_c=75, current_carrying=25))
    assert (7.92, rules.INSULATION) == (found.current_a, found.governed_by)
    assert "14 AWG copper, 75 degC column (next larger than 16 AWG)" in found.steps[1].source


@pytest.mark.parametrize(("size", "current_a"), [("18 AWG", 6), ("16 AWG", 8)])
def test_small_wire_in_the_field_goes_by_the_class_1_load_limit(
    size: str, current_a: float
) -> None:
    """NEC 402.5 by way of 725.49."""
    found = limit(size, FIELD)
    assert (current_a, rules.SMALL_FIELD_WIRE) == (found.current_a, found.governed_by)


def test_wire_smaller_than_18_awg_has_no_ampacity_in_the_field() -> None:
    assert "no NEC ampacity outside a panel for 20 AWG copper" == reason("20 AWG", FIELD)


def test_from_14_awg_on_a_panel_and_the_field_agree() -> None:
    for size in nec_sizes(COPPER):
        if size >= trade_size("14 AWG"):
            assert ampacity(size, FIELD) == ampacity(size, replace(FIELD, inside_panel=True))


def test_a_metric_size_takes_the_row_of_the_next_smaller_gauge_and_says_so() -> None:
    found = limit("2.5 mm2", FIELD)
    assert limit("14 AWG", FIELD).current_a == found.current_a
    assert "14 AWG copper, 90 degC column (next smaller than 2.5 mm2)" in found.steps[0].source


def test_wire_of_a_higher_rating_is_read_in_the_highest_column() -> None:
    hot = replace(FIELD, insulation_c=105, terminal_c=90)
    assert 25 == limit("14 AWG", hot).current_a


def test_copper_clad_aluminium_is_read_as_aluminium() -> None:
    """Heading of 310.16."""
    clad = replace(FIELD, material=COPPER_CLAD_ALUMINIUM)
    assert (
        limit("10 AWG", replace(FIELD, material=ALUMINIUM)).current_a
        == limit("10 AWG", clad).current_a
    )


@pytest.mark.parametrize(
    ("size", "conditions", "words"),
    [
        ("14 AWG", replace(FIELD, material="silver"), "no ampacity table for silver"),
        (
            "14 AWG",
            replace(FIELD, material=ALUMINIUM),
            "no NEC ampacity table has 14 AWG aluminium",
        ),
        ("5 AWG", FIELD, "no NEC ampacity table has 5 AWG"),
        ("300 mm2", FIELD, "beyond the NEC tables"),
        ("0.01 mm2", FIELD, "smaller than any size"),
        ("14 AWG", replace(FIELD, ambient_c=90), "ends below an ambient of 90 degC"),
        ("14 AWG", replace(FIELD, ambient_c=float("nan")), "ends below"),
        ("14 AWG", replace(FIELD, insulation_c=60, ambient_c=60), "permits no 60 degC conductor"),
        ("14 AWG", replace(FIELD, insulation_c=50), "no column for 50 degC"),
        ("14 AWG", replace(FIELD, terminal_c=50), "no column for 50 degC"),
        ("14 AWG", replace(FIELD, current_carrying=0), "no number of conductors"),
        ("14 AWG", replace(FIELD, practice="house rules"), "practice house rules"),
        ("2.5 mm2", replace(METRIC, material=ALUMINIUM), "is for copper"),
        ("2.5 mm2", replace(METRIC, insulation_c=60), "70 degC insulation"),
        ("2.5 mm2", replace(METRIC, current_carrying=6), "grouping factors are not held"),
        ("2.5 mm2", replace(METRIC, ambient_c=61), "ends below an ambient of 61 degC"),
        ("2.5 mm2", replace(METRIC, method="Z"), "no installation method Z"),
        ("3 mm2", METRIC, "has no 3 mm2"),
        ("24 AWG", METRIC, "smaller than any size"),
        ("500 kcmil", METRIC, "beyond IEC 60204-1 Table 6"),
    ],
)
def test_what_no_table_answers_is_said_and_not_guessed(
    size: str, conditions: Conditions, words: str
) -> None:
    assert words in reason(size, conditions)


def test_iec_capacity_by_method_and_ambient() -> None:
    """IEC 60204-1 tables 6 and D.1: 2.5 mm2, method C 21 A x 0.82 (50 C) = 17.22 A."""
    found = limit("2.5 mm2", replace(METRIC, method="C", ambient_c=50))
    assert 17.22 == found.current_a
    assert found.confirmed


def test_the_duct_column_from_memory_is_not_called_confirmed() -> None:
    assert not limit("2.5 mm2", METRIC).confirmed
    assert limit("2.5 mm2", replace(METRIC, method="B2")).confirmed


def test_a_gauge_takes_the_row_of_the_next_smaller_metric_size_and_says_so() -> None:
    found = limit("14 AWG", METRIC)
    assert limit("1.5 mm2", METRIC).current_a == found.current_a
    assert "1.5 mm2 copper, PVC (next smaller than 14 AWG)" in found.steps[0].source


@pytest.mark.parametrize(
    ("circuit_a", "size", "terminal_c"),
    [(100, "1 AWG", 60), (20, "14 AWG", 60), (101, "1 AWG", 75), (60, "1/0 AWG", 75)],
)
def test_unmarked_terminals_go_by_current_and_size(
    circuit_a: float, size: str, terminal_c: float
) -> None:
    """NEC 110.14(C)(1)."""
    found = default_terminal_temperature_c(circuit_a, trade_size(size))
    assert terminal_c == found.value


temperatures = st.sampled_from([60, 75, 90])
conditions = st.builds(
    Conditions,
    insulation_c=temperatures,
    terminal_c=temperatures,
    ambient_c=st.integers(-20, 55).map(float),
    material=st.sampled_from([COPPER, ALUMINIUM]),
    current_carrying=st.none() | st.integers(1, 60),
    inside_panel=st.booleans(),
)


@given(conditions)
def test_more_metal_never_carries_less(laid: Conditions) -> None:
    found = [ampacity(size, laid) for size in nec_sizes(laid.material)]
    currents = [one.current_a for one in found if isinstance(one, CurrentLimit)]
    assert sorted(currents) == currents


@given(conditions, st.sampled_from(nec_sizes(COPPER)))
def test_no_limit_exceeds_any_step_that_is_a_current(laid: Conditions, size: ConductorSize) -> None:
    found = ampacity(size, laid)
    if isinstance(found, CurrentLimit) and all(s.value <= 1 for s in found.steps if not s.unit):
        assert found.current_a <= min(s.value for s in found.steps if s.unit == "A")


@given(conditions, st.sampled_from(nec_sizes(COPPER)), st.integers(1, 60))
def test_company_and_heat_never_raise_an_ampacity(
    laid: Conditions, size: ConductorSize, more: int
) -> None:
    cool = ampacity(size, replace(laid, current_carrying=1))
    warm = ampacity(size, replace(laid, current_carrying=more, ambient_c=laid.ambient_c + more))
    if isinstance(cool, CurrentLimit) and isinstance(warm, CurrentLimit):
        assert warm.current_a <= cool.current_a


@given(st.sampled_from(["B1", "B2", "C", "E"]), st.integers(-20, 60).map(float))
def test_more_metal_never_carries_less_in_iec_practice(method: str, ambient_c: float) -> None:
    laid = replace(METRIC, method=method, ambient_c=ambient_c)
    currents = [limit(str(size), laid).current_a for size in iec_sizes(method)]
    assert sorted(currents) == currents


@given(conditions, st.sampled_from(nec_sizes(COPPER)))
def test_an_answer_from_memory_is_known_by_its_steps(laid: Conditions, size: ConductorSize) -> None:
    found = ampacity(size, laid)
    if isinstance(found, CurrentLimit):
        assert all(step.confirmed for step in found.steps) == found.confirmed
        assert all(step.source for step in found.steps)


def test_of_equal_limits_the_insulation_governs() -> None:
    found = limit("8 AWG", replace(FIELD, insulation_c=60))
    assert (40, rules.INSULATION) == (found.current_a, found.governed_by)


def test_conductors_in_parallel_carry_the_sum_of_what_each_may() -> None:
    """NEC 310.10(G), from memory: 1/0 AWG at 75 degC terminals carries 150 A (table 310.16)."""
    large = replace(FIELD, terminal_c=75)
    carried = [limit("1/0 AWG", replace(large, in_parallel=count)) for count in (1, 2, 3)]
    assert [150, 300, 450] == [one.current_a for one in carried]
    assert [True, False, False] == [one.confirmed for one in carried]


@pytest.mark.parametrize(
    ("size", "two_a", "three_a"),
    [("18 AWG", 10, 7), ("16 AWG", 13, 10), ("14 AWG", 18, 15), ("12 AWG", 25, 20)],
)
def test_flexible_cord_goes_by_a_table_of_its_own(size: str, two_a: float, three_a: float) -> None:
    """NEC table 400.5(A)(1): column B, two conductors, as an appliance standard reproduces it
    (its 11.1.7 and table 11.1, read on a page); column A, three, from memory."""
    cord = replace(FIELD, cord=True, terminal_c=75)
    two, three = (limit(size, replace(cord, current_carrying=count)) for count in (2, 3))
    assert (two_a, True, three_a, False) == (
        two.current_a, two.confirmed, three.current_a, three.confirmed,
    )  # fmt: skip


def test_a_cord_of_a_size_that_the_table_lacks_has_no_ampacity() -> None:
    assert "400.5" in reason("1/0 AWG", replace(FIELD, cord=True))
    assert "400.5" in reason("12 AWG", replace(FIELD, cord=True, material=ALUMINIUM))
