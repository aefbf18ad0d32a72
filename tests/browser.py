"""A real browser, driven through its own WebDriver door (W3C WebDriver) with the standard library.

Where there is no Chromium the tests that need one are skipped with the reason; where
NETCHECK_BROWSER is set to `needed`, as on the machine that decides, they fail instead.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.error import HTTPError
from urllib.request import ProxyHandler, Request, build_opener

import pytest

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
OPTIONS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
    "--disable-background-networking", "--no-first-run",
)  # fmt: skip

DIRECT = build_opener(ProxyHandler({}))


class Browser:
    """One session; it keeps what the page asked for and what it complained of."""

    def __init__(self, port: int, binary: str) -> None:
        self._root = f"http://127.0.0.1:{port}/session"
        wanted = {
            "browserName": "chrome",
            "goog:chromeOptions": {"binary": binary, "args": list(OPTIONS)},
            "goog:loggingPrefs": {"performance": "ALL", "browser": "ALL"},
        }
        made = self._send("", {"capabilities": {"alwaysMatch": wanted}})
        self._root += f"/{made['sessionId']}"
        self._send("/timeouts", {"script": 110_000})

    def _send(self, path: str, body: Mapping[str, Any] | None = None, method: str = "") -> Any:
        data = None if body is None else json.dumps(body).encode()
        request = Request(
            self._root + path,
            data,
            {"Content-Type": "application/json"},
            method=method or ("GET" if body is None else "POST"),
        )
        try:
            with DIRECT.open(request, timeout=120) as answer:
                return json.load(answer)["value"]
        except HTTPError as error:
            message = json.load(error)["value"]["message"]
        raise AssertionError(f"the browser says: {message}")

    def open(self, page: Path) -> None:
        """Until all of it is there: on a busy machine the driver may answer before."""
        self._send("/url", {"url": page.as_uri()})
        loaded = "new Promise(done => addEventListener('load', () => done(true)))"
        assert self.run(f"return document.readyState === 'complete' || {loaded}")

    def close(self) -> None:
        self._send("", method="DELETE")

    def run(self, script: str, *arguments: Any) -> Any:
        """What a script returns that is run in the page from outside it."""
        return self._send("/execute/sync", {"script": script, "args": arguments})

    def press(self, key: str, text: str = "") -> None:
        """A key of the keyboard goes down and stays there."""
        self.tell("Input.dispatchKeyEvent", type="keyDown", key=key, code=key, text=text)

    def release(self, key: str) -> None:
        self.tell("Input.dispatchKeyEvent", type="keyUp", key=key, code=key)

    def stroke(self, key: str, text: str = "", number: int = 0, modifiers: int = 0) -> None:
        """A key goes down and up; `number` is the one that browsers know it by."""
        keys = {"key": key, "code": key, "windowsVirtualKeyCode": number, "modifiers": modifiers}
        self.tell("Input.dispatchKeyEvent", type="keyDown", text=text, **keys)
        self.tell("Input.dispatchKeyEvent", type="keyUp", **keys)

    def tell(self, command: str, **values: Any) -> Any:
        """A command of the browser's own protocol."""
        return self._send("/goog/cdp/execute", {"cmd": command, "params": values})

    def show_as(self, media: str, width: int, height: int = 900, scheme: str = "light") -> None:
        """Lay the page out so wide, in CSS pixels, for the screen or for paper."""
        size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.tell("Emulation.setDeviceMetricsOverride", **size)
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.tell("Emulation.setEmulatedMedia", media=media, features=features)

    def requested(self) -> list[str]:
        """Every address asked for since this was last called."""
        log = self._send("/se/log", {"type": "performance"})
        messages = [json.loads(entry["message"])["message"] for entry in log]
        return [
            message["params"]["request"]["url"]
            for message in messages
            if message["method"] == "Network.requestWillBeSent"
        ]

    def complaints(self) -> list[str]:
        """What stands in the console since this was last called."""
        return [entry["message"] for entry in self._send("/se/log", {"type": "browser"})]


def carried(package: str, name: str) -> Path:
    """A file that an installed package brings along; the package itself is not imported."""
    spec = find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        missing(f"no {package} here: the extra `test` brings it")
    assert spec is not None
    assert spec.submodule_search_locations
    return Path(spec.submodule_search_locations[0]) / name


def missing(reason: str) -> None:
    """Skip, or fail where everything must be there."""
    if os.environ.get("NETCHECK_BROWSER") == "needed":
        pytest.fail(reason)
    pytest.skip(reason)


@contextmanager
def browser() -> Iterator[Browser]:
    binary = next((found for name in BROWSERS if (found := shutil.which(name))), "")
    driver = shutil.which("chromedriver") or ""
    if not binary or not driver:
        what = "chromedriver" if binary else "Chromium"
        missing(f"no {what} here: Debian's packages chromium and chromium-driver bring both")
    process = subprocess.Popen(
        [driver, "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        assert process.stdout is not None
        said = (re.search(r"successfully on port (\d+)", line) for line in process.stdout)
        port = next((int(found[1]) for found in said if found), 0)
        assert port, "chromedriver named no port"
        session = Browser(port, binary)
        try:
            yield session
        finally:
            session.close()
    finally:
        process.terminate()
        process.wait(timeout=30)
        if process.stdout is not None:
            process.stdout.close()
