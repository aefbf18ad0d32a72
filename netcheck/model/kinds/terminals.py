"""Where wires meet: terminals, strips, bars, bonds."""

from __future__ import annotations

from itertools import pairwise

from netcheck.model.devices import Conducts
from netcheck.model.kinds.common import CURRENT, RESISTANCE, own
from netcheck.model.maker import Build, Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.token import Token
from netcheck.reading.values import PhraseMistake

SPREAD = Phrase(
    "terminals",
    "terminals {first:mark} to {last:mark} [and {marks:mark...}]",
    "terminals 1 to 20",
    "numbered terminals",
)
NAMED = Phrase(
    "named*", "terminals {marks:mark...}", "terminals L N PE", "terminals by their marks"
)
BRIDGE = Group(
    "bridge",
    Phrase(
        "bridge", "bridged {marks:marks...}", "bridged 1-2-3", "terminals joined to one another"
    ),
)
BRIDGED_RUN = Group(
    "bridged run",
    Phrase(
        "bridged run",
        "bridged {first:count} to {last:count}",
        "bridged 1 to 9",
        "a run of numbered terminals joined to one another",
    ),
)
SPARE_ONES = Phrase(
    "spare_terminals",
    "spare terminals {marks:mark...}",
    "spare terminals 5 6",
    "those that are kept free",
)
SPARE_RUN = Phrase(
    "spare_run",
    "spare terminals {first:mark} to {last:mark}",
    "spare terminals 9 to 12",
    "a run of those that are kept free",
)
MOST = 2000


def _strip_marks(maker: Maker, said: Said) -> list[str]:
    marks: list[str] = []
    spread = said.properties.get("terminals")
    if spread is not None:
        marks += _counted(maker, said, "terminals")
        more = spread.get("marks")
        marks += list(more) if isinstance(more, tuple) else []
    for key, values in said.properties.items():
        if key.startswith("named"):
            named = values["marks"]
            marks += list(named) if isinstance(named, tuple) else [str(named)]
    return marks


def _counted(maker: Maker, said: Said, key: str) -> list[str]:
    """The marks from the first number to the last."""
    run = said.properties[key]
    first, last = (_whole_number(str(run[end])) for end in ("first", "last"))
    if first is None or last is None or not first <= last <= first + MOST:
        raise PhraseMistake(
            said.tokens[key],
            f"{maker.name}: terminals {run['first']} to {run['last']} cannot be counted",
            f"count upwards from number to number, at most {MOST} terminals",
        )
    return [str(number) for number in range(first, last + 1)]


def _spare_marks(maker: Maker, said: Said, marks: list[str]) -> tuple[str, ...]:
    """The terminals that are said to be spare; PhraseMistake for one the strip has not."""
    listed = said.value("spare_terminals")
    ones = listed if isinstance(listed, tuple) else ()
    spare = list(ones)
    if "spare_run" in said.properties:
        spare += _counted(maker, said, "spare_run")
    for mark in spare:
        if mark not in marks:
            raise PhraseMistake(
                said.tokens["spare_terminals" if mark in ones else "spare_run"],
                f"{maker.name} has no terminal {mark}",
                _has(marks),
            )
    return tuple(spare)


def _has(marks: list[str]) -> str:
    return f"it has {', '.join(marks[:12])}{' and more' if len(marks) > 12 else ''}"


def _whole_number(mark: str) -> int | None:
    return int(mark) if mark.isdecimal() and len(mark) <= 9 else None


def build_strip(maker: Maker, said: Said) -> None:
    marks = _strip_marks(maker, said)
    for mark in marks:
        maker.terminal(mark)
    for group in maker.groups("bridge"):
        chains = group.head["marks"]
        for chain in chains if isinstance(chains, tuple) else (str(chains),):
            _bridge(maker, group, chain.split("-"), marks)
    for group in maker.groups("bridged run"):
        first, last = group.head["first"], group.head["last"]
        assert isinstance(first, int)
        assert isinstance(last, int)
        if not first < last <= first + MOST:
            raise PhraseMistake(
                group.token or Token("NAME", maker.name),
                f"{maker.name}: {first} to {last} is no run of terminals",
                "count upwards: `bridged 1 to 9`",
            )
        _bridge(maker, group, [str(number) for number in range(first, last + 1)], marks)
    maker.values["terminal"] = True
    maker.values["spare_terminals"] = _spare_marks(maker, said, marks)


def _bridge(maker: Maker, group: Said, chain: list[str], marks: list[str]) -> None:
    unknown = [mark for mark in chain if mark not in marks]
    if unknown:
        assert group.token is not None
        raise PhraseMistake(
            group.token,
            f"{maker.name} has no terminal {unknown[0]}",
            _has(marks),
        )
    for a, b in pairwise(chain):
        maker.joins("bridge", maker.terminal(a), maker.terminal(b))


def build_terminal(maker: Maker, said: Said) -> None:
    maker.terminal("1")
    maker.values["terminal"] = True


def _build_bar(grounding: bool) -> Build:
    def build(maker: Maker, said: Said) -> None:
        marks = _strip_marks(maker, said) or ["1"]
        names = [maker.terminal(mark) for mark in marks]
        conducts = Conducts.BOND if grounding else Conducts.JOINS
        for a, b in pairwise(names):
            maker.part("bar", a, b, conducts)
        maker.values["terminal"] = True
        maker.values["bar"] = True
        if grounding:
            maker.values["grounding"] = True

    return build


PLASTIC = frozenset(("polycarbonate", "fibreglass"))
MADE_OF = Phrase(
    "made_of",
    "{material:steel|stainless-steel|aluminium|polycarbonate|fibreglass}",
    "steel",
    "what it is made of",
)
ENCLOSURE_TYPE = Phrase(
    "enclosure_type", "type {type:mark}", "type 4X", "what it keeps out, as NEMA 250 counts"
)
SHEDS = Phrase(
    "sheds_w",
    "sheds {heat:power}",
    "sheds 150 W",
    "the heat its walls get rid of while it is inside as hot as the panel's ambient",
)
INGRESS = Phrase("ingress", "ingress {code:name}", "ingress IP66", "as IEC 60529 counts")
JUMPER = Phrase(
    "jumper",
    "{which:main|system|supply-side|equipment} bonding jumper",
    "system bonding jumper",
    "which bond it is",
)


def build_enclosure(maker: Maker, said: Said) -> None:
    """One of plastic has nothing to ground, but a terminal for what comes in."""
    maker.frame()
    maker.values["metal"] = str(said.value("made_of") or "steel") not in PLASTIC


def build_rod(maker: Maker, said: Said) -> None:
    maker.terminal("1")
    maker.values["terminal"] = True
    maker.values["ground_rod"] = True


def build_bond(maker: Maker, said: Said) -> None:
    a, b = maker.ends("1-2")
    maker.part("bond", a, b, Conducts.BOND)


STRIP = own(SPREAD, NAMED, CURRENT)
STRIP_OF_BLOCKS = own(SPREAD, NAMED, SPARE_ONES, SPARE_RUN, CURRENT)
KINDS = (
    Kind("strip", (STRIP_OF_BLOCKS, BRIDGE, BRIDGED_RUN), build_strip,
         "strip X1 terminals 1 to 12, terminals PE, spare terminals 11 12; bridged 1-2-3",
         "Terminal blocks; both sides of a terminal are one point. `bridged` joins terminals."),
    Kind("terminal", (own(CURRENT),), build_terminal, "terminal XT1", "One terminal, 1."),
    Kind("grounding bar", (STRIP,), _build_bar(True), "grounding bar GB1 terminals 1 to 10",
         "All its terminals are one point; joins equipment grounding conductors."),
    Kind("neutral bar", (STRIP,), _build_bar(False), "neutral bar NB1 terminals 1 to 6",
         "All its terminals are one point; a circuit conductor."),
    Kind("bond", (own(JUMPER),), build_bond, "bond BJ1 system bonding jumper",
         "Terminals 1-2: joins a conductor to ground. Not a circuit conductor."),
    Kind("ground rod", (own(RESISTANCE),), build_rod, "ground rod GE1 25 ohm",
         "Terminal 1. It holds the system at ground, and is no path for fault current."),
    Kind("enclosure", (own(MADE_OF, ENCLOSURE_TYPE, INGRESS, SHEDS),), build_enclosure,
         'enclosure EN1 "Main enclosure" steel, type 4X, ingress IP66',
         "Terminal PE."),
    Kind("metal part", (own(),), build_enclosure, 'metal part MP1 "Door", on door',
         "A door, a back plate or a frame that is metal and must be grounded. Terminal PE."),
)  # fmt: skip
