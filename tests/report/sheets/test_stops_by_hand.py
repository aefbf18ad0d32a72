"""One fault at a time, and the script to run: held to what a self-holding circuit does.

IEC 60204-1, 9.4.3 and NFPA 79, 9.4.3: one fault must neither start a machine nor keep it from
stopping (second-hand); that a welded seal-in restarts it is a fact of the trade.
"""

from __future__ import annotations

from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.one_fault import effects, one_fault
from netcheck.report.sheets.running import running_states
from netcheck.report.sheets.script import stop_script
from tests.facts.panels import panel_of
from tests.report.sheets.panels import greenhouse, rows_with
from tests.states.test_faults_at_once import SEAL_IN

FUSED = SEAL_IN.replace("--1-- S1", "--9-- F1 --1-- S1").replace(
    "battery", "fuse F1 2 A, 60 V DC, 10 kA interrupting\nbattery"
)


def effect(bench: Bench, words: str) -> tuple[str, str]:
    (found,) = [one for one in effects(bench) if one.fault.words == words]
    return found.sort, found.words


def test_a_welded_seal_in_starts_it_again() -> None:
    assert ("STARTS", "M1 STARTS once S1 is let go") == effect(
        Bench(panel_of(SEAL_IN)), "K1:13-14 welded"
    )


def test_a_contactor_that_sticks_runs_on() -> None:
    bench = Bench(panel_of(SEAL_IN))
    assert ("RUNS ON", "M1 RUNS ON with S1 held") == effect(bench, "K1 held in")


def test_a_broken_wire_in_the_stop_circuit_stops() -> None:
    bench = Bench(panel_of(SEAL_IN))
    assert ("stops", "M1 stops") == effect(bench, "wire 1 B1:+ to S1:11 open")


def test_a_grounded_wire_opens_the_fuse_that_feeds_it() -> None:
    sort, words = effect(Bench(panel_of(FUSED)), "wire 2 S1:12 to S2:13 grounded")
    assert ("fuse opens", "F1 opens") == (sort, words)


def test_every_fault_stands_in_the_table_once() -> None:
    bench = greenhouse()
    told = "\n".join(str(row[2]) for row in one_fault(bench).rows)
    for found in effects(bench):
        name = found.fault.words.removesuffix(f" {found.fault.kind}")
        assert name in told


def test_the_loads_of_the_greenhouse_run_together_and_after_its_own_start() -> None:
    (state,) = running_states(greenhouse()).states
    assert "press S0, let go" == state.steps[0]
    assert {"M1", "M2", "HTR1"} <= {load.name for load in state.loads}


def test_loads_that_cannot_run_together_get_a_state_each() -> None:
    text = (
        SEAL_IN.replace("motor M1", "motor M2 24 V DC, 1 A full load\nmotor M1")
        .replace(
            "  S1:12 --2-- K1:13-14",
            "  S1:12 --2-- K1:21-22 --7-- M2 --0-- B1:-\n  S1:12 --2-- K1:13-14",
        )
        .replace(
            "13-14 60 V DC 4 A\nmotor",
            "13-14 60 V DC 4 A; auxiliary normally closed 21-22 60 V DC 4 A\nmotor",
        )
    )
    states = running_states(Bench(panel_of(text))).states
    assert [["M2"], ["M1"]] == [[load.name for load in one.loads] for one in states]


def test_each_stop_is_held_and_let_go_and_nothing_starts() -> None:
    table = stop_script(greenhouse())
    (held,) = rows_with(table, do="press S1 (North pump stop), keep it")
    (let_go,) = rows_with(table, do="release S1 (North pump stop), wait 10 seconds")
    assert ("M1 stops", "nothing starts or stops") == (held["must happen"], let_go["must happen"])


def test_a_limit_that_comes_back_starts_what_it_starts_and_the_script_says_so() -> None:
    (line,) = rows_with(
        stop_script(greenhouse()),
        do="FL3 operates (Water over the elements), wait 10 seconds",
    )
    assert "HTR1, HTR2 START" == line["must happen"]


def test_power_that_returns_starts_nothing_that_holds_itself() -> None:
    rows = rows_with(stop_script(Bench(panel_of(SEAL_IN))), part="1. Power lost and back")
    assert ["M1 stops", "nothing starts or stops"] == [row["must happen"] for row in rows]


def test_a_wire_lifted_at_a_stop_keeps_it_from_starting() -> None:
    rows = rows_with(stop_script(Bench(panel_of(SEAL_IN))), part="1. A wire lifted at each stop")
    assert rows
    assert {"M1 will not start"} == {row["must happen"] for row in rows}


def test_a_panel_without_stops_has_neither() -> None:
    text = SEAL_IN.replace(", for stopping", ", for starting")
    bench = Bench(panel_of(text))
    assert ((), ()) == (one_fault(bench).rows, stop_script(bench).rows)
