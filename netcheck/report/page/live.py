"""The live part of the page: its data, its scripts, and the one policy that lets just these run."""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from typing import Any

from netcheck.data import own_text
from netcheck.report.page.html import Html, joined, tag

ENGINE = (
    "complex", "levels", "ideal_branches", "nodal", "joined", "bases", "source_ways", "state",
    "shorts", "coils", "tripping", "steady", "bench", "readings", "ohms", "heap", "spreading",
    "way_home", "standing", "fault", "drill", "plan", "safe_work",
)  # fmt: skip
"""What the panel does: it knows numbers and words alone."""
DESK = (
    "pieces", "drawn", "sheets", "controls", "loads", "meter", "walk", "exercise", "live", "far",
    "start",
)  # fmt: skip
"""What is seen and operated.  Both in the order in which each uses those before it."""

ABOUT = (
    "Press, turn and trip things and see what follows.  Relays and shorts act at once; a timer "
    "waits until it is let run out.  What is shown is worked out from the description, never "
    "measured: it proves nothing dead."
)


def policy(style: str, live: Mapping[str, Any] | None) -> str:
    """What a browser lets the page do: nothing is fetched or sent, and of style and script it
    takes those whose digests stand here, whatever a hostile name may ask for."""
    rules = ["default-src 'none'", f"style-src {_digest(style)}"]
    if live is not None:
        rules.append(f"script-src {_digest(_script())}")
    return "; ".join((*rules, "form-action 'none'", "base-uri 'none'"))


def _digest(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


@cache
def _script() -> str:
    """All scripts as one, strict from its first line."""
    files = [("engine", name) for name in ENGINE] + [("desk", name) for name in DESK]
    texts = [own_text("report", "page", folder, f"{name}.js") for folder, name in files]
    whole = '"use strict";\n' + "\n".join(text.removeprefix('"use strict";\n') for text in texts)
    assert "</script" not in whole
    return whole


def desk(live: Mapping[str, Any]) -> Html:
    """What stands in the section until the script fills it."""
    without = "The live page needs a browser that runs the script of this file."
    return joined(
        (
            tag("p", ABOUT, class_="faint"),
            tag("div", tag("noscript", tag("p", without)), id="live-desk"),
        )
    )


def scripts(live: Mapping[str, Any] | None) -> Html:
    """The data and the script, at the very end of the page."""
    if live is None:
        return Html("")
    # ASCII alone, and no `<`: nothing in a name can end the element or open another.
    data = json.dumps(live, separators=(",", ":")).replace("<", "\\u003c")
    return Html(
        f'<script type="application/json" id="live-data">{data}</script>\n'
        f"<script>{_script()}</script>\n"
    )
