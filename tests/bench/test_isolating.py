"""Lock-out lists, held against reachability in a graph that networkx walks."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import networkx
import pytest

from netcheck.bench import isolate_json, isolate_text
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolating import Beside, Isolation, Isolator
from netcheck.bench.opened import opened
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.record import replace
from netcheck.report.closing import CAUTION
from netcheck.report.terminal import columns
from tests.bench.panels import ALL, BRANCHES, HEATER, SAMPLES, greenhouse, panel_of, sample
from tests.bench.test_documents import check

TWO_SOURCES = """\
panel "Pump with control from elsewhere"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
breaker CB1 2-pole 20 A 120/240 V AC
disconnect QS1 2-pole 30 A 240 V AC
button S1 normally open 13-14
contactor K1 coil 24 V DC 3 W; 2 main poles; normally open 13-14
heater HTR1 3 kW 240 V AC
lamp H1 24 V DC 1 W
circuit "Heater"
  MAINS:L1 --1-- CB1:1-2 --3-- K1:1-2 --5-- QS1:1-2 --7-- HTR1:1
  MAINS:L2 --2-- CB1:3-4 --4-- K1:3-4 --6-- QS1:3-4 --8-- HTR1:2
  E1:+ --11-- S1 --12-- K1:A1-A2 --13-- E1:0V
  E1:+ --14-- K1:13-14 --15-- H1 --16-- E1:0V
"""

BACKWARDS = """\
panel "Two transformers on one bus"
source MA 240 V AC single-phase 60 Hz, 10 kA available, ungrounded
source MB 240 V AC single-phase 60 Hz, 10 kA available, ungrounded
breaker CB1 2-pole 20 A 240 V AC
breaker CB2 2-pole 20 A 240 V AC
transformer T1 240 V to 24 V AC 100 VA
transformer T2 240 V to 24 V AC 100 VA
lamp H1 24 V AC 5 W
circuit "Bus"
  MA:L1 --1-- CB1:1-2 --3-- T1:H1
  MA:L2 --2-- CB1:3-4 --4-- T1:H2
  MB:L1 --5-- CB2:1-2 --7-- T2:H1
  MB:L2 --6-- CB2:3-4 --8-- T2:H2
  T1:X1 --9-- H1 --10-- T1:X2
  T2:X1 --11-- H1:X1
  T2:X2 --12-- H1:X2
"""


def reached(panel: Panel, opened: set[str]) -> set[str]:
    """Terminals that an ungrounded pole of a source reaches, another way."""
    graph = networkx.Graph()
    ground = networkx.Graph()
    for wire in panel.wires:
        graph.add_edge(wire.a, wire.b)
        ground.add_edge(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts in (Conducts.JOINS, Conducts.BOND) and not part.mechanism:
            ground.add_edge(part.a, part.b)
        if part.conducts in (Conducts.NOTHING, Conducts.BOND):
            continue
        if part.device in opened and part.conducts is Conducts.JOINS:
            continue
        graph.add_edge(part.a, part.b)
    held: set[str] = set()
    for source in panel.sources:
        pole = f"{source.device}:{source.grounded_pole}"
        if source.grounded_pole:
            held |= {pole, *(networkx.node_connected_component(ground, pole)
                             if pole in ground else ())}  # fmt: skip
    graph.remove_nodes_from(held)
    starts = set()
    for source in panel.sources:
        poles = [f"{source.device}:{pole}" for pole in source.poles]
        if not source.inputs and source.device not in opened:
            starts |= set(poles) - held
        for index in source.inputs:
            part = panel.parts[index]
            for end in {part.a, part.b} - held:
                for pole in set(poles) - held:
                    graph.add_edge(end, pole)
    return set().union(*(networkx.node_connected_component(graph, at) for at in starts
                         if at in graph), starts)  # fmt: skip


PANELS = [BRANCHES, HEATER, TWO_SOURCES, BACKWARDS, ""]


@pytest.mark.parametrize("text", PANELS)
def test_with_its_list_locked_nothing_reaches_a_device_and_no_handle_of_it_is_idle(
    text: str,
) -> None:
    """Electronic supplies count as ways back in the second opinion, so it reaches no less."""
    panel = panel_of(text) if text else greenhouse()
    isolator = Isolator(panel)
    for name, device in panel.devices.items():
        told = isolator.of(name)
        points = set(device.terminals)
        locked = {*told.handles, *told.elsewhere}
        assert points.isdisjoint(isolator.reach(locked))
        assert points.isdisjoint(reached(panel, locked))
        for one in locked:
            assert not points.isdisjoint(isolator.reach(locked - {one}))


@pytest.mark.parametrize("text", [TWO_SOURCES, BACKWARDS, *ALL.values()])
def test_no_shorter_list_would_do(text: str) -> None:
    """Every set of as many handles is tried; of equals the first that leaves most live is told."""
    panel = panel_of(text)
    isolator = Isolator(panel)
    for name, device in panel.devices.items():
        told = isolator.of(name)
        if told.elsewhere or not told.sources:
            continue
        useful = [one for one in isolator.handles if one != name]
        for count in range(len(told.handles) + 1):
            enough = [
                some
                for some in combinations(useful, count)
                if isolator.reach(some).keys().isdisjoint(device.terminals)
            ]
            if enough:
                most = max(enough, key=lambda some: len(isolator.reach(some)))
                assert most == told.handles
                break


def test_a_list_of_a_big_panel_is_not_looked_for_among_all_sets_of_handles() -> None:
    """Each coil is fed from elsewhere, so that no set of the 40 handles would do."""
    walked = 0

    class Counted(Isolator):
        def onwards(self, at: str, opened: frozenset[str] = frozenset()) -> Iterator[str]:
            nonlocal walked
            walked += 1
            return super().onwards(at, opened)

    panel = panel_of(many_branches(40))
    terminals = sum(len(device.terminals) for device in panel.devices.values())
    told = Counted(panel).of("K1")
    assert ("CB1",) == told.handles
    assert ("E1",) == told.elsewhere
    assert walked < 100 * terminals


def many_branches(count: int) -> str:
    numbers = range(1, count + 1)
    marks = "-".join(str(number) for number in range(1, count + 2))
    devices = "\n".join(
        f"breaker CB{n} 2-pole 20 A 240 V AC\ncontactor K{n} coil 24 V DC 3 W; 2 main poles\n"
        f"button S{n} normally open 13-14\nheater HTR{n} 2 kW 240 V AC"
        for n in numbers
    )
    wires = "\n".join(
        f"  XL1:{n + 1} -- CB{n}:1-2 -- K{n}:1-2 -- HTR{n}:1\n"
        f"  HTR{n}:2 -- K{n}:4-3 -- CB{n}:4-3 -- XL2:{n + 1}\n"
        f"  XP:{n + 1} -- S{n} -- K{n}:A1-A2 -- E1:0V"
        for n in numbers
    )
    strips = "\n".join(
        f"strip {name} terminals 1 to {count + 1}; bridged {marks}" for name in ("XL1", "XL2", "XP")
    )
    return f"""\
panel "Many branches"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
edge E1 24 V DC, fused 4 A, 0V grounded, from "panel B"
{strips}
{devices}
circuit "All"
  MAINS:L1 -- XL1:1
  MAINS:L2 -- XL2:1
  E1:+ -- XP:1
{wires}
"""


def of(text: str, device: str) -> Isolation:
    return Isolator(panel_of(text)).of(device)


@pytest.mark.parametrize("text", [BACKWARDS, TWO_SOURCES])
def test_with_a_device_s_list_open_it_is_dead_and_with_one_less_it_is_not(text: str) -> None:
    """The same question asked from the other side."""
    isolator = Isolator(panel_of(text))
    asked = [isolator.of(name) for name in isolator.panel.devices]
    lists = [(one.device, one.handles) for one in asked if one.handles and not one.elsewhere]
    assert lists
    for name, handles in lists:
        assert name in opened(isolator, handles).dead
        for less in handles:
            rest = [one for one in handles if one != less]
            assert name in {one.device for one in opened(isolator, rest).live}


def test_control_power_from_elsewhere_is_told_past_an_open_breaker() -> None:
    told = opened(Isolator(panel_of(TWO_SOURCES)), ["CB1"])
    live = {one.device: one for one in told.live}
    assert ("K1:A1", "K1:13", "K1:14") == live["K1"].points
    assert ("24 V DC", ("E1",), True) == (live["K1"].volts, live["K1"].sources, live["K1"].partly)
    assert ("CB1:1", "CB1:3") == live["CB1"].points
    assert {"HTR1", "QS1"} == set(told.dead)


def test_control_power_from_elsewhere_needs_a_lock_of_its_own() -> None:
    told = of(TWO_SOURCES, "K1")
    assert ("MAINS", "E1") == told.sources
    assert ("CB1",) == told.handles
    assert ("E1",) == told.elsewhere


def test_what_is_isolated_near_by_leaves_the_rest_on() -> None:
    told = of(TWO_SOURCES, "HTR1")
    assert ("QS1",) == told.handles
    assert () == told.elsewhere
    words = {str(one) for one in told.stays_live}
    assert not words.isdisjoint(("K1 (120 V AC, 24 V DC)", "K1 (240 V AC, 24 V DC)"))


def test_a_transformer_fed_backwards_needs_both_breakers() -> None:
    told = of(BACKWARDS, "T1")
    assert ("MA", "MB") == told.sources
    assert {"CB1", "CB2"} == set(told.handles)
    assert ("MA", "MB") == of(BACKWARDS, "CB1").sources


def test_a_handle_does_not_isolate_its_own_line_side() -> None:
    assert ("MAINS",) == of(TWO_SOURCES, "CB1").elsewhere


def test_every_live_point_is_proved_to_ground_and_against_every_other() -> None:
    told = of(TWO_SOURCES, "HTR1")
    to_ground = ("HTR1:1 to ground (MAINS:N)", "HTR1:2 to ground (MAINS:N)")
    assert (*to_ground, "HTR1:1 to HTR1:2") == told.prove_dead


def test_a_source_that_is_not_known_to_be_grounded_is_proved_dead_to_ground_all_the_same() -> None:
    """Caution 2 of the trade: line to line, to neutral, to ground; what the text leaves out may
    be so."""
    told = of(DRIVE, "M1")
    assert {f"M1:T{n} to ground" for n in (1, 2, 3)} < set(told.prove_dead)


def test_a_device_of_many_points_has_all_of_them_proved_on_the_screen() -> None:
    told = Isolator(greenhouse()).of("K1")
    document = IsolateDocument("a.panel", False, (told,))
    text = " ".join(isolate_text.render(document, colour=False, width=40).split())
    assert len(told.prove_dead) == len(told.points) + len(told.points) * (len(told.points) - 1) / 2
    assert f"each to ground (GB1) and to every other: {', '.join(told.points)}" in text
    assert "json" not in text
    few = of(TWO_SOURCES, "HTR1")
    text = isolate_text.render(IsolateDocument("a.panel", False, (few,)), colour=False, width=40)
    assert all(f"{pair}\n" in text for pair in few.prove_dead)


def test_the_documents_are_as_the_schema_says_and_narrow() -> None:
    isolator = Isolator(panel_of(TWO_SOURCES))
    every = tuple(isolator.of(name) for name in isolator.panel.devices)
    for document in (
        IsolateDocument("a.panel", True, every),
        IsolateDocument("a.panel", False, every),
    ):
        check("isolate", isolate_json.render(document))
        text = isolate_text.render(document, colour=False, width=60)
        assert [] == [line for line in text.splitlines() if columns(line) > 60]
        whole = isolate_text.render(document, colour=False, width=None)
        assert whole.endswith("\n".join(CAUTION) + "\n")
        assert "0 V is not proof that it is dead" in whole


# ---- where somebody stands -------------------------------------------------------------------


def of_sample(name: str, device: str) -> Isolation:
    return Isolator(sample(SAMPLES / f"{name}.panel")).of(device)


def test_ground_is_met_at_the_bar_of_the_panel_that_somebody_stands_before() -> None:
    """Nobody's lead reaches the neutral of the other house."""
    assert "ground (B.GB1)" == of_sample("two_houses", "B.K1").ground
    assert "ground (A.GB1)" == of_sample("two_houses", "A.K1").ground
    assert "ground (GB1)" == of_sample("frost_guard", "BZ1").ground


def test_ground_is_met_at_a_device_s_own_terminal_where_the_panel_s_bar_is_out_of_reach() -> None:
    """No bar is named to whoever stands at the mast, where nothing is wired to ground."""
    assert "ground (HTR1:PE)" == of_sample("greenhouse", "HTR1").ground
    assert "ground" == of_sample("frost_guard", "EV1").ground


def test_what_is_in_the_other_panel_is_not_beside_it() -> None:
    beside = {one.device for one in of_sample("two_houses", "B.K1").stays_live}
    assert {"B.EB", "B.CB1"} == beside


def test_the_line_side_of_a_main_switch_on_the_door_is_told_to_who_works_behind_it() -> None:
    """What feeds a disconnect is live whether it is open or not: fact of the trade."""
    beside = {str(one) for one in of_sample("fertigation", "K1").stays_live}
    assert {"E1 (240 V AC)", "QS1 (240 V AC)"} == beside


def test_what_stays_live_has_the_volts_that_the_text_calls_them() -> None:
    """230 V to neutral are 398 V between lines, and the text says 230/400 V."""
    beside = {str(one) for one in of_sample("boiler_pumps", "M1").stays_live}
    assert "M2 (400 V AC)" in beside


def test_no_lock_opens_a_battery() -> None:
    """A battery is live at its own poles whatever is opened: fact of the trade."""
    told = of_sample("frost_guard", "BT1")
    assert ("BT1", "BT2") == told.unlocked
    assert () == told.prove_dead
    assert any("never proved dead" in words for words in told.stored)
    text = isolate_text.render(IsolateDocument("a", False, (told,)), colour=False, width=None)
    assert text.startswith("NO LOCK WILL DO to work on BT1: take the links off BT1 and BT2 first")
    fuse = of_sample("frost_guard", "FU1")
    assert ("BT1",) == fuse.unlocked
    whole = IsolateDocument("a", True, (told, fuse, of_sample("frost_guard", "K1")))
    text = isolate_text.render(whole, colour=False, width=None)
    assert "no lock opens BT1 and BT2\n" in text
    assert "lock QS1; no lock opens BT1\n" in text
    assert "lock QS1\n" in text


def test_the_way_home_is_proved_dead_as_well() -> None:
    """Line to line, to neutral, to ground: a neutral that is open ahead, or another's, is live
    (the trade's test of a dead point)."""
    told = of_sample("potting_shed", "HTR1")
    ground = ("HTR1:1 to ground (HTR1:PE)", "HTR1:2 to ground (HTR1:PE)")
    assert (*ground, "HTR1:1 to HTR1:2") == told.prove_dead
    assert "K1:A2" in Isolator(greenhouse()).of("K1").points
    assert not any("PE" in point for point in of_sample("potting_shed", "M1").points)
    assert () == of_sample("two_houses", "A.XN").prove_dead


def test_what_turns_or_is_hot_without_power_is_told() -> None:
    assert ("EV1: a fan runs down, and a draught turns it",) == of_sample(
        "frost_guard", "EV1"
    ).stored
    assert ("HTR1: a heater stays hot",) == Isolator(greenhouse()).of("HTR1").stored


# ---- traps: wrong advice here is dangerous ---------------------------------------------------


DRIVE = """\
panel "Pump on a drive"
source MAINS 240 V AC single-phase 60 Hz, 10 kA available, ungrounded
disconnect QS1 2-pole 30 A 240 V AC
drive VFD1 240 V AC single-phase 8 A, gives 4 A; inputs DI1 to 0V, 24 V DC, 5 mA
motor M1 1 hp 240 V AC three-phase
circuit "Pump"
  MAINS:L1 --1-- QS1:1-2 --3-- VFD1:L1
  MAINS:L2 --2-- QS1:3-4 --4-- VFD1:L2
  VFD1:T1 --5-- M1:T1
  VFD1:T2 --6-- M1:T2
  VFD1:T3 --7-- M1:T3
"""

STOPPED = """\
panel "Stopped by everything but a lock"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
fuse FU1 5 A
emergency stop ES1 normally closed 11-12
button S1 normally closed 11-12
contactor K1 coil 120 V AC 10 VA sealed; normally open 13-14
heater HTR1 500 W 120 V AC
circuit "Heater"
  MAINS:L --1-- FU1 --2-- ES1:11-12 --3-- S1 --4-- K1:13-14 --5-- HTR1 --6-- MAINS:N
  S1:12 --7-- K1:A1-A2 --8-- MAINS:N
"""

NEUTRAL = """\
panel "Two legs on one neutral"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
breaker CB1 1-pole 15 A 120/240 V AC
breaker CB2 1-pole 15 A 120/240 V AC
switch SN normally open 1-2
lamp H1 120 V AC 60 W
lamp H2 120 V AC 60 W
circuit "Lamps"
  MAINS:L1 --1-- CB1 --3-- H1 --4-- SN:1
  MAINS:L2 --2-- CB2 --5-- H2 --6-- SN:1
  SN:2 --N-- MAINS:N
"""


def test_a_drive_keeps_its_motor_charged_and_is_named_for_it() -> None:
    """Release stored energy before work: OSHA 1910.147(d)(5) and 1910.333(b)(2)(ii)(C)."""
    told = of(DRIVE, "M1")
    assert ("QS1",) == told.handles
    assert any(words.startswith("VFD1: a drive's capacitors") for words in told.stored)
    assert any(words.startswith("M1: a motor runs down") for words in told.stored)


def test_a_supply_is_named_for_what_hangs_on_its_output() -> None:
    told = Isolator(greenhouse()).of("K1")
    assert any(words.startswith("PS1: a supply's capacitors") for words in told.stored)


@pytest.mark.parametrize("device", ["HTR1", "K1"])
def test_stops_contactors_and_fuses_are_never_told_to_isolate(device: str) -> None:
    """Control devices and interlocks are not the sole means of isolation: OSHA
    1910.333(b)(2)(ii)(A); a fuse can be drawn but not locked, and is no disconnect."""
    told = of(STOPPED, device)
    assert () == told.handles
    assert ("MAINS",) == told.elsewhere


def test_a_shared_neutral_behind_a_switch_is_live_from_either_leg() -> None:
    """With the neutral open, each lamp leads the other leg on: fact of the trade."""
    told = of(NEUTRAL, "H1")
    assert {"CB1", "CB2"} == set(told.handles)


def test_what_stays_live_is_told_with_its_volts() -> None:
    told = of(TWO_SOURCES, "HTR1")
    assert {"MAINS", "E1", "CB1", "QS1", "S1", "K1", "H1"} == {
        one.device for one in told.stays_live
    }
    assert all(" V " in one.volts for one in told.stays_live)


def test_what_stays_live_is_told_by_volts_the_highest_first() -> None:
    """Of a hundred and sixty devices on one line nobody finds the one that kills."""
    one = replace(
        of(TWO_SOURCES, "HTR1"),
        stays_live=(
            Beside("K1", "24 V DC", 24.0),
            Beside("CB1", "240 V AC", 240.0),
            Beside("K2", "24 V DC", 24.0),
            Beside("X9", "volts not known", 0.0),
        ),
    )
    text = isolate_text.render(IsolateDocument("a", isolations=(one,)), colour=False, width=40)
    lines = text.splitlines()
    at = lines.index("STILL LIVE in the same place")
    assert [
        "  volts not known X9",
        "  240 V AC    CB1",
        "  24 V DC     K1, K2",
    ] == lines[at + 1 : at + 4]


def test_two_points_that_read_nothing_are_told_with_the_volts_that_stand_at_them() -> None:
    """Both ends of an open load at one pole's voltage read 0 V and are live."""
    from netcheck.bench.diagnosing import diagnose
    from netcheck.bench.observations import observation

    panel = panel_of(HEATER)
    told = diagnose(panel, [observation(panel, "HTR1 does not heat")])
    assert told.next is not None
    assert 120 <= told.next.exposed_v <= 240
