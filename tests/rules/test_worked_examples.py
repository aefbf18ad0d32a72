"""Worked examples of others on conductors, motors, transformers and ground, as panels.

Each is a text in which the published answer passes and the next size or rating beyond it
does not.  The figures are read from the published copy (`recheck_values`); where a source
is marked as off, the test says what holds instead.  Sources are named beside each test; the
topologies are plain branches, so they show the rule and the arithmetic, not a drawing.
"""

import pytest

from tests.rules.told import findings_of, messages_of
from tests.tables.published import examples_of_topic, worked_example

UNDERSIZED = "undersized conductor"
OVERSIZED = "oversized protection"
GROUND = "undersized grounding conductor"
OVERLOAD = "motor without overload"


def recheck(identity: str, key: str) -> float:
    value: float = worked_example(identity)["recheck_values"][key]
    return value


def lamp_at(amperes: float, wire: str, *, terminals: int = 90, ambient: int = 30) -> str:
    """A lamp of some amperes on a wire in a place of its own, behind a large feeder."""
    return f"""panel "Bench light"
terminals {terminals} degC
location roof: outside, {ambient} degC
edge E1 240 V AC 60 Hz, fused 200 A, 5 kA available, ungrounded, from "main panel"
lamp H1 240 V AC {amperes:g} A
wire kind default: {wire}, at roof, 10 m
circuit "Bench light"
  E1:L1 --1-- H1:X1-X2 --2-- E1:L2
"""


def holds(identity: str, key: str, wire: str, **place: int) -> bool:
    """Whether the published amperes pass, and a tenth of an ampere more does not."""
    amperes = recheck(identity, key)
    passes = messages_of(lamp_at(amperes, wire, **place), UNDERSIZED)
    fails = messages_of(lamp_at(amperes + 0.1, wire, **place), UNDERSIZED)
    return not passes and len(fails) == 1


def test_every_example_of_these_topics_is_worked_here() -> None:
    tests = "".join(f"{name}_" for name in globals())
    topics = ("d ", "e ", "h ", "k ")
    wanted = set().union(*(examples_of_topic(topic) for topic in topics))
    assert set() == {identity for identity in wanted if f"_{identity}_" not in tests}


# --- d: conductor sizing ---


def test_d01_ten_gauge_in_a_roof_of_49_degrees() -> None:
    """Stallcup Education blog: 32.8 A; the four conductors it leaves out bring it to 26.24 A."""
    assert holds("d01", "a", "10 AWG copper THHN", ambient=49)
    assert holds("d01", "b", "10 AWG copper THHN, bundled with 4", ambient=49)


def test_d02_four_conductors_in_one_raceway() -> None:
    """EC&M magazine, Code Q&A 112: 10 AWG THHN, 40 A x 0.80 = 32 A."""
    assert holds("d02", "a", "10 AWG copper THHN, bundled with 4")


def test_d05_twelve_gauge_at_55_degrees() -> None:
    """Engineer exam forum, thread 27269: 22.8 A, and not the 25.2 A of the other table's factor."""
    assert holds("d05", "a", "12 AWG copper THHN", ambient=55)
    wrong = lamp_at(recheck("d05", "bad"), "12 AWG copper THHN", ambient=55)
    assert 1 == len(messages_of(wrong, UNDERSIZED))


def test_d08_terminals_cap_the_corrected_value() -> None:
    """Inspector practice question, 4 AWG THHN at 40 degC: 86.45 A, 85 A with 75 degC terminals."""
    assert holds("d08", "a", "4 AWG copper THHN", ambient=40)
    at_85 = lamp_at(85, "4 AWG copper THHN", terminals=75, ambient=40)
    above = lamp_at(85.1, "4 AWG copper THHN", terminals=75, ambient=40)
    assert [] == messages_of(at_85, UNDERSIZED)
    assert 1 == len(messages_of(above, UNDERSIZED))


@pytest.mark.parametrize(
    ("key", "size", "terminals"), [("a", "10 AWG", 60), ("b", "8 AWG", 75), ("c", "3 AWG", 75)]
)
def test_d09_continuous_load_is_80_percent(key: str, size: str, terminals: int) -> None:
    """Design practice hand-out: 24, 40 and 80 A continuous where 30, 50 and 100 A may flow."""
    amperes = recheck("d09", key)
    wire = f"{size} copper THHN"
    text = lamp_at(amperes, wire, terminals=terminals).replace("lamp H1", "lamp H1 continuous,")
    more = lamp_at(amperes + 0.1, wire, terminals=terminals)
    assert [] == messages_of(text, UNDERSIZED)
    assert 1 == len(messages_of(more.replace("lamp H1", "lamp H1 continuous,"), UNDERSIZED))


# --- e: motor circuits ---


def motor_on(
    motor: str,
    device: str,
    size: str,
    *,
    terminals: int = 60,
    overload: str = "set 10 A",
) -> str:
    """A motor behind its own device and overload, three-phase or not."""
    three = "three-phase" in motor
    volts = int(motor.split(" V ")[0].rpartition(" ")[2])
    neutral = volts < 200
    system = f"{volts} V AC 60 Hz{' three-phase' if three else ''}"
    poles = ["L1", "L2", "L3"] if three else (["L", "N"] if neutral else ["L1", "L2"])
    hot = [pole for pole in poles if pole != "N"]
    grounding = "N grounded" if neutral else "ungrounded"
    lines = [
        f'edge E1 {system}, fused 400 A, 5 kA available, {grounding}, from "main panel"',
        device.format(len(hot)),
        f"overload OL1 {len(hot)}-pole, {overload}; trip contact normally closed 95-96",
        f"motor M1 {motor}, thermally protected" if overload == "none" else f"motor M1 {motor}",
        f"wire kind default: {size} copper THHN, 2 m",
        'edge E2 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"',
        f"contactor K1 coil 24 V DC 3 W; {len(hot)} main poles 600 V AC 200 A",
    ]
    chains = []
    for index, pole in enumerate(hot):
        way = f"{2 * index + 1}-{2 * index + 2}"
        chains.append(
            f"  E1:{pole} -- (500 kcmil) D1:{way} -- K1:{way} -- OL1:{way} -- M1:T{index + 1}"
        )
    if neutral:
        chains.append("  M1:T2 -- E1:N")
    chains.append("  E2:+ -- OL1:95-96 -- K1:A1-A2 -- E2:0V")
    body = "\n".join([*lines, 'circuit "Motor"', *chains])
    return f'panel "Motor"\nterminals {terminals} degC\nambient 30 degC\n{body}\n'


BREAKER = "breaker D1 {{}}-pole, {} A, 65 kA interrupting"
FUSE = "fuse D1 {{}}-pole, {} A, time-delay, 65 kA interrupting"


def breaker(amperes: float) -> str:
    return BREAKER.format(f"{amperes:g}")


def wire_and_device(
    motor: str, right: tuple[str, str], wrong: tuple[str, str], terminals: int
) -> None:
    """The right wire and device pass; each wrong one alone draws one finding of its rule."""
    size, device = right
    text = motor_on(motor, device, size, terminals=terminals)
    assert [] == messages_of(text, UNDERSIZED)
    assert [] == messages_of(text, OVERSIZED)
    thin = motor_on(motor, device, wrong[0], terminals=terminals)
    assert 1 == len(messages_of(thin, UNDERSIZED))
    large = motor_on(motor, wrong[1], size, terminals=terminals)
    assert 1 == len(messages_of(large, OVERSIZED))


def test_e01_table_current_of_a_3_hp_motor_at_115_v() -> None:
    """EC&M, Motor Calculations Part 2: 42.5 A ask for 6 AWG at 60 degC; dual-element fuse 60 A."""
    motor = "3 hp 115 V AC single-phase, 31 A full load, service factor 1.15"
    fuse = FUSE.format(recheck("e01", "f"))
    wire_and_device(motor, ("6 AWG", fuse), ("8 AWG", FUSE.format(70)), terminals=60)
    (found,) = messages_of(motor_on(motor, fuse, "8 AWG"), UNDERSIZED)
    assert f"{recheck('e01', 'c'):g} A" in found


def test_e03_seven_and_a_half_hp_three_phase() -> None:
    """Mike Holt forum, thread 15136: 27.5 A, 10 AWG at 60 degC, breaker 60 A."""
    motor = "7 1/2 hp 230 V AC three-phase, 20 A full load, service factor 1.15"
    right = ("10 AWG", breaker(recheck("e03", "b")))
    wire_and_device(motor, right, ("12 AWG", breaker(70)), terminals=60)


def test_e06_one_hp_at_115_v_on_75_degree_terminals() -> None:
    """DIY forum how-to: 20 A, 14 AWG at 75 degC; 250 % is 40 A, past the small-conductor limit."""
    motor = "1 hp 115 V AC single-phase, 14 A full load, service factor 1.15"
    device = breaker(recheck("e06", "b"))
    assert [] == messages_of(motor_on(motor, device, "14 AWG", terminals=75), UNDERSIZED)
    assert [] == messages_of(motor_on(motor, device, "14 AWG", terminals=75), OVERSIZED)
    assert 1 == len(messages_of(motor_on(motor, device, "14 AWG", terminals=60), UNDERSIZED))
    assert 1 == len(messages_of(motor_on(motor, breaker(45), "14 AWG", terminals=75), OVERSIZED))


def test_e07_a_hundred_hp_at_480_v() -> None:
    """Trade newswire, Motor Load Calculations Part 4: 124 A, conductor 155 A."""
    motor = "100 hp 480 V AC three-phase, 115 A full load, service factor 1.15"
    right = motor_on(motor, breaker(300), "2/0 AWG", terminals=75)
    (thin,) = messages_of(motor_on(motor, breaker(300), "1/0 AWG", terminals=75), UNDERSIZED)
    assert [] == messages_of(right, UNDERSIZED)
    assert f"{recheck('e07', 'c'):g} A" in thin


def test_e09_overload_of_a_5_hp_motor_by_its_nameplate() -> None:
    """Trade article series, numbers from memory: 28 A, service factor 1.16, at most 35 A."""
    motor = "5 hp 230 V AC single-phase, 28 A full load, service factor 1.16"
    most = recheck("e09", "o")
    right = motor_on(motor, breaker(70), "8 AWG", overload=f"set {most:g} A")
    wrong = motor_on(motor, breaker(70), "8 AWG", overload=f"set {most + 0.5:g} A")
    assert [] == messages_of(right, OVERLOAD)
    assert ["`OL1` is set to 35.5 A, and `M1` allows 35 A"] == messages_of(wrong, OVERLOAD)


def test_e10_three_hp_at_230_v() -> None:
    """Philippine Electrical Code hand-out: 17 A, conductor 21.25 A, breaker 45 A."""
    motor = "3 hp 230 V AC single-phase, 15 A full load, service factor 1.15"
    right = ("10 AWG", breaker(recheck("e10", "b")))
    wire_and_device(motor, right, ("12 AWG", breaker(50)), terminals=60)


# --- h: transformers ---


def transformer(
    what: str, primary_fuse_a: float, secondary: str, poles: int = 2, after: str = ""
) -> str:
    """A transformer behind one device, with a heater or what `after` says on its secondary."""
    phases = " three-phase" if poles == 3 else ""
    volts = what.split(" V ")[0]
    hot = [f"  E1:L{n + 1} -- (500 kcmil) F1:{2 * n + 1}-{2 * n + 2} -- (500 kcmil) T1:H{n + 1}"
           for n in range(poles)]  # fmt: skip
    lines = [
        f'edge E1 {volts} V AC 60 Hz{phases}, fused 400 A, 5 kA available, ungrounded, from "main"',
        f"fuse F1 {poles}-pole, {primary_fuse_a:g} A, 65 kA interrupting",
        f"transformer T1 {what}",
        "wire kind default: 500 kcmil copper THHN, 1 m",
        after,
        'circuit "Transformer"',
        *hot,
        secondary,
    ]
    return 'panel "Transformer"\nterminals 75 degC\n' + "\n".join(lines) + "\n"


ALONE = "  T1:X1 -- HTR1:1-2 -- T1:X2"
PLAIN_HEATER = "heater HTR1 {} V AC 10 W"


def largest(identity: str, passes_a: float, fails_a: float, *text: str) -> None:
    """The published device passes, the next one does not."""
    what, secondary, after = text
    right = transformer(what, passes_a, secondary, after=after)
    wrong = transformer(what, fails_a, secondary, after=after)
    assert [] == messages_of(right, OVERSIZED), identity
    (found,) = messages_of(wrong, OVERSIZED)
    assert "is too large for `T1`" in found


def test_h01_primary_only_rounds_up_from_9_a() -> None:
    """Trade textbook chapter, fig. 14-24: 25 kVA at 480 V, 52 A, 65.1 A, next standard 70 A."""
    secondary = "  T1:X1 -- CB2 -- HTR1:1-2 -- T1:X2"
    after = "breaker CB2 200 A, 65 kA interrupting\nheater HTR1 120 V AC 10 W"
    what = "480 V AC to 120/240 V AC, 25 kVA, X2 grounded"
    largest("h01", recheck("h01", "o"), 80, what, secondary, after)


def test_h02_between_2_and_9_a_rounds_down() -> None:
    """Same chapter, 480 V inferred: 3 kVA, 6.25 A, 167 % is 10.4 A, so 10 A."""
    what = "480 V AC to 120 V AC, 3 kVA, X2 grounded"
    largest("h02", recheck("h02", "o"), 15, what, ALONE, PLAIN_HEATER.format(120))


def test_h04_both_sides_protected() -> None:
    """Note with table 450.3(B), 75 kVA 480 to 208Y/120: primary 225 A, secondary 300 A."""
    what = "480 V AC three-phase to 208Y/120 V AC, 75 kVA, X0 grounded"
    chains = "\n".join(f"  T1:X{n} -- CB2:{2 * n - 1}-{2 * n} -- HTR1:{n}" for n in (1, 2, 3))
    heater = "heater HTR1 208 V AC three-phase 3 kW"
    both = f"breaker CB2 3-pole, {recheck('h04', 'so'):g} A, 65 kA interrupting\n{heater}"
    primary_a = recheck("h04", "po")
    assert [] == messages_of(transformer(what, primary_a, chains, 3, both), OVERSIZED)
    assert 1 == len(messages_of(transformer(what, 250, chains, 3, both), OVERSIZED))
    alone = f"breaker CB2 3-pole, 350 A, 65 kA interrupting\n{heater}"
    assert 1 == len(messages_of(transformer(what, primary_a, chains, 3, alone), OVERSIZED))


def test_h05_a_100_va_transformer_fused_on_both_sides() -> None:
    """Controls forum, thread 106281, marked as off: its first reply takes the secondary for more
    than 9 A.  250 % is 0.52 A, 300 % for the primary alone 0.625 A; the 500 % of 430.72(C)(4),
    1.04 A, are for control loads."""
    what = "480 V AC to 120 V AC, 100 VA, X2 grounded"
    fused = "  T1:X1 -- F2 -- HTR1:1-2 -- T1:X2"
    after = "fuse F2 1 A, 65 kA interrupting\n" + PLAIN_HEATER.format(120)
    assert 0.52 < recheck("h05", "p250") < 0.625
    largest("h05", 0.6, 0.7, what, fused, after)
    lamp = "fuse F2 1 A, 65 kA interrupting\nlamp HTR1 120 V AC 10 W, poles 1-2"
    largest("h05", 1.0, 1.1, what, fused, lamp)
    assert 1.0 < recheck("h05", "p500") < 1.1


@pytest.mark.parametrize(
    ("va", "key", "passes_a", "fails_a"), [(250, "m250", 3.4, 3.5), (500, "m500", 6.9, 7)]
)
def test_h07_control_transformers_of_120_v(
    va: int, key: str, passes_a: float, fails_a: float
) -> None:
    """Mike Holt technical, question 1: 167 % of 2.08 A and of 4.17 A, primary only."""
    assert passes_a <= recheck("h07", key) < fails_a
    what = f"120 V AC to 24 V AC, {va} VA, X2 grounded"
    text = transformer(what, passes_a, ALONE, poles=2, after=PLAIN_HEATER.format(24))
    text = text.replace("120 V AC 60 Hz, fused 400 A", "120 V AC 60 Hz, poles L1 L2, fused 400 A")
    assert [] == messages_of(text, OVERSIZED)
    assert 1 == len(messages_of(text.replace(f"{passes_a} A", f"{fails_a} A"), OVERSIZED))


def test_h08_secondary_of_26_a_may_have_35_a() -> None:
    """Mike Holt forum, post 1663388: 3 kVA 460 to 115 V, 32.6 A, next standard 35 A.  With it the
    primary may have 250 %, 16.3 A; with 40 A it is left to 167 %, 10.9 A."""
    what = "460 V AC to 115 V AC, 3 kVA, X2 grounded"
    chain = "  T1:X1 -- CB2 -- HTR1:1-2 -- T1:X2"
    heater = "\nheater HTR1 115 V AC 10 W"
    right = f"breaker CB2 {recheck('h08', 'o'):g} A, 65 kA interrupting{heater}"
    wrong = f"breaker CB2 40 A, 65 kA interrupting{heater}"
    assert [] == messages_of(transformer(what, 15, chain, after=right), OVERSIZED)
    assert 1 == len(messages_of(transformer(what, 15, chain, after=wrong), OVERSIZED))


# --- k: equipment grounding conductors ---


def grounded(amperes: int, line: str, ground: str, load_a: float) -> str:
    """A receptacle behind a fused edge, its line larger than needed."""
    return f"""panel "Ground"
ambient 30 degC
edge E1 120 V AC 60 Hz, fused {amperes} A, 5 kA available, N grounded, from "main panel"
receptacle XS1 120 V AC {load_a:g} A
wire kind default: {line} copper THHN, 60 m
circuit "Ground"
  E1:L -- XS1:L
  XS1:N -- E1:N
  E1:PE -- ({ground}) XS1:PE
"""


@pytest.mark.parametrize(
    ("identity", "amperes", "line", "right", "wrong"),
    [
        ("k02", 20, "6 AWG", "6 AWG", "8 AWG"),
        ("k05", 40, "6 AWG", "8 AWG", "10 AWG"),
        ("k06", 30, "6 AWG", "6 AWG", "8 AWG"),
    ],
)
def test_k02_k05_k06_ground_grows_with_the_line(
    identity: str, amperes: int, line: str, right: str, wrong: str
) -> None:
    """Electrical Contractor magazine, CQD items of April 12, 2013 and Dec. 14, 2021; a trade
    seminar's 40 A circuit from memory (NEC 250.122(B))."""
    assert recheck(identity, "size") == int(right.split()[0])
    assert [] == messages_of(grounded(amperes, line, right, amperes * 0.75), GROUND)
    (found,) = findings_of(grounded(amperes, line, wrong, amperes * 0.75), GROUND)
    assert f"needs {right}" in found.message


test_k02_ = test_k05_ = test_k06_ = test_k02_k05_k06_ground_grows_with_the_line


def test_k04_a_125_a_circuit_needs_more_than_its_source_says() -> None:
    """Electrical contractor forum, topic 174261, marked as off: it rounds down to 6 AWG, which
    strict arithmetic refuses."""
    text = grounded(125, "1/0 AWG", "6 AWG", 100)
    assert 1 == len(messages_of(text, GROUND))
