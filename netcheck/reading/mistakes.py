"""Bad input to one clear sentence: what was met, what would fit, a near name.

No name of the grammar's own terminals ever reaches a user.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from netcheck.finding import Mistake, Place
from netcheck.reading.characters import hidden_in, odd_in
from netcheck.reading.near import nearest
from netcheck.reading.parser import Refused
from netcheck.reading.statements import Origin
from netcheck.reading.token import Token
from netcheck.reading.unit_mistakes import explain_missing_blank
from netcheck.reading.words import kind_words, spoken, statement_words
from netcheck.record import record
from netcheck.text import Span

SAID = {
    "NAME": "a name (`K1`)",
    "TERMINAL": "a terminal (`K1:A1`)",
    "PASS": "a way through a device (`K1:A1-A2`)",
    "WIRE": "a wire (`--201--`)",
    "STRING": 'words in double quotes (`"North pump"`)',
    "NUMBER": "a number",
    "MARK": "a terminal mark (`L+`)",
    "MARKS": "terminal marks (`13-14`)",
    "QUANTITY": "a quantity with its unit (`15 A`)",
    "WORD": "a word in small letters",
    "COUNTED": "a count (`2-pole`)",
    "DATE": "a date (`2027-01-31`)",
    "COLON": "`:`",
    "COMMA": "`,`",
    "SEMICOLON": "`;`",
    "LPAR": "`(`",
    "RPAR": "`)`",
    "$END": "the end of the line",
    "SETTING_NAME": "a setting (`<POWER>`)",
    "SIGN": "`+` or `-`",
    "XR": "`X/R`",
}
"""What the grammar's terminals are called where a message lists what would fit."""

ITEM = frozenset("NAME MARK MARKS COUNTED NUMBER QUANTITY STRING SIGN XR WORD SETTING_NAME".split())
"""What may stand in a list of properties."""

OTHER_WORDS = {
    "timer": "on-delay timer", "pushbutton": "button", "push-button": "button", "push": "button",
    "light": "lamp",
    "pilot": "lamp", "indicator": "lamp", "beacon": "lamp", "gfci": "breaker",
    "plc": "controller", "vfd": "drive", "inverter": "drive", "psu": "supply", "power": "supply",
    "thermostat": "temperature switch", "starter": "contactor", "estop": "emergency stop",
    "e-stop": "emergency stop", "ground": "grounding bar", "earth": "grounding bar",
    "buzzer": "horn", "siren": "horn", "socket": "receptacle", "outlet": "receptacle",
    "isolator": "disconnect", "mcb": "breaker", "mccb": "breaker", "varistor": "suppressor",
    "ssr": "solid-state relay", "service": "source", "feeder": "source", "generator": "source",
    "pump": "motor", "rcd": "breaker", "spd": "surge protector", "surge": "surge protector",
    "pedal": "foot switch", "gate": "guard switch", "clock": "time switch", "door": "metal part",
    "cabinet": "enclosure", "rod": "ground rod", "curtain": "light curtain",
    "safety": "safety relay", "jumper": "bond", "title": "panel", "photocell": "sensor",
    "coil": "relay",
    "level": "float switch", "level switch": "float switch", "door switch": "guard switch",
    "gate switch": "guard switch", "light switch": "switch", "interlock": "mechanical interlock",
    "temperature": "temperature switch", "meter": "ammeter", "main switch": "disconnect",
    "disconnect switch": "disconnect", "terminal block": "strip",
}  # fmt: skip
"""Other words of the trade that a statement might begin with, and ours."""

JOINING = ("when", "while", "if", "once")
"""Words that people write for `whenever`."""
SAID_OTHERWISE = {
    "never": "`M1 is not on whenever S1 is pressed`",
    "always": "`M1 is on whenever S1 is pressed`",
    "sometimes": "`sometimes M1 is on and S1 is pressed`",
    "can": "`sometimes M1 is on and S1 is pressed`",
    "whenever": "`M1 is off whenever S1 is pressed and S2 is pressed`",
    "only": "`M1 is on only while S1 is pressed and S2 is pressed`",
}
"""By the word that made a sentence what it is: how that sentence is said under a condition."""
NO_TIMES = (
    "an intent or assumption says what holds, not how soon",
    "leave the time out: what is said must hold once everything has settled; "
    "of two timers you may `assume KT1 runs out before KT2`",
)
TIMING = ("after", "within", "before", "for", "until", "later", "seconds", "second", "minutes")


def too_long(origin: Origin, length: int, limit: int) -> Mistake:
    return Mistake(
        f"this statement has {length:,} characters; {limit:,} is the most one may have",
        Place(Span(origin.path, origin.first_line, 1, 2), "starts here"),
        "break it into several statements",
    )


def too_deep(origin: Origin, token: Token, limit: int) -> Mistake:
    return Mistake(
        f"this condition has brackets or `not` more than {limit} deep",
        Place(origin.span(token)),
        "say it in several sentences",
    )


def hidden_character(origin: Origin, line: str) -> Mistake:
    """For a line that holds one."""
    found = hidden_in(line)
    assert found is not None
    at, message = found
    span = Span(origin.path, origin.first_line, at + 1, at + 2)
    return Mistake(message, Place(span), "take it out; the line was not read")


def odd_character(origin: Origin, text: str) -> Mistake | None:
    found = odd_in(text)
    if found is None:
        return None
    at, character, message, help = found
    before = text[:at].split("\n")
    column = len(before[-1]) + 1
    line = origin.first_line + len(before) - 1
    return Mistake(message, Place(Span(origin.path, line, column, column + len(character))), help)


# ---- where the parser stopped ------------------------------------------------------------


@record
class Spot:
    """Where a statement stopped making sense: line and column within it, from 1.

    `met` is the word there, empty at the statement's end; `expected` are the
    grammar's terminals that would have fitted.
    """

    text: str
    line: int
    column: int
    met: str
    expected: frozenset[str]

    @property
    def row(self) -> str:
        return self.text.split("\n")[self.line - 1]

    @property
    def before(self) -> str:
        rows = self.text.split("\n")[: self.line]
        rows[-1] = rows[-1][: self.column - 1]
        return "\n".join(rows)

    @property
    def whole(self) -> str:
        """The word around the spot, from blank to blank."""
        rest = self.row[self._start :].split(maxsplit=1)
        return rest[0] if rest else ""

    @property
    def at_whole(self) -> tuple[int, int, int]:
        return self.line, self._start + 1, len(self.whole.rstrip(",;"))

    @property
    def _start(self) -> int:
        return max(self.row.rfind(blank, 0, self.column - 1) for blank in " \t") + 1

    @property
    def before_whole(self) -> str:
        rows = self.text.split("\n")[: self.line - 1]
        return "\n".join([*rows, self.row[: self._start]])

    @property
    def first(self) -> str:
        return self.text.split(maxsplit=1)[0]


@record
class Told:
    message: str
    help: str
    label: str = ""
    at: tuple[int, int, int] | None = None
    """Line, column and length of the word meant, where it is not the one met."""


def explain(error: Refused, text: str, origin: Origin) -> Mistake:
    """The mistake behind a parser's refusal of one statement's `text`."""
    spot = _spot(error, text)
    told = next(filter(None, (look(spot) for look in LOOKS)), None) or _does_not_fit(spot)
    line, column, length = told.at or (spot.line, spot.column, max(len(spot.met), 1))
    span = Span(origin.path, origin.first_line + line - 1, column, column + length)
    return Mistake(told.message, Place(span, told.label), told.help)


def _spot(error: Refused, text: str) -> Spot:
    if error.token is not None:
        token = error.token
        return Spot(text, token.line, token.column, token.value, error.expected)
    if error.line:
        rest = text.split("\n")[error.line - 1][error.column - 1 :]
        word = re.match(r"[^\s,;]+", rest)
        met = (word.group() if word else rest[:1])[:60]
        return Spot(text, error.line, error.column, met, error.expected)
    rows = text.rstrip().split("\n")
    return Spot(text, len(rows), len(rows[-1]) + 1, "", error.expected)


def _does_not_fit(spot: Spot) -> Told:
    fits = f"what fits: {_fitting(spot.expected)}"
    if spot.expected <= {"$END"}:
        fits = "the line should end here; a further statement has a line of its own"
    if not spot.met:
        last = spot.text.split()[-1][-40:]
        return Told(f"the line ends after `{last}`", fits, "more should follow")
    return Told(f"`{spot.met}` does not fit here", fits, "not understood")


def _fitting(expected: Iterable[str]) -> str:
    names = set(expected)
    if names >= ITEM - {"STRING", "NAME"}:
        names = (names - ITEM) | {"WORD", "QUANTITY", "MARKS"}
    words = [f"`{word}`" for name in sorted(names) for word in spoken(name) if name != "KIND"]
    said = [SAID[name] for name in sorted(names) if name in SAID]
    return ", ".join(said + words)


# ---- mistakes that have a sentence of their own -------------------------------------------


def _unclosed_text(spot: Spot) -> Told | None:
    if not spot.met.startswith('"') or '"' in spot.row[spot.column :]:
        return None
    return Told("these double quotes are never closed", "close them on the same line", "open here")


def _wire_first(spot: Spot) -> Told | None:
    """A wire that leaves no terminal: at the start, or after a line that is no circuit line."""
    if not spot.met.startswith("--") or "WIRE" in spot.expected:
        return None
    if re.match(r"\s*[^\W_a-z]", spot.text):
        return None
    return Told(
        "a wire must leave a terminal",
        "begin the circuit line with the terminal the wire leaves: `K1:A2 --200-- PS1:0V`",
        "leaves nothing",
    )


def _no_wire(spot: Spot) -> Told | None:
    """Two terminals or devices of a circuit line with nothing between them."""
    if spot.expected - {"LPAR", "$END"} != {"WIRE"}:
        return None
    if not re.match(r"[^\W_a-z][\w.]*(:\S*)?$", spot.whole) or spot.met not in spot.whole:
        return None
    if spot.met[:1] in (",", ";"):
        return None
    return Told(
        f"no wire leads to `{spot.whole}`",
        "write one before it: `--`, or with its number `--201--`",
        "from where?",
        spot.at_whole,
    )


def _three_voltages(spot: Spot) -> Told | None:
    """`208-230/460 V`, as nameplates of motors have it."""
    whole = spot.whole.rstrip(",;")
    found = re.fullmatch(r"(?:([0-9]+)-)?([0-9]+)/(?:([0-9]+)-)?([0-9]+)", whole)
    if found is None or not (found[1] or found[3]):
        return None
    low, high = found[1] or found[2], found[4]
    return Told(
        f"`{whole}` are several voltages",
        f"write the one it is used at: `{low} V`, or `{high} V`",
        "which one?",
        spot.at_whole,
    )


def _slashed(spot: Spot) -> Told | None:
    """`AC/DC`, or marks with a slash."""
    whole = spot.whole.rstrip(",;")
    if not re.fullmatch(r"[A-Z0-9]+/[A-Z0-9]+", whole):
        return None
    rest = spot.row[spot.at_whole[1] - 1 :]
    if run_together := re.match(rf"{re.escape(whole)} V(AC|DC)\b", rest):
        kind = run_together[1]
        help = f"write `{whole} V {kind}`"
        return Told(f"`V{kind}` is not a unit here", help, "not understood", spot.at_whole)
    ours = "AC or DC" if whole in ("AC/DC", "DC/AC") else whole.replace("/", "-")
    return Told(f"`{whole}` does not fit here", f"write `{ours}`", "not understood", spot.at_whole)


def _terminal_in_properties(spot: Spot) -> Told | None:
    """`bond BJ1 from MAINS:N`: what is joined is said in a circuit line."""
    if not spot.met.startswith(":") or not re.fullmatch(r"\S+:\S+", spot.whole):
        return None
    if not spot.text.lstrip().startswith(kind_words()):
        return None
    return Told(
        f"`{spot.whole}` does not fit here",
        f"what it is joined to is drawn in a circuit line: `{spot.whole} --1-- K1:A1`",
        "not understood",
        spot.at_whole,
    )


def _brackets(spot: Spot) -> Told | None:
    if spot.met[:1] != "(" or "WIRE" not in spot.expected or "LPAR" in spot.expected:
        return None
    return Told(
        "brackets stand right after a wire",
        "what holds for one wire: `--201-- (16 AWG, 3 m)`; for all of them, say it in the heading",
        "not understood",
    )


def _wrong_start(spot: Spot) -> Told | None:
    first = spot.first
    column = len(spot.text) - len(spot.text.lstrip()) + 1
    at_first = not spot.before.strip()
    capital = first[:1].isupper() and spot.expected == {"WIRE"} and not spot.met.startswith("-")
    after_first = capital and spot.before.split() == [first]
    if not at_first and not after_first:
        return None
    word = (spot.met if at_first else first).rstrip(":,;")
    at = (1, column, len(word)) if after_first else None
    known = statement_words() + kind_words()
    if word.lower() in known:
        return Told(
            f"`{word}` is written in small letters", f"write `{word.lower()}`", "not understood", at
        )
    near = _near_start(word, spot.text, known)
    if after_first and not near:
        return _no_kind(word, spot, at)
    return Told(
        f"`{word}` begins no statement",
        f"did you mean `{near}`?"
        if near
        else "a statement begins with a kind of device (`breaker CB1 15 A`), "
        "a word such as `circuit`, or the terminal a wire leaves",
        "not understood",
        at,
    )


def _no_kind(name: str, spot: Spot, at: tuple[int, int, int] | None) -> Told | None:
    """A name, and then neither a wire nor a kind."""
    if not spot.met or re.match(r"[^\W_a-z][\w.]*(:|$)", spot.met):
        return None
    if ":" in name:
        return Told(
            f"`{spot.met}` is no wire",
            f"what joins two terminals is drawn as a wire: `{name} --201-- K1:A1`",
            "not understood",
        )
    return Told(
        f"`{name}` is given no kind",
        f"write what it is before its name: `fuse {name} 2 A`",
        "what is it?",
        at,
    )


def _kind_of_more_words(spot: Spot) -> Told | None:
    """`solenoid valve Y1`, `irrigation pump M1`: words before a name that are no kind."""
    if (spot.line, spot.first in statement_words()) != (1, False):
        return None
    found = re.match(r"[ \t]*([a-z][a-z-]*(?:[ \t]+[a-z][a-z-]*)+)(?=[ \t]+[A-Z0-9])", spot.text)
    if found is None or spot.column > found.end():
        return None
    said = " ".join(found[1].split())
    near = _kind_meant(said)
    if not near:
        return None
    at = (1, found.start(1) + 1, len(found[1]))
    return Told(f"`{said}` is no kind of device", f"did you mean kind `{near}`?", "no kind", at)


def _kind_meant(said: str) -> str:
    """A kind of several words that is misspelt or goes on; else what the last words say."""
    kinds = kind_words()
    several = [kind for kind in kinds if " " in kind]
    if said in kinds:
        return ""
    if near := nearest(said, several, 0.85):
        return near
    words = said.split()
    lasts = [" ".join(words[first:]) for first in range(len(words))]
    begun = [kind for kind in several if said.startswith(f"{kind} ")]
    meant = [OTHER_WORDS.get(last, last) for last in lasts if last in OTHER_WORDS or last in kinds]
    return next(iter([*begun, *meant]), "")


def _near_start(word: str, text: str, known: tuple[str, ...]) -> str:
    if word.lower() in OTHER_WORDS:
        return OTHER_WORDS[word.lower()]
    several = [other for other in known if " " in other]
    return nearest(" ".join(text.lower().split()[:2]), several, 0.75) or nearest(
        word.lower(), known, 0.7
    )


_WIRE_LIKE = r"-{0,3}([^\W_]?[\w.]*)-{0,3}"


def _bad_wire(spot: Spot) -> Told | None:
    whole = spot.whole
    if whole.startswith('"') or ("--" not in whole and "WIRE" not in spot.expected):
        return None
    if "--" in whole.strip("-"):
        spaced = re.sub(r"--(?:([^\s-]+)--)?", lambda m: f" {m.group()} ", whole).split()
        return Told(
            f"`{whole}` runs wires and terminals together",
            f"put blanks around each wire: `{' '.join(spaced)}`",
            "needs blanks",
            spot.at_whole,
        )
    odd = re.fullmatch(r"--(\S*[\w]\S*)--", whole)
    if odd and (plain := re.sub(r"[^\w.+-]", "", odd[1])) != odd[1]:
        return Told(
            f"`{odd[1]}` cannot be a wire's number",
            f"a number is of letters, figures, `.`, `+`, `-` and `_`: `--{plain}--`",
            "not understood",
        )
    like = re.fullmatch(_WIRE_LIKE, whole)
    if like is None or "-" not in (whole[0], whole[-1]) or "WIRE" not in spot.expected:
        return None
    number = like[1]
    if number and whole == f"--{number}--":
        return Told(
            f"`{number}` cannot be a wire's number",
            f"a number starts with a figure or a capital letter: `--{number.capitalize()}--`",
            "not understood",
        )
    return Told(
        f"`{whole}` is no wire",
        f"a wire is written `--{number}--`" if number else "a wire without a number is `--`",
        "not understood",
    )


def _glued_unit(spot: Spot) -> Told | None:
    whole = spot.whole.rstrip(",;")
    hint = explain_missing_blank(spot.met)
    if hint is not None:
        return Told(f"`{spot.met}` runs number and unit together", hint, "needs a blank")
    hint = explain_missing_blank(whole)
    if hint is None or spot.met not in whole:
        return None
    return Told(f"`{whole}` runs number and unit together", hint, "needs a blank", spot.at_whole)


def _small_letters(spot: Spot) -> Told | None:
    if not re.fullmatch(r"[a-z]\w*(?:[-:][\w-]+)*", spot.met):
        return None
    wanted = {"NAME", "TERMINAL", "PASS", "MARKS"} & spot.expected
    if not wanted or ("WORD" in spot.expected and spot.met.isalpha()):
        return None
    ours = spot.met.upper() if re.search(r"[\d:-]", spot.met) else spot.met.capitalize()
    return Told(
        f"`{spot.met}` cannot be a name",
        f"names and terminal marks start with a capital letter or a figure: `{ours}`",
        "should be a name",
    )


def _mark_after_name(spot: Spot) -> Told | None:
    """A colon or comma between a name, or a setting's word, and what is said of it."""
    said = spot.before.strip()
    kind = said.rpartition(" ")[0]
    if spot.met[:1] not in (":", ",") or not (
        kind in kind_words() or kind == "cable" or said in statement_words()
    ):
        return None
    mark = "colon" if spot.met[0] == ":" else "comma"
    return Told(f"no {mark} stands after `{said}`", f"write `{said} ...`", "take it out")


COLONS = {
    "wire": "`wire 204: 16 AWG`, `wire kind control: 18 AWG copper`",
    "location": "`location pump house: outside`",
    "intent": '`intent "stop": M1 is off whenever S1 is pressed`',
    "assume": '`assume "one hand": S1 and S2 are never pressed together`',
    "accept": '`accept open path on H1: "wired later"`',
}
"""Statements with a colon in them."""


def _missing_colon(spot: Spot) -> Told | None:
    if "COLON" not in spot.expected or spot.first not in COLONS or spot.met[:1] in (":", '"'):
        return None
    return Told("a colon is missing", f"write it as in {COLONS[spot.first]}", "before this?")


def _equals(spot: Spot) -> Told | None:
    if not spot.met.startswith("="):
        return None
    return Told(
        "`=` does not fit here", "write the value after the name: `POWER 20 W`", "take it out"
    )


def _ends_in_comma(spot: Spot) -> Told | None:
    last = spot.text.rstrip()[-1:]
    if spot.met or last not in (",", ";"):
        return None
    return Told(
        f"the statement ends after its last `{last}`",
        f"take the `{last}` off, or go on in the next line",
        "more should follow",
    )


def _name_with_hyphen(spot: Spot) -> Told | None:
    """`CR-1`, `-K1`, `K1/2`, `=A1+B2-K3`: names are of letters and figures."""
    name = spot.whole.partition(":")[0].rstrip(",;")
    if not re.fullmatch(r"[-+=]?[A-Z]\w*(?:[-/+=]\w+)*", name) or not re.search(r"[-/+=]", name):
        return None
    before = " ".join(spot.before_whole.split())
    if not before and (ours := OTHER_WORDS.get(name.lower())):
        message = f"`{name}` begins no statement"
        return Told(message, f"did you mean `{ours}`?", "not understood", spot.at_whole)
    in_circuit_line = re.match(r"\s*[-+=]?[^\W_a-z]", spot.text) is not None
    if before not in kind_words() and not in_circuit_line:
        return None
    plain = re.sub(r"[-/+=]", "", name)
    under = re.sub(r"[-/+=]", "_", name.lstrip("-+="))
    either = f"`{plain}`" + (f" or `{under}`" if under != plain else "")
    return Told(
        f"`{name}` cannot be a name",
        f"names are of letters, figures and `_`: {either}",
        "not understood",
        (spot.at_whole[0], spot.at_whole[1], len(name)),
    )


def _condition(spot: Spot) -> Told | None:
    """Times, and words that are no words of a condition, in an intent or assumption."""
    if spot.first not in ("intent", "assume"):
        return None
    words = spot.before.split()
    last = words[-1] if words else ""
    if re.match(r"[0-9.]+[ \t]+(s|ms|min|h)\b", spot.met) or {last, spot.met} & set(TIMING):
        return Told(*NO_TIMES, "times are not judged")
    if spot.met in ("if", "when") and words[-1:] and words[-1].endswith(":"):
        return Told(
            f"a sentence does not begin with `{spot.met}`",
            "say what must hold first: `M1 is off whenever S1 is pressed`",
        )
    if "unless" in (spot.met, last):
        return Told(
            "`unless` does not fit here",
            "say it with `whenever` and `not`: `M1 is off whenever S2 is not pressed`",
        )
    if spot.met == "together":
        return Told("`together` does not fit here", "did you mean `are never ... together`?")
    ends_open = words[-2:] == ["only", "while"]
    for word in (spot.met, "" if ends_open else last):
        if help := _meant_in_claim(word, spot):
            column = spot.column if word == spot.met else spot.row.rfind(word, 0, spot.column) + 1
            return Told(
                f"`{word}` does not fit here",
                help,
                "not understood",
                (spot.line, max(column, 1), len(word)),
            )
    return None


def _meant_in_claim(word: str, spot: Spot) -> str:
    """What to write for a word of a condition that does not fit; empty where nothing is known.

    The parser has merged its states too far to know which words still fit, so the sentence
    itself is asked for the word that made it what it is: it takes no second one.
    """
    sentence = re.sub(r'"[^"]*"', "", spot.before).split()
    made = next((one for one in sentence if one in SAID_OTHERWISE and one != word), "")
    if made and word in (*JOINING, "whenever"):
        return f"say it as in {SAID_OTHERWISE[made]}"
    if word in _claim_words():
        return ""
    fitting = ("AND OR NOT IS HAS ARE TOGETHER" if made else CLAIM_WORDS).split()
    words = tuple(one for name in fitting for one in spoken(name))
    meant = "whenever" if word in JOINING else nearest(word, words, 0.75)
    return f"did you mean `{meant}`?" if meant else ""


CLAIM_WORDS = "WHENEVER NEVER ALWAYS SOMETIMES TOGETHER AND OR NOT IS HAS ARE"


def _claim_words() -> tuple[str, ...]:
    return tuple(word for name in CLAIM_WORDS.split() for word in spoken(name))


def _near_keyword(spot: Spot) -> Told | None:
    if not spot.met.isalpha() or "WORD" in spot.expected:
        return None
    words = [word for name in spot.expected if name != "KIND" for word in spoken(name)]
    near = nearest(spot.met, sorted(words))
    if not near:
        return None
    return Told(f"`{spot.met}` does not fit here", f"did you mean `{near}`?", "not understood")


def _continued(spot: Spot) -> Told | None:
    """A line that goes on from one that ends in a comma, by oversight."""
    rows = spot.text.split("\n")[: spot.line]
    if len(rows) < 2 or rows[-1][: spot.column - 1].strip():
        return None
    if not "".join(rows[:-1]).endswith((",", ";")):
        return None
    return Told(f"`{spot.met}` does not fit here", CONTINUED, "goes on from the line before")


CONTINUED = (
    "the line before ends in a comma or semicolon, so this one goes on from it; "
    "take that off if this is a statement of its own"
)

LOOKS: tuple[Callable[[Spot], Told | None], ...] = (
    _unclosed_text,
    _wire_first,
    _kind_of_more_words,
    _name_with_hyphen,
    _wrong_start,
    _bad_wire,
    _no_wire,
    _glued_unit,
    _three_voltages,
    _slashed,
    _terminal_in_properties,
    _brackets,
    _continued,
    _ends_in_comma,
    _mark_after_name,
    _missing_colon,
    _equals,
    _condition,
    _small_letters,
    _near_keyword,
)
"""Tried in this order; the first that knows what happened tells it."""
