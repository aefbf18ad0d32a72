"""Ways of feeding a conductor past every device, and the lawful ones that draw no finding."""

import pytest

from tests.rules.told import findings_of, messages_of, unchecked_of

BARE = "unprotected branch"
LARGE = "oversized protection"
IN_GROUND = "protection in the grounded conductor"
INTERRUPTING = "interrupting rating too small"
OVERLOAD = "motor without overload"


def bench(source: str, chain: str, *devices: str, wire: str = "14 AWG copper MTW 90 degC") -> str:
    return "\n".join(
        [
            'panel "Bench"',
            source,
            *devices,
            f"wire kind default: {wire}, 1 m",
            'circuit "Bench"',
            *(f"  {line}" for line in chain.split("; ")),
            "",
        ]
    )


SERVICE = "source E1 120 V AC 60 Hz, 5 kA available, N grounded"
LAMP = "lamp H1 120 V AC 1 A"


def test_a_service_lead_that_ends_in_a_breaker_is_lawful() -> None:
    text = bench(SERVICE, "E1:L -- CB1 -- H1 -- E1:N", "breaker CB1 15 A, 10 kA interrupting", LAMP)
    assert [] == messages_of(text, BARE)
    assert [] == messages_of(text, LARGE)


def test_a_service_lead_must_fit_the_one_breaker_at_its_end() -> None:
    """NEC 230.90(A)."""
    text = bench(
        SERVICE, "E1:L -- CB1 -- (8 AWG) H1 -- E1:N", "breaker CB1 40 A, 10 kA interrupting", LAMP
    )
    (found,) = messages_of(text, LARGE)
    assert "the device at its end, 40 A, is too large for `wire E1:L to CB1:1`" in found


def test_two_branches_without_a_device_are_two_causes() -> None:
    chain = "E1:L -- XL1:1; XL1:2 -- CB1 -- H1 -- E1:N; XL1:3 -- H2 -- E1:N; XL1:4 -- H3 -- E1:N"
    text = bench(
        SERVICE, chain, "strip XL1 terminals 1 to 4; bridged 1-2-3-4",
        "breaker CB1 15 A, 10 kA interrupting", LAMP,
        "lamp H2 120 V AC 1 A", "lamp H3 120 V AC 1 A",
    )  # fmt: skip
    assert 2 == len(messages_of(text, BARE))


def test_a_supply_protects_wire_that_carries_its_limit() -> None:
    supply = (
        "supply PS1 120 V AC to 24 V DC, 10 A, draws 2 A, limits at {} A, isolated, 0V grounded"
    )
    edge = "edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded"
    chain = "E1:L -- PS1:L-N -- E1:N; PS1:+ -- (18 AWG copper) H1 -- PS1:0V"
    within = bench(edge, chain, supply.format(7), "lamp H1 24 V DC 1 A")
    above = bench(edge, chain, supply.format(8), "lamp H1 24 V DC 1 A")
    assert [] == messages_of(within, BARE)
    (found,) = messages_of(above, BARE)
    assert "`PS1` gives up to 8 A, and it may carry 7 A" in found


def test_a_change_over_that_cannot_overlap_feeds_nothing_back() -> None:
    """Through both contactors the 60 A edge would feed the thin leads of the other."""
    text = """panel "Two feeds"
edge E1 240 V AC 60 Hz, fused 15 A, 5 kA available, ungrounded
edge E2 240 V AC 60 Hz, fused 60 A, 5 kA available, ungrounded
edge E3 24 V DC, fused 3 A, 100 A available, 0V grounded
contactor K1 coil 24 V DC 3 W; 2 main poles
contactor K2 coil 24 V DC 3 W; 2 main poles
switch S1 normally open 1-2
switch S2 normally open 1-2
heater HTR1 2 kW 240 V AC
{interlock}
wire kind default: 4 AWG copper MTW 90 degC, 1 m
circuit "Two feeds"
  E1:L1 --1-- (14 AWG) K1:1-2 --3-- HTR1:1-2 --4-- K1:4-3 --2-- (14 AWG) E1:L2
  E2:L1 --5-- K2:1-2 --3-- HTR1:1
  E2:L2 --6-- K2:3-4 --4-- HTR1:2
  E3:+ -- S1 -- K1:A1-A2 -- E3:0V
  E3:+ -- S2 -- K2:A1-A2 -- E3:0V
"""
    apart = text.format(interlock="mechanical interlock K1 and K2")
    assert [] == messages_of(apart, LARGE)
    (found,) = messages_of(text.format(interlock=""), LARGE)
    assert "`E2` of 60 A is too large for `wire 1` and 1 more wire: no more than 15 A" == found


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        (
            "edge E1 120 V AC 60 Hz, 5 kA available, N grounded",
            "E1 does not say what protects its conductors",
        ),
        (
            "edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available",
            None,
        ),
        (
            "source E1 120 V AC 60 Hz, 5 kA available",
            "E1 does not say how it is grounded: which conductors need protection?",
        ),
    ],
)
def test_what_a_source_does_not_say_is_not_checked(source: str, reason: str | None) -> None:
    text = bench(source, "E1:L -- H1 -- E1:N", LAMP)
    assert ([] if reason is None else [reason]) == unchecked_of(text, BARE)


def test_a_breaker_without_a_rating_is_not_checked() -> None:
    text = bench(SERVICE, "E1:L -- CB1 -- H1 -- E1:N", "breaker CB1 10 kA interrupting", LAMP)
    assert "CB1 does not say what current it is rated for" in unchecked_of(text, BARE)


def test_the_next_standard_rating_up_is_lawful_and_the_one_after_is_not() -> None:
    """NEC 240.4(B): 4 AWG at 75 degC terminals carries 85 A, so 90 A and not 100 A."""
    edge = "edge E1 240 V AC 60 Hz, fused {} A, 5 kA available, ungrounded"
    wire = "4 AWG copper THHN, ambient 30 degC"
    chain = "E1:L1 -- H1 -- E1:L2"
    lamp = "lamp H1 240 V AC 60 A"
    right = bench(edge.format(90), chain, "terminals 75 degC", lamp, wire=wire)
    wrong = bench(edge.format(100), chain, "terminals 75 degC", lamp, wire=wire)
    assert [] == messages_of(right, LARGE)
    (found,) = messages_of(wrong, LARGE)
    assert "no more than 90 A" in found


def test_one_finding_names_the_device_and_all_its_thin_wires() -> None:
    edge = "edge E1 120 V AC 60 Hz, fused 30 A, 5 kA available, N grounded"
    text = bench(edge, "E1:L --1-- S1 --2-- S2 --3-- H1 --N-- E1:N",
                 "switch S1 normally open 1-2", "switch S2 normally open 1-2", LAMP)  # fmt: skip
    (found,) = findings_of(text, LARGE)
    assert ("1", "2", "3") == found.wires
    assert ("E1",) == found.devices
    assert ["E1:L", "S1:1"] == [step.at for step in found.path][:2]


def test_a_breaker_that_opens_all_poles_may_stand_in_the_grounded_conductor() -> None:
    edge = "edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded"
    linked = bench(edge, "E1:L -- CB1:1-2 -- H1 -- CB1:4-3 -- E1:N",
                   "breaker CB1 2-pole, 15 A, 10 kA interrupting", LAMP)  # fmt: skip
    fuses = bench(edge, "E1:L -- FU1:1-2 -- H1 -- FU1:4-3 -- E1:N",
                  "fuse FU1 2-pole, 15 A, 10 kA interrupting", LAMP)  # fmt: skip
    bypassed = bench(edge, "E1:L -- CB1:1-2 -- H1 -- CB1:4-3 -- E1:N; E1:L -- H1:X1",
                     "breaker CB1 2-pole, 15 A, 10 kA interrupting", LAMP)  # fmt: skip
    assert [] == messages_of(linked, IN_GROUND)
    assert 1 == len(messages_of(fuses, IN_GROUND))
    assert 1 == len(messages_of(bypassed, IN_GROUND))


def test_devices_in_both_poles_of_an_undeclared_source_are_not_checked() -> None:
    edge = "edge E1 24 V DC, fused 5 A, 100 A available"
    text = bench(edge, "E1:+ -- FU1 -- H1 -- FU2 -- E1:0V", "fuse FU1 5 A, 10 kA interrupting",
                 "fuse FU2 5 A, 10 kA interrupting", "lamp H1 24 V DC 1 A")  # fmt: skip
    (reason,) = unchecked_of(text, IN_GROUND)
    assert reason.startswith("E1 does not say how it is grounded")


@pytest.mark.parametrize(
    ("available", "rating", "expected"),
    [
        ("5 kA available", "10 kA interrupting", ([], [])),
        ("", "10 kA interrupting", ([], ["E1 does not say what short-circuit current"])),
        ("5 kA available", "", ([], ["CB1 does not say what it can interrupt"])),
        ("5 kA available", "1 kA interrupting", (["`CB1` can interrupt 1 kA"], [])),
        ("5 kA available", "4.9 kA interrupting", ([], [])),
        ("5 kA available", "3 kA interrupting", ([], ["CB1 can interrupt 3 kA; 2.66 kA to 4.67"])),
    ],
)
def test_interrupting_ratings_against_what_is_available(
    available: str, rating: str, expected: tuple[list[str], list[str]]
) -> None:
    """At least 2.7 kA reach CB1 through 1 m of 14 AWG out and back, at most 5 kA without the
    wire, and 4.7 kA through the way out alone: 24 and 8.7 milliohm at right angles."""
    source = ", ".join(filter(None, ("edge E1 120 V AC 60 Hz, fused 15 A, N grounded", available)))
    device = ", ".join(filter(None, ("breaker CB1 15 A", rating)))
    text = bench(source, "E1:L -- CB1 -- H1 -- E1:N", device, LAMP)
    findings, unchecked = expected
    reasons = unchecked_of(text, INTERRUPTING)
    found = messages_of(text, INTERRUPTING) if not reasons else []
    assert [True] * len(findings) == [m.startswith(w) for m, w in zip(found, findings, strict=True)]
    assert [True] * len(unchecked) == [
        m.startswith(w) for m, w in zip(reasons, unchecked, strict=True)
    ]


def test_behind_a_supply_a_fuse_need_only_interrupt_its_limit() -> None:
    edge = "edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded"
    supply = "supply PS1 120 V AC to 24 V DC, 5 A, draws 2 A, limits at 6 A, isolated, 0V grounded"
    text = bench(edge, "E1:L -- PS1:L-N -- E1:N; PS1:+ -- FU1 -- H1 -- PS1:0V", supply,
                 "fuse FU1 2 A, 35 A interrupting", "lamp H1 24 V DC 1 A")  # fmt: skip
    assert [] == messages_of(text, INTERRUPTING)


MOTOR = """panel "Pump"
edge E1 {system}, fused 15 A, 5 kA available, {grounding}
{overload}
motor M1 {motor}
wire kind default: 14 AWG copper MTW 90 degC, 1 m
circuit "Pump"
{chains}
"""


def test_a_single_phase_motor_needs_its_overload_in_the_ungrounded_line() -> None:
    """NEC table 430.37."""

    def pump(chains: str) -> list[str]:
        text = MOTOR.format(
            system="120 V AC 60 Hz",
            grounding="N grounded",
            overload="breaker QM1 1-pole, 8 A, motor protector, set 5 A, 10 kA interrupting",
            motor="1/4 hp 115 V AC single-phase, 5 A full load",
            chains=chains,
        )
        return messages_of(text, OVERLOAD)

    assert [] == pump("  E1:L -- QM1 -- M1:T1-T2 -- E1:N")
    assert ["`M1` has no overload"] == pump("  E1:L -- M1:T1-T2 -- QM1 -- E1:N")


def test_a_three_phase_motor_needs_an_overload_in_each_line() -> None:
    """NEC table 430.37."""
    text = MOTOR.format(
        system="208 V AC 60 Hz three-phase",
        grounding="ungrounded",
        overload="breaker QM1 2-pole, 8 A, motor protector, set 2 A, 10 kA interrupting",
        motor="1/2 hp 208 V AC three-phase, 2 A full load",
        chains="  E1:L1 -- QM1:1-2 -- M1:T1\n  E1:L2 -- QM1:3-4 -- M1:T2\n  E1:L3 -- M1:T3",
    )
    assert ["`M1` has no overload in the line to `M1:T3`"] == messages_of(text, OVERLOAD)


@pytest.mark.parametrize(
    ("overload", "motor", "reason"),
    [
        ("1-pole, 8 A, motor protector", ", 5 A full load", "QM1 does not say what it is set to"),
        ("1-pole, 8 A, motor protector, set 5 A", "", "M1 does not say what its nameplate says"),
    ],
)
def test_settings_that_cannot_be_compared_are_not_checked(
    overload: str, motor: str, reason: str
) -> None:
    text = MOTOR.format(
        system="120 V AC 60 Hz",
        grounding="N grounded",
        overload=f"breaker QM1 {overload}, 10 kA interrupting",
        motor=f"1/4 hp 115 V AC single-phase{motor}",
        chains="  E1:L -- QM1 -- M1:T1-T2 -- E1:N",
    )
    (told,) = unchecked_of(text, OVERLOAD)
    assert told.startswith(reason)
