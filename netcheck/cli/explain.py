"""`netcheck explain`: the rules and the language in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click

from netcheck.cli.screen import note, say
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.rule import Rule

LANGUAGE = "language"


@click.command("explain")
@click.argument("words", nargs=-1, metavar="[RULE|language]")
@click.pass_context
def command(ctx: click.Context, words: tuple[str, ...]) -> None:
    """Say what RULE finds, why it matters and on whose word, with an example.

    Without RULE: all rules, a line each.  With "language": how a panel is described.
    """
    name = " ".join(" ".join(words).lower().replace("-", " ").replace("_", " ").split())
    if name == LANGUAGE:
        say(language())
        return
    rules = {rule.name: rule for rule in all_rules()}
    if not name:
        say(listing(rules.values()))
    elif name in rules:
        say(explanation(rules[name]))
    else:
        note(unknown(name, [*rules, LANGUAGE]))
        ctx.exit(Status.WRONG)


def all_rules() -> Sequence[Rule]:
    """The rules, imported only when one is explained."""
    from netcheck.rule import all_rules as rules

    return rules()


def listing(rules: Iterable[Rule]) -> str:
    """Return every rule with its summary, family by family."""
    families: dict[str, list[Rule]] = {}
    for rule in rules:
        families.setdefault(rule.family.value, []).append(rule)
    lines: list[str] = []
    for family, members in families.items():
        lines += [family, *(f"  {rule.name}: {rule.summary}" for rule in members), ""]
    lines.append("`netcheck explain RULE` says more, `netcheck explain language` how to write.")
    return "\n".join(lines) + "\n"


def language() -> str:
    """Return the reference of the language, without the marks of what was made by a program."""
    from netcheck.data import package_text

    text = package_text("grammar", "reference.md")
    return re.sub(r"^<!--.*-->\n\n?", "", text, flags=re.MULTILINE)


def explanation(rule: Rule) -> str:
    """Return what one rule finds, in full."""
    from netcheck.report.text import reference_in_words

    parts = [
        f"{rule.name} ({rule.severity.value}, {rule.family.value})",
        f"{rule.summary}",
        rule.doc.strip(),
        f"why     {rule.why}",
        f"source  {reference_in_words(rule.reference)}",
        example(rule.name),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


EXPECTED = re.compile(r'# expect: ([^,]+), "(.*)"$', re.MULTILINE)
"""The remark on a line of a sample that says which rule speaks there, in what words."""


def example(rule: str) -> str:
    """Return the shortest sample that this rule finds something in, what is sound beside it."""
    from netcheck.data import package_names, package_text

    folder = "samples", "faults", rule.replace(" ", "-")
    texts = [package_text(*folder, name) for name in package_names(*folder)]
    whole = [text for text in texts if "\ninclude " not in text and _spoken_of(text, rule)]
    if not whole:
        return ""
    text = EXPECTED.sub(r"# found: \2", min(whole, key=len).rstrip())
    lines = [f"  {line}".rstrip() for line in text.splitlines()]
    return "\n".join(["example, where only the lines with `# found` are at fault", "", *lines])


def _spoken_of(text: str, rule: str) -> bool:
    return any(found[1] == rule for found in EXPECTED.finditer(text))


def unknown(name: str, known: Sequence[str]) -> str:
    """Return the sentence for a name that is no rule, with the names near it."""
    from netcheck.reading.words import kind_words

    if name in kind_words():
        return f"netcheck: {name} is a kind of device; `netcheck explain language` describes it"
    near = get_close_matches(name, known, n=3)
    meant = f"; did you mean {' or '.join(f'`{other}`' for other in near)}?" if near else ""
    return f"netcheck: no rule is called {name!r}{meant}\n`netcheck explain` lists them all."
