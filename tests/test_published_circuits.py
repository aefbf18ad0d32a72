"""Relay logic and continuity of published examples, rebuilt as panels.

`published/circuits/` holds a panel for each, its source on its first line; the answers are
those of `published/examples/examples.jsonl`.  The topologies were written down from the
sources' text and figures; where one is INFERRED the example is no evidence of the source,
only of the reasoning, and the test says so.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterable
from pathlib import Path

import pytest

from netcheck.case import Case
from netcheck.facts.as_built import AsBuilt
from netcheck.facts.contacts_both_ways import ContactsBothWays
from netcheck.facts.shorts import Shorts
from netcheck.model.build import build_panel
from netcheck.model.devices import Conducts, Part
from netcheck.network.nodes import find_nodes
from netcheck.network.traces import reached
from netcheck.reading.project import gather
from netcheck.states.answers import Never, Reached
from tests.annotated import Texts
from tests.operated import Operated

PUBLISHED = Path(__file__).parent / "published"
CIRCUITS = {
    path.stem: path.read_text(encoding="utf-8")
    for path in sorted((PUBLISHED / "circuits").glob("*.panel"))
}
EXAMPLES = {
    example["id"]: example
    for line in (PUBLISHED / "examples" / "examples.jsonl").read_text("utf-8").splitlines()
    for example in [json.loads(line)]
}


def case_of(name: str, text: str = "") -> Case:
    panel, mistakes = build_panel(name, gather(name, Texts({name: text or CIRCUITS[name]})))
    assert not mistakes
    return Case(panel)


def operated(name: str) -> Operated:
    return Operated(case_of(name))


def only(*devices: str) -> set[frozenset[str]]:
    """The one way it comes out: just these are on."""
    return {frozenset(devices)}


@pytest.mark.parametrize("name", CIRCUITS)
def test_a_circuit_names_the_source_of_its_example(name: str) -> None:
    example = EXAMPLES[name.split("-")[0]]
    first = CIRCUITS[name].splitlines()[0]
    assert first.startswith(f"# Example {example['id']}: ")
    assert example["source_title"] in first
    assert example["source_section"] in first
    assert (example["confirmed"] == "memory") == ("From memory." in first)
    inferred = "INFERRED" in example["topology"] or "RECONSTRUCTED" in example["topology"]
    assert inferred == ("INFERRED" in CIRCUITS[name] or "RECONSTRUCTED" in CIRCUITS[name])


# ---- sneak circuits ----------------------------------------------------------------------------


def test_i03_a_ground_fault_behind_the_coil_starts_it_and_no_stop_stops_it() -> None:
    """Voltage Disturbance, figures 1-2; its topology is INFERRED: it holds the reasoning only."""
    panel = operated("i03-coil-on-the-hot-side").put(FAULT="on")
    assert only("M") == panel.on()
    assert only("M") == panel.put(STOP="pressed").on()
    assert only("M") == panel.put(STOP="released").put(FAULT="off").on()
    assert only() == panel.tap("STOP").on()


def test_i03_with_the_coil_on_the_grounded_side_the_same_fault_starts_nothing() -> None:
    """The correct order that the article gives: contacts on the hot side."""
    turned = CIRCUITS["i03-coil-on-the-hot-side"].replace(
        "T:X1 -- M:A1-A2 -- START -- STOP -- T:X2", "T:X2 -- M:A1-A2 -- START -- STOP -- T:X1"
    )
    panel = Operated(case_of("i03-coil-on-the-hot-side", turned)).put(FAULT="on")
    assert only() == panel.on()


def test_i04_a_ground_on_the_switched_wire_lights_nothing_and_is_a_short_with_the_switch_on() -> (
    None
):
    """Lessons In Electric Circuits, Vol. IV, fig. 04007."""
    name = "i04-ground-on-the-switched-wire"
    assert only() == operated(name).put(FAULT="on").on()
    (short,) = case_of(name).conclude(Shorts).found
    assert {"S1": "on", "FAULT": "on"}.items() <= short.witness.state.items()


def test_i06_a_jumper_picks_both_relays_and_a_diode_only_the_one_that_is_meant() -> None:
    """Common teaching example, from memory; computed."""
    name = "i06-jumper-instead-of-a-diode"
    assert only("K1", "K2") == operated(name).put(B="on").on()
    diode = CIRCUITS[name].replace("A:2 --JUMPER-- B:2", "A:2 -- D1:A-K -- B:2")
    diode = diode.replace("switch A", "diode D1\nswitch A")
    assert only("K2") == Operated(case_of(name, diode)).put(B="on").on()
    assert only("K1", "K2") == Operated(case_of(name, diode)).put(A="on").on()


def test_i07_a_bridge_contact_closes_both_mixed_paths_and_is_passed_both_ways() -> None:
    """Switching-circuit textbooks, from memory; computed: f = AB + CD + AED + CEB."""
    name = "i07-bridge-contact"
    for held in itertools.product((False, True), repeat=5):
        a, b, c, d, e = held
        lit = (a and b) or (c and d) or (a and e and d) or (c and e and b)
        said = dict(zip("ABCDE", ("on" if one else "off" for one in held), strict=True))
        assert (only("H1") if lit else only()) == operated(name).put(**said).on()
    (found,) = case_of(name).conclude(ContactsBothWays).found
    assert "E" == found.contact.device


def test_i09_a_load_is_fed_through_the_cross_contact_with_its_own_switch_off() -> None:
    """A consultancy's overview; its topology is RECONSTRUCTED: it holds the reasoning only."""
    name = "i09-cross-contact"
    assert only("YA", "YB") == operated(name).put(CROSS="on", SWB="on").on()
    (found,) = case_of(name).conclude(ContactsBothWays).found
    assert "CROSS" == found.contact.device
    assert {"YA", "YB"} == {found.one.load.device, found.other.load.device}


# ---- relay logic -----------------------------------------------------------------------------


def test_j01_the_burner_is_released_by_all_permissives_and_by_no_fewer() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04057."""
    good = {"PR1": "operated", "PR2": "at rest", "FS1": "operated", "LS1": "operated"}
    for held in itertools.product(("at rest", "operated"), repeat=4):
        said = dict(zip(good, held, strict=True))
        expected = only("CR1", "GREEN") if said == good else only("RED")
        assert expected == operated("j01-permissives").put(**said).on()


def test_j03_either_contactor_keeps_the_other_out_and_both_buttons_at_once_are_a_race() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04060; that the race goes either way is ours."""
    panel = operated("j03-interlock").put(FWD="pressed")
    assert only("M1") == panel.on()
    assert only("M1") == panel.put(REV="pressed").on()
    panel = operated("j03-interlock").put(REV="pressed").put(FWD="pressed")
    assert only("M2") == panel.on()
    both = operated("j03-interlock").put(FWD="pressed", REV="pressed")
    assert only("M1") | only("M2") == both.on()


def test_j04_a_tapped_button_seals_in_for_good() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04061."""
    panel = operated("j04-seal-in-without-stop").tap("FWD")
    assert only("M1") == panel.on()
    assert only("M1") == panel.tap("REV").on()
    assert only("M1") == panel.tap("FWD").on()
    assert only() == panel.put(OL1="tripped").put(OL1="reset").on()
    panel = operated("j04-seal-in-without-stop").tap("FWD").put(MAINS="absent")
    assert only() == panel.put(MAINS="present").on()


def test_j08_a_broken_wire_of_a_parallel_alarm_shows_only_when_its_switch_is_pressed() -> None:
    """Lessons In Electric Circuits, Vol. IV, figs 04065-66."""
    assert only() == operated("j08-parallel-alarm").put(S2="pressed").on()
    for button in ("S1", "S3", "S4"):
        assert only("SIREN") == operated("j08-parallel-alarm").put(**{button: "pressed"}).on()


def test_j09_a_series_alarm_sounds_for_any_switch_and_for_a_break_of_its_first_rung() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04067."""
    name = "j09-fail-safe-alarm"
    assert only("CR1") == operated(name).on()
    for button in ("S1", "S2", "S3", "S4"):
        assert only("SIREN") == operated(name).put(**{button: "pressed"}).on()
    broken = CIRCUITS[name].replace("S1 --2-- S2 --", "S1\n  S2 --")
    assert only("SIREN") == Operated(case_of(name, broken)).on()
    silent = CIRCUITS[name].replace(" --7-- SIREN", "\n  SIREN")
    assert only() == Operated(case_of(name, silent)).put(S1="pressed").on()


@pytest.mark.parametrize(
    "name", ["j06-delayed-reversing", "j07-delayed-reversing-with-fewer-contacts"]
)
def test_j06_j07_the_other_direction_is_refused_until_the_motor_had_time_to_stop(name: str) -> None:
    """Lessons In Electric Circuits, Vol. IV, figs 04063-64; the sequence is the published one.

    A timer stands beside each coil; both ends of a way through it and back are one node, so
    none of the four coils is in doubt.
    """

    def contactors() -> str:
        (on,) = {devices & {"M1", "M2"} for devices in panel.on()}
        return "".join(on) or "-"

    panel = Operated(case_of(name))
    moves = [("FWD", "tap"), ("STOP", "tap"), ("REV", "tap"), ("TD1", "run out"), ("REV", "tap")]
    moves += [("STOP", "tap"), ("FWD", "tap"), ("TD2", "run out"), ("FWD", "tap")]
    seen: list[str] = []
    for what, how in moves:
        panel = panel.tap(what) if how == "tap" else panel.run_out(what)
        if not seen or seen[-1] != contactors():
            seen.append(contactors())
    published = EXAMPLES["j06"]["recheck_values"]["sequence"]
    assert [key for key, _ in itertools.groupby(published)] == seen


def test_j15_four_timed_contacts_each_wait_on_one_side_only() -> None:
    """Lessons In Electric Circuits, Vol. IV, ch. Time-delay relays."""

    def lamps() -> set[str]:
        (on,) = {devices - {"TON", "TOFF"} for devices in panel.on()}
        return set(on)

    panel = operated("j15-four-timed-contacts")
    assert {"NCTO", "NCTC"} == lamps()
    panel = panel.put(S1="on")
    assert {"NCTO", "NOTO"} == lamps()
    panel = panel.run_out("TON").run_out("TOFF")
    assert {"NOTC", "NOTO"} == lamps()
    panel = panel.put(S1="off")
    assert {"NCTO", "NOTO"} == lamps()
    panel = panel.run_out("TOFF").run_out("TON")
    assert {"NCTO", "NCTC"} == lamps()


@pytest.mark.parametrize(
    ("name", "lit"),
    [("j10-either-but-not-both", (0, 1, 1, 0)), ("j11-and-by-relay", (0, 0, 0, 1))],
)
def test_j10_j11_the_lamp_follows_its_truth_table(name: str, lit: tuple[int, ...]) -> None:
    """Lessons In Electric Circuits, Vol. IV, figs 04014 and 04056."""
    for (a, b), expected in zip(itertools.product(("off", "on"), repeat=2), lit, strict=True):
        on = operated(name).put(A=a, B=b).on()
        assert {bool(expected)} == {"H1" in devices for devices in on}


def test_j13_the_lamp_is_on_when_two_or_more_are_pressed() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04337."""
    for held in itertools.product(("released", "pressed"), repeat=3):
        expected = only("H1") if held.count("pressed") >= 2 else only()
        said = dict(zip(("X1", "X2", "X3"), held, strict=True))
        assert expected == operated("j13-majority").put(**said).on()


@pytest.mark.parametrize(
    ("name", "between"), [("j14-breaks-first", only()), ("j14-makes-first", only("H3", "H4"))]
)
def test_j14_between_two_positions_a_selector_makes_none_or_both(
    name: str, between: set[frozenset[str]]
) -> None:
    """Lessons In Electric Circuits, Vol. IV, ch. Switches."""
    panel = operated(name).put(SS1="P3")
    assert only("H3") == panel.on()
    assert between == panel.put(SS1="between P3 and P4").on()
    assert only("H4") == panel.put(SS1="P4").on()


@pytest.mark.parametrize(
    ("name", "short"), [("j14-breaks-first", False), ("j14-makes-first", True)]
)
def test_j14_making_first_across_different_potentials_is_a_short(name: str, short: bool) -> None:
    """Lessons In Electric Circuits, Vol. IV, ch. Switches: the lamp of wire 4 gives way to 0 V."""
    crossed = CIRCUITS[name].replace("SS1:4 -- H4 -- B1:-", "SS1:4 -- B1:-")
    crossed = crossed.replace("SS1:C\n", "SS1:3\n").replace("SS1:3 -- H3", "SS1:C -- H3")
    found = case_of(name, crossed).conclude(Shorts).found
    assert short == any("between P3 and P4" in one.witness.state.values() for one in found)


def test_j18_both_double_contact_buttons_pressed_energise_neither_contactor() -> None:
    """Electric Motor Control, ch. 21 problem 3."""
    assert only("M1") == operated("j18-button-interlock").put(FWD="pressed").on()
    assert only("M2") == operated("j18-button-interlock").put(REV="pressed").on()
    both = operated("j18-button-interlock").put(FWD="pressed").put(REV="pressed")
    assert only() == both.on()


def test_j19_the_first_trip_locks_out_the_others() -> None:
    """First-out scheme, from memory; computed."""
    panel = operated("j19-first-out").put(P2="operated")
    assert only("K2") == panel.put(P1="operated", P3="operated").on()
    assert only("K2") == panel.put(P2="at rest").on()
    race = operated("j19-first-out").put(P1="operated", P3="operated")
    assert only("K1") | only("K3") == race.on()


# ---- continuity ------------------------------------------------------------------------------


def ever_energised(case: Case, device: str) -> bool:
    behaviour = case.conclude(AsBuilt).wide
    (load,) = (part for part in case.panel.parts if part.device == device and part.load is not None)
    answer = behaviour.prover.can_happen(behaviour.energised(load))
    assert isinstance(answer, (Reached, Never))
    return isinstance(answer, Reached)


def live_with(case: Case, start: str, *, loads: bool) -> set[str]:
    """Terminals that a meter finds joined to one: through loads too, or not."""

    def passable(part: Part, forwards: bool) -> bool:
        if part.conducts is Conducts.CONTACT:
            return 0 in part.closed
        return part.conducts is Conducts.JOINS or (loads and part.conducts is Conducts.LOAD)

    return reached(case.panel, (start,), passable)


def test_a08_a_jumper_across_one_branch_is_a_short_of_the_source() -> None:
    """Lessons In Electric Circuits, Vol. I: unbounded current, to be reported as a dead short."""
    (short,) = case_of("a08-shorted-branch").conclude(Shorts).found
    assert ("B1:+", "B1:-", "JUMPER") == (
        short.start,
        short.end,
        getattr(short.cause, "number", ""),
    )


def points(case: Case, names: Iterable[str]) -> list[int]:
    nodes = find_nodes(case.panel)
    return [nodes.of[name] for name in names]


def test_a18_three_points_joined_by_wire_are_one_point() -> None:
    """Lessons In Electric Circuits, Vol. I: 0 V within a net, all the source between the two."""
    case = case_of("a18-common-points")
    top, bottom = points(case, ["P1:1", "P2:1", "P3:1"]), points(case, ["P4:1", "P5:1", "P6:1"])
    assert 1 == len(set(top)) == len(set(bottom))
    assert top[0] != bottom[0]
    assert [top[0], bottom[0]] == points(case, ["B1:+", "B1:-"])


def test_a25_five_points_on_each_wire_of_a_lamp_are_one_point() -> None:
    """Troubleshooting worksheet (Creative Commons)."""
    case = case_of("a25-common-points-of-a-lamp")
    top, bottom = (
        points(case, [f"XT:{p}" for p in "ABCDE"]),
        points(case, [f"XB:{p}" for p in "FGHIJ"]),
    )
    assert 1 == len(set(top)) == len(set(bottom))
    assert top[0] != bottom[0]
    assert ever_energised(case, "H1")


@pytest.mark.parametrize(("where", "live"), [("hot", False), ("neutral", True)])
def test_a19_a_fuse_blown_in_the_neutral_leaves_the_load_live(where: str, live: bool) -> None:
    """Lessons In Electric Circuits, Vol. I: which side the break is on decides what stays live."""
    case = case_of(f"a19-fuse-blown-in-the-{where}")
    assert not ever_energised(case, "H1")
    hot, home = (live_with(case, pole, loads=True) for pole in ("E1:L", "E1:N"))
    assert live == ({"H1:X1", "H1:X2"} <= hot)
    assert live != ({"H1:X1", "H1:X2"} <= home)


def test_a20_nothing_behind_an_open_fuse_is_energised() -> None:
    """Basic Electricity I, frame 56: the whole voltage stands across the fuse."""
    case = case_of("a20-open-fuse")
    assert not ever_energised(case, "R1")
    assert not ever_energised(case, "R2")
    assert {"B1:+", "FUA:1"} == live_with(case, "B1:+", loads=True)
    assert "FUB:1" in live_with(case, "B1:-", loads=True)


def test_a23_the_break_lies_between_the_last_live_and_the_first_dead_point() -> None:
    """Engineer examination item EL-0007; its topology is INFERRED: it holds the reasoning only."""
    panel = operated("a23-stop-that-stays-open").put(STOP="pressed")
    assert only() == panel.put(START="pressed").on()
    assert only("M") == operated("a23-stop-that-stays-open").put(START="pressed").on()
    text = CIRCUITS["a23-stop-that-stays-open"].replace("P1 -- STOP -- P2", "P1 -- STOP:1\n  P2")
    case = case_of("a23-stop-that-stays-open", text)
    live = live_with(case, "MAINS:L", loads=True)
    assert "P1:1" in live
    assert "P2:1" not in live


def test_a26_a_closed_switch_proves_nothing_of_the_other() -> None:
    """Multimeters 101: a load behind two switches is on only with both closed."""
    for first, second in itertools.product(("off", "on"), repeat=2):
        expected = only("H1") if (first, second) == ("on", "on") else only()
        assert expected == operated("a26-two-opens").put(S1=first, S2=second).on()
