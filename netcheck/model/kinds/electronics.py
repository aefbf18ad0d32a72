"""Electronic devices: sensors, controllers, solid-state relays, drives, soft starters."""

from __future__ import annotations

import math

from netcheck.model.devices import Conducts, Drive, Load
from netcheck.model.kinds.common import (
    BAND,
    CHANNEL,
    COIL,
    CURRENT,
    LEAST,
    LOADED,
    MAKES,
    OFF_BELOW,
    OFF_BELOW_A,
    ON_ABOVE,
    POLE_MARKS,
    POLES,
    POWER,
    RATED_AT,
    RATING,
    SPARE,
    add_coil,
    add_contact,
    add_contacts,
    load_from,
    own,
    pole_marks,
)
from netcheck.model.kinds.poles import phasor
from netcheck.model.kinds.relays import AUXILIARY
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import PhraseMistake
from netcheck.record import replace

LEAKAGE = Phrase(
    "leakage_a", "leaks {leakage:leakage}", "leaks 1.5 mA", "what flows while it is off"
)
ON_DROP = Phrase(
    "drop_v", "drops {drop:volts}", "drops 3 V", "what it keeps for itself while it is on"
)
SENSES = Phrase(
    "senses",
    "{wires:two-wire|three-wire} {kind:PNP|NPN|AC|DC} normally {rest:open|closed}",
    "three-wire PNP normally open",
    "how it switches",
)
POLES_OUT = Phrase(
    "marks",
    "marks {marks:mark...}",
    "marks 1 3 4",
    "its terminals as it marks them, in the usual order",
)


def build_sensor(maker: Maker, said: Said) -> None:
    senses = said.properties.get("senses")
    if senses is None:
        raise PhraseMistake(
            "",
            f"{maker.name} does not say what kind of sensor it is",
            "say `three-wire PNP normally open` or `two-wire DC normally open`",
        )
    mechanism = maker.mechanism("process", Drive.PROCESS)
    closed = {1} if senses["rest"] == "open" else {0}
    given = said.value("marks")
    marks = given if isinstance(given, tuple) else ()
    maker.keep(said, "leakage_a", "drop_v", "least_a")
    if senses["wires"] == "two-wire":
        first, second = _marks(maker, said, marks, ("1", "2"))
        a, b = maker.terminal(first), maker.terminal(second)
        maker.part("output", a, b, Conducts.CONTACT, mechanism=mechanism.name, closed=closed)
        maker.values["electronic"] = True
        return
    plus, minus, out = (
        maker.terminal(mark) for mark in _marks(maker, said, marks, ("+", "0V", "OUT"))
    )
    load = load_from(said, "electronics")
    maker.load("supply input", plus, minus, _polarised(load))
    if senses["kind"] == "PNP":
        _transistor(maker, plus, out, mechanism.name, closed)
    else:
        _transistor(maker, out, minus, mechanism.name, closed)
    maker.values["electronic"] = True


def _marks(
    maker: Maker, said: Said, given: tuple[str, ...], usual: tuple[str, ...]
) -> tuple[str, ...]:
    if given and (len(given) != len(usual) or len(set(given)) != len(given)):
        raise PhraseMistake(
            said.tokens["marks"],
            f"{maker.name} has {len(usual)} terminals, not {len(given)}",
            f"mark one for each of {', '.join(usual)}",
        )
    return given or usual


def _polarised(load: Load) -> Load:
    return replace(
        load,
        kind=load.kind or "DC",
        frequency_hz=None,
        phases=1,
        current_a=load.current_a or 0.02,
        polarised=True,
    )


def _transistor(maker: Maker, a: str, b: str, mechanism: str, closed: set[int]) -> None:
    """A transistor output: a contact that conducts one way only, from `a` to `b`."""
    maker.part("transistor", a, b, Conducts.CONTACT, mechanism=mechanism, closed=closed)
    maker.values["one_way"] = True


INPUTS = Group(
    "inputs",
    Phrase(
        "inputs",
        "inputs {marks:mark...} to|from {common:mark}",
        "inputs I0 I1 to 0V, 24 V DC, 6 mA",
        "inputs and their common",
    ),
    (RATING, CURRENT, SPARE, BAND, ON_ABOVE, OFF_BELOW, OFF_BELOW_A, CHANNEL),
)
TORQUE_OFF = Group(
    "torque off",
    Phrase(
        "torque off",
        "safe torque off {marks:mark...} to|from {common:mark}",
        "safe torque off STO1 STO2 to 0V, 24 V DC, 5 mA",
        "inputs without which it cannot run, and their common",
    ),
    (RATING, CURRENT, CHANNEL),
)
OUTPUTS = Group(
    "outputs",
    Phrase(
        "outputs",
        "{sort:relay|transistor|triac} outputs {marks:mark...} {way:from|to} {common:mark}",
        "transistor outputs Q0 Q1 from +, 0.5 A",
        "outputs and their common",
    ),
    (RATING, CURRENT, RATED_AT, MAKES, LEAST, SPARE, LEAKAGE, ON_DROP),
)


def build_controller(maker: Maker, said: Said) -> None:
    rating = said.rating()
    if rating is not None:
        dc = rating.kind != "AC"
        line = maker.terminal("+" if dc else "L")
        home = maker.terminal("0V" if dc else "N")
        load = load_from(said, "electronics")
        maker.load("supply input", line, home, _polarised(load) if dc else load)
    maker.frame()
    for group in maker.groups("inputs"):
        _add_inputs(maker, group)
    for group in maker.groups("outputs"):
        common = maker.terminal(str(group.head["common"]))
        marks = group.head["marks"]
        for mark in marks if isinstance(marks, tuple) else (str(marks),):
            mechanism = maker.mechanism("output", Drive.OUTPUT, suffix=mark)
            out = maker.terminal(mark)
            a, b = (common, out) if group.head["way"] == "from" else (out, common)
            role = "transistor" if group.head["sort"] == "transistor" else "contact"
            add_contact(maker, role, a, b, mechanism, {1}, group)


def _add_inputs(maker: Maker, group: Said) -> list[int]:
    """Each input a load between its own mark and the common."""
    common = maker.terminal(str(group.head["common"]))
    marks = group.head["marks"]
    load = load_from(group, "input")
    return [
        maker.part("input", maker.terminal(mark), common, Conducts.LOAD, load=load, said=group)
        for mark in (marks if isinstance(marks, tuple) else (str(marks),))
    ]


def build_solid_state(maker: Maker, said: Said) -> None:
    """A control input that is a load, and an output that closes with it."""
    control = maker.group("coil")
    if control is None:
        raise PhraseMistake(
            "",
            f"{maker.name} has no control input",
            "say `control 3-4 24 V DC 10 mA`",
        )
    coil = add_coil(maker, control, "3-4", "input")
    mechanism = maker.mechanism("relay", Drive.COIL, coils=(coil,), start=(0,))
    for marks in pole_marks(maker, said, int(said.number("poles") or 1)):
        a, b = maker.ends(marks)
        maker.part(
            "output", a, b, Conducts.CONTACT, mechanism=mechanism.name, closed={1}, said=said
        )
    maker.keep(said, "leakage_a", "drop_v", "current")
    maker.values["electronic"] = True


CONTROL = Group(
    "coil",
    Phrase(
        "coil",
        "control|run [input] [{marks:marks}]",
        "control 3-4 24 V DC 10 mA",
        "the input that turns it on",
    ),
    COIL.properties,
)


def build_drive(maker: Maker, said: Said) -> None:
    """A load on its line side; on its motor side a source of its own, when it runs."""
    rating = maker.need_rating(said)
    phases = rating.phases or 1
    lines = (
        ["L1", "L2", "L3"]
        if phases == 3
        else (["L1", "L2"] if rating.volts >= 200 and not maker.iec else ["L", "N"])
    )
    names = [maker.terminal(line) for line in lines]
    load = load_from(said, "drive")
    inputs = []
    for a, b in zip(names, names[1:] + names[:1], strict=True):
        inputs.append(maker.load("input", a, b, load))
        if phases == 1:
            break
    maker.frame()
    for group in maker.groups("torque off"):
        inputs += _add_inputs(maker, group)
    outs = ["T1", "T2", "T3"]
    star = rating.volts / math.sqrt(3)
    for out in outs:
        maker.terminal(out)
    running = maker.mechanism("output", Drive.OUTPUT, suffix="run")
    maker.source(
        dict(zip(outs, (phasor(star, 0), phasor(star, -120), phasor(star, 120)), strict=True)),
        basis=f"AC {maker.name}",
        kind="AC",
        inputs=tuple(inputs),
        run=running.name,
        current_a=said.number("output_a"),
        current_limited=True,
        grounding="grounded",
        volts=rating.volts,
    )
    for group in maker.groups("inputs"):
        _add_inputs(maker, group)
    if maker.groups("contact") or maker.groups("change-over"):
        status = maker.mechanism("process", Drive.PROCESS, suffix="status")
        add_contacts(maker, status)
    maker.keep(said, "output_a")
    maker.values["motor_overload"] = True


def build_soft_starter(maker: Maker, said: Said) -> None:
    coil_group = maker.group("coil")
    if coil_group is None:
        raise PhraseMistake(
            "", f"{maker.name} has no run input",
            "say `run input A1-A2 24 V DC 10 mA`",
        )  # fmt: skip
    coil = add_coil(maker, coil_group, "A1-A2", "input")
    mechanism = maker.mechanism("relay", Drive.COIL, coils=(coil,), start=(0,))
    for marks in pole_marks(maker, said, int(said.number("poles") or 3)):
        a, b = maker.ends(marks)
        maker.part(
            "main pole", a, b, Conducts.CONTACT, mechanism=mechanism.name, closed={1}, said=said
        )
    maker.keep(said, "current", "leakage_a")
    add_contacts(maker, mechanism, "auxiliary")
    maker.values["electronic"] = True
    if said.has("overload_a"):
        maker.values["setting_a"] = said.number("overload_a") or 0.0
        maker.values["motor_overload"] = True


SENSOR = (own(SENSES, POLES_OUT, LEAKAGE, ON_DROP, LEAST, *LOADED),)
KINDS = (
    Kind(
        "proximity switch",
        SENSOR,
        build_sensor,
        "proximity switch B1 three-wire PNP normally open, 24 V DC, 20 mA, at roof vent",
        "Three-wire: + 0V OUT; PNP gives + on OUT, NPN gives 0V. Two-wire: 1 2, with what it "
        "`leaks` and `drops`.",
    ),
    Kind(
        "sensor",
        SENSOR,
        build_sensor,
        "sensor B2 two-wire DC normally open, leaks 0.8 mA, drops 5 V",
        "As a proximity switch.",
    ),
    Kind(
        "controller",
        (own(*LOADED), INPUTS, OUTPUTS),
        build_controller,
        "controller PLC1 24 V DC 8 W; inputs I0 I1 I2 to 0V, 24 V DC, 6 mA; "
        "transistor outputs Q0 Q1 from +, 0.5 A",
        "Inputs are loads between their mark and their common; outputs are contacts that nothing "
        "in the text moves: `from +` feeds current out of Q0, `to 0V` takes it in. An intent "
        "names one as `PLC1:Q0 is on`. Say `safety-rated` of one that may be trusted with a stop.",
    ),
    Kind(
        "solid-state relay",
        (
            own(POLES, POLE_MARKS, RATING, CURRENT, RATED_AT, MAKES, LEAST, LEAKAGE, ON_DROP),
            CONTROL,
        ),
        build_solid_state,
        "solid-state relay SSR1 25 A, 240 V AC, leaks 5 mA; control 3-4 24 V DC 10 mA",
        "Output 1-2, control input 3-4, plus first.",
    ),
    Kind(
        "drive",
        (
            own(
                *LOADED,
                Phrase("output_a", "gives {output:current}", "gives 4 A", "its output current"),
            ),
            INPUTS,
            TORQUE_OFF,
            AUXILIARY,
        ),
        build_drive,
        "drive VFD1 240 V AC single-phase 8 A, gives 4 A; inputs DI1 to 0V, 24 V DC, 5 mA",
        "Line side L1 L2 (L1 L2 L3 when three-phase, L N below 200 V); motor side T1 T2 T3, a "
        "source that is on when it runs, with every `safe torque off` input energised. It protects "
        "its motor against overload.",
    ),
    Kind(
        "soft starter",
        (
            own(
                POLES,
                POLE_MARKS,
                CURRENT,
                RATING,
                POWER,
                LEAKAGE,
                Phrase(
                    "overload_a",
                    "overload set {setting:current}",
                    "overload set 8 A",
                    "it is the motor's overload too",
                ),
            ),
            CONTROL,
            AUXILIARY,
        ),
        build_soft_starter,
        "soft starter SF1 3-pole, 25 A, overload set 8 A; run input A1-A2 24 V DC 10 mA",
        "Poles 1-2, 3-4, 5-6 close with the run input.",
    ),
)
