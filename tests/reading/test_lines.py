"""Lines to statements: what goes on, what a remark takes off, what ends a line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading import statements as say
from netcheck.reading.syntax import logical_lines, read_statements
from netcheck.text import Source
from tests.model.build import panel_of, read


def lines(text: str) -> list[tuple[int, str]]:
    return list(logical_lines(Source("x.panel", text).lines))


def test_a_line_is_a_statement() -> None:
    assert [(1, "fuse FU1 2 A"), (3, "fuse FU2 2 A")] == lines("fuse FU1 2 A\n\nfuse FU2 2 A\n")


@pytest.mark.parametrize("mark", [",", ";"])
def test_a_line_that_ends_in_a_comma_or_semicolon_goes_on(mark: str) -> None:
    assert [(1, f"fuse FU1 2 A{mark}\n  time-delay")] == lines(f"fuse FU1 2 A{mark} \n  time-delay")


def test_a_line_that_begins_with_a_wire_goes_on_from_the_one_before() -> None:
    assert [(1, "K1:A2 --1-- X1:1\n    --1-- X1:2")] == lines("K1:A2 --1-- X1:1\n    --1-- X1:2")


def test_a_remark_is_left_off_but_not_inside_double_quotes() -> None:
    assert [(1, 'lamp H1 "Bed #4" 24 V DC')] == lines('lamp H1 "Bed #4" 24 V DC # red')


def test_the_line_of_a_remark_does_not_part_a_statement_and_lines_still_count() -> None:
    text = "fuse FU1 2 A,\n# slow enough for the pump\n  time-delay\nfuse FU2"
    assert [(1, "fuse FU1 2 A,\n\n  time-delay"), (4, "fuse FU2")] == lines(text)


def test_an_empty_line_ends_a_statement() -> None:
    assert [(1, "fuse FU1 2 A,"), (3, "time-delay")] == lines("fuse FU1 2 A,\n\ntime-delay")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_will_do_and_a_byte_order_mark_is_dropped(end: str) -> None:
    text = f"\ufefffuse FU1 2 A{end}\tfuse FU2 2 A{end}"
    assert [(1, "fuse FU1 2 A"), (2, "\tfuse FU2 2 A")] == lines(text)


def test_an_empty_text_says_nothing() -> None:
    for text in ("", "\ufeff", "\n\n", "# nothing yet", " \t"):
        reading = read_statements(Source("x.panel", text))
        assert ([], []) == (reading.statements, reading.mistakes)


def test_a_place_in_a_later_line_of_a_statement_is_that_lines() -> None:
    text = "strip X1 terminals 1 to 4,\n# the rest\n  30 A\n\nK1:A1 --1-- X1:1\n  --2-- X1:2"
    strip, chain = read_statements(Source("x.panel", text)).statements
    assert isinstance(strip, say.Device)
    assert isinstance(chain, say.Chain)
    assert 3 == strip.origin.span(strip.facets[0][1][0]).line
    span = chain.origin.span(chain.wires[1])
    assert (6, 3, 8) == (span.line, span.column, span.end_column)


@given(
    st.lists(
        st.sampled_from(["fuse FU1 2 A", "  x,", "--1-- Y", "# r", "", "a;", '"#"']), max_size=9
    )
)
def test_no_line_is_lost_and_none_is_read_twice(written: list[str]) -> None:
    """Every line that says something stands in exactly one statement, at its own number."""
    read: dict[int, str] = {}
    for first, text in logical_lines(written):
        for number, line in enumerate(text.split("\n"), first):
            if line:
                assert number not in read
                read[number] = line
    said = {
        number: line.rstrip()
        for number, line in enumerate(written, 1)
        if line and not line.startswith("#")
    }
    assert said == read


def test_a_quantity_is_known_by_its_unit_whatever_the_blanks_before_it() -> None:
    text = "strip X1 terminals 1 to 2, 15\tA, torque 1  N m, terminals 22   AWG to 4/0\tAWG"
    device = panel_of(text).devices["X1"]
    assert (15.0, 1.0) == (device.values["current"], device.values["torque_nm"])
    assert ("22 AWG", "4/0 AWG") == (device.values["accepts_low"], device.values["accepts_high"])


@pytest.mark.parametrize(
    ("line", "help"),
    [
        ("source MAINS 120/240 VAC 60 Hz, three-wire", "write `120/240 V AC`"),
        ("push button S2 normally open 13-14", "did you mean kind `button`?"),
        ("solenoid valve Y1 24 V DC 8 W", "did you mean kind `valve`?"),
        ("pilot light H1 24 V DC 1 W", "did you mean kind `lamp`?"),
        ("level switch LS1 normally open 13-14", "did you mean kind `float switch`?"),
        ("emergency stop button ES1 normally closed 11-12", "did you mean kind `emergency stop`?"),
        ("on delay timer KT1 5 s", "did you mean kind `on-delay timer`?"),
        ("E-stop ES1 normally closed 11-12", "did you mean `emergency stop`?"),
        ("breaker CB1 2P, 15 A", "did you mean `2-pole`?"),
        ("breaker CB1 two-pole, 15 A", "did you mean `2-pole`?"),
        ("breaker CB1 three pole 15 A", "did you mean `3-pole`?"),
        ("breaker CB1 2 poles 15 A", "did you mean `2-pole`?"),
        ("breaker CB1 2 pole 15 A", "write `2-pole`"),
        ("contactor K1 coil 24 V DC; 3-pole 25 A", "did you mean `3 main poles`?"),
        ("contactor K1 coil 24 V DC; three-pole 25 A", "did you mean `3 main poles`?"),
        ("contactor K1 coil 24 V DC; 3 poles 25 A", "did you mean `3 main poles`?"),
        ("contactor K1 coil 24 V DC; 3 main contacts 25 A", "did you mean `3 main poles`?"),
        ("contactor K1 coil 24 V DC; single-pole 25 A", "did you mean `1 main pole`?"),
        (
            "relay K1 coil 24 V DC; 2-pole",
            "say each of its contacts: `normally open 13-14 23-24`, `change-over 11-12-14`",
        ),
        ("relay K1 coil 24 V DC; DPDT", "did you mean `change-over 11-12-14 21-22-24`?"),
        (
            "source MAINS 120/240 V AC 60 Hz, grounded neutral",
            "say which pole is: `N grounded`, `0V grounded`",
        ),
        (
            "supply PS1 120 V AC to 24 V DC, 5 A, earthed",
            "say which pole is: `N grounded`, `0V grounded`",
        ),
        ("circuit breaker CB1 1-pole 20 A", "the line of a circuit breaker begins with `breaker`"),
        (
            "selector QT1 positions MAINS GEN; 1-2 3-4 in MAINS",
            "say each by itself: `3-4 in HAND; ...`",
        ),
        ("main switch QS1 2-pole 30 A", "did you mean kind `disconnect`?"),
        ("terminal block X1 terminals 1 to 4", "did you mean kind `strip`?"),
    ],
)
def test_what_a_technician_writes_first_is_answered_with_how_it_is_written_here(
    line: str, help: str
) -> None:
    _, mistakes = read(line)
    assert help in [mistake.help for mistake in mistakes]
