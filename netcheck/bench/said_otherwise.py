"""What people say of a load or a breaker in other words than those of `observations`, and what to
do about that which no reading of volts tells."""

from __future__ import annotations

import re

VERBS = {
    "running": "run", "working": "work", "pulling in": "pull in", "starting": "start",
    "heating": "heat", "turning": "turn", "sounding": "sound", "lighting": "light",
    "coming on": "come on", "opening": "open", "closing": "close", "stopping": "stop",
    "tripping": "trip", "blowing": "blow", "humming": "hum", "chattering": "chatter",
    "buzzing": "buzz", "dropping out": "drop out",
}  # fmt: skip
_VERB = rf"(?P<verb>{'|'.join(VERBS)})"
_PATTERNS = (
    (r"(?:will not|won['\u2019]?t|can ?not|can['\u2019]?t|doesn['\u2019]?t|does n[o']t) ",
     "does not "),
    (r"isn['\u2019]?t ", "is not "),
    (r"not (?=\w+(?:ing|ised|ized)\b)", "is not "),
)  # fmt: skip
WORDS = {
    "is energised": "is on", "is energized": "is on", "is not energised": "is off",
    "is not energized": "is off", "is de-energised": "is off", "is de-energized": "is off",
    "is deenergised": "is off", "is deenergized": "is off", "is not fed": "is off",
    "has no power": "is off", "gets no power": "is off", "has no voltage": "is off",
    "has power": "is on", "stopped": "is off", "has stopped": "is off", "is stopped": "is off",
    "failed": "is off", "has failed": "is off", "dead": "is dead", "off": "is off",
    "keeps running": "does not stop", "runs on": "does not stop",
    "runs all the time": "does not stop", "stays running": "does not stop",
    "drops": "drops out", "dropped out": "drops out", "does not reset": "trips",
    "does not stay closed": "trips",
    "keeps tripping": "trips", "keeps blowing": "blows", "tripped": "has tripped",
    "blew": "has blown", "starts slowly": "runs slow",
    "runs slowly": "runs slow",
}  # fmt: skip

_HEAT = (
    "heat is not worked out: clamp the amperes of each of its conductors and hold them against "
    "`netcheck meter --clamp`"
)
_WAY_ROUND = (
    "the text does not say which way it turns: two lines swapped reverse a three-phase motor, the "
    "leads of its start winding a single-phase one, plus and minus a DC one"
)
_NOW_AND_THEN = (
    "what comes and goes is found while it is there: say it as it is then, as in `{name} is off`; "
    "a loose end is told as a wire that is open"
)
_SMOKE = "open and lock out what feeds it first; then ohms, `netcheck meter --off`"
_OVERLOAD = (
    "an overload trips on too much current for long, one line lost or a stuck machine: clamp each "
    "line; where it was found so, say `{name} tripped` after `with`"
)
_LATER = "after a while it opens on an overload or on heat: clamp its amperes, each conductor"
_REASONS = (
    (r".*\b(?:hot|overheats|warm)\b.*", _HEAT),
    (r".*\b(?:backwards?|reverse|wrong way)\b.*", _WAY_ROUND),
    (r".*\b(?:smokes|smells|burns|sparks|arcs|arcing|smoke)\b.*", _SMOKE),
    (r"(?:trips|blows|opens|stops|drops out)(?: by itself)? (?:after|in) (?:a|some|\d).*", _LATER),
    (r".*\b(?:flickers|sometimes|intermittent(?:ly)?|now and then|on and off|cuts out|"
     r"starts and stops|cycles|occasionally)\b.*", _NOW_AND_THEN),
)  # fmt: skip


def plainly(does: str) -> str:
    """`does not run` of `isn't running`; what it does not know as it is."""
    for pattern, plain in _PATTERNS:
        does = re.sub(rf"^{pattern}", plain, does)
    found = re.fullmatch(rf"is (?P<not>not )?{_VERB}(?P<more>.*)", does)
    if found is not None:
        base = VERBS[found["verb"]]
        first, _, rest = base.partition(" ")
        plain = f"does not {base}" if found["not"] else f"{first}s{' ' if rest else ''}{rest}"
        does = f"{plain}{found['more']}"
    return WORDS.get(does, does)


def why_not(name: str, kind: str, does: str) -> str:
    """What to do about what is no symptom here; empty where nothing is known of it."""
    if kind == "overload" and re.search(r"\b(?:trips|tripped|tripping|reset)\b", does):
        return _OVERLOAD.format(name=name)
    opens = re.fullmatch(r"(trips|blows) (\w+)", does)
    if opens is not None and opens[2][:1].isupper():
        return f"say `{opens[2]} {opens[1]}`, and what it waits for: `when K2 pulls in`"
    for pattern, reason in _REASONS:
        if re.fullmatch(pattern, does):
            return reason.format(name=name)
    return ""
