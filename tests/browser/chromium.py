"""A headless Chromium at the end of a pipe, spoken to in its own debugging protocol: no driver, no port, no network."""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import time
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser")
PATIENCE = 60.0  # seconds for any one answer: a cold start on a busy machine takes several
SILENT = (
    "--headless=new", "--remote-debugging-pipe", "--no-first-run", "--no-default-browser-check", "--disable-gpu", "--disable-quic",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-extensions", "--disable-dev-shm-usage",
    "--hide-scrollbars", "--force-color-profile=srgb",
)  # fmt: skip


class PageError(AssertionError):
    """The page raised, or the browser refused."""


def find() -> str:
    """The browser to test in: what BENCHLEAF_CHROMIUM names, else the system's Chromium."""
    for name in (os.environ.get("BENCHLEAF_CHROMIUM", ""), *NAMES):
        found = shutil.which(name) if name else None
        if found:
            return found
    raise AssertionError("these tests need Chromium, which the README's second command installs: apt-get install chromium")


class Browser:
    """One browser process.  ``page()`` opens a tab in a profile of its own, which remembers nothing of the others."""

    def __init__(self, profile: Path) -> None:
        to_browser, self._out = os.pipe()
        self._in, from_browser = os.pipe()
        # Chromium reads its commands from descriptor 3 and answers on 4.
        moved = f"exec 3<&{to_browser} 4>&{from_browser}; exec \"$0\" \"$@\""
        sandbox = ["--no-sandbox"] if os.geteuid() == 0 else []
        command = ["bash", "-c", moved, find(), *SILENT, *sandbox, f"--user-data-dir={profile}", "about:blank"]
        self._process = subprocess.Popen(
            command, pass_fds=(to_browser, from_browser), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        os.close(to_browser)
        os.close(from_browser)
        self._waiting = b""
        self._number = 0
        self._events: list[dict[str, Any]] = []

    def close(self) -> None:
        try:
            self.call("Browser.close")
            self._process.wait(10)
        except (PageError, OSError, subprocess.TimeoutExpired):
            self._process.kill()
            self._process.wait()
        os.close(self._out)
        os.close(self._in)

    def call(self, method: str, session: str = "", **parameters: Any) -> dict[str, Any]:
        """One command and its answer; what happens meanwhile is kept for ``heard``."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": parameters} | ({"sessionId": session} if session else {})
        os.write(self._out, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + PATIENCE
        while True:
            answer = self._next(deadline, method)
            if answer.get("id") == self._number:
                break
            self._events.append(answer)
        if "error" in answer:
            raise PageError(f"{method}: {answer['error']['message']}")
        result: dict[str, Any] = answer["result"]
        return result

    def heard(self, session: str) -> list[dict[str, Any]]:
        """What a tab has reported so far."""
        return [event for event in self._events if event.get("sessionId") == session]

    def wait_for(self, method: str, session: str) -> None:
        """Wait until a tab reports this; reports from before do not count."""
        deadline = time.monotonic() + PATIENCE
        while True:
            event = self._next(deadline, method)
            self._events.append(event)
            if event.get("method") == method and event.get("sessionId") == session:
                return

    def page(self, **screen: Any) -> Page:
        context = self.call("Target.createBrowserContext")["browserContextId"]
        target = self.call("Target.createTarget", url="about:blank", browserContextId=context)["targetId"]
        return Page(self, context, self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"], **screen)

    def _next(self, deadline: float, wanted: str) -> dict[str, Any]:
        while b"\0" not in self._waiting:
            ready, _, _ = select.select([self._in], [], [], max(deadline - time.monotonic(), 0))
            more = os.read(self._in, 1 << 20) if ready else b""
            if not more:
                raise PageError(f"the browser {'has gone' if ready else 'says nothing'} while it should answer {wanted}")
            self._waiting += more
        line, self._waiting = self._waiting.split(b"\0", 1)
        message: dict[str, Any] = json.loads(line)
        return message


class Page:
    """A tab: it opens files, presses keys, clicks, and says what the page is like."""

    def __init__(self, browser: Browser, context: str, session: str, *, width: int = 1000, height: int = 800, touch: bool = False) -> None:
        self._browser, self._context, self._session = browser, context, session
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=touch)
        if touch:
            self.call("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=1)
            self.call("Emulation.setEmulatedMedia", features=[{"name": "pointer", "value": "coarse"}])

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        return self._browser.call(method, self._session, **parameters)

    def close(self) -> None:
        self._browser.call("Target.disposeBrowserContext", browserContextId=self._context)

    def open(self, file: Path) -> None:
        self.call("Page.navigate", url=file.as_uri())
        self._browser.wait_for("Page.loadEventFired", self._session)

    def reload(self) -> None:
        self.call("Page.reload", ignoreCache=True)
        self._browser.wait_for("Page.loadEventFired", self._session)

    def run(self, javascript: str) -> Any:
        """The value of an expression in the page."""
        answer = self.call("Runtime.evaluate", expression=javascript, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise PageError(json.dumps(answer["exceptionDetails"])[:500])
        return answer["result"].get("value")

    def wait(self, condition: str) -> None:
        """Wait until an expression is true in whatever page is open then."""
        deadline = time.monotonic() + PATIENCE
        while time.monotonic() < deadline:
            try:
                if self.run(condition):
                    return
            except PageError:  # between two pages there is nobody to ask
                pass
            time.sleep(0.02)
        raise PageError(f"never came true: {condition}")

    def click(self, selector: str) -> None:
        """A press of the mouse (or of a thumb) in the middle of what the selector finds, after it is scrolled to."""
        self.click_at(*self.middle(selector))

    def middle(self, selector: str) -> tuple[float, float]:
        found = self.run(
            f"(() => {{ const e = document.querySelector({json.dumps(selector)}); if (!e) return null; "
            "e.scrollIntoView({block: 'center', behavior: 'instant'}); const r = e.getBoundingClientRect(); "
            "return [r.x + r.width / 2, r.y + r.height / 2]; })()"
        )
        assert found, f"nothing matches {selector}"
        return found[0], found[1]

    def click_at(self, x: float, y: float) -> None:
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def press(self, key: str, code: int = 0, text: str = "", modifiers: int = 0) -> None:
        extra = {"text": text} if text else {}
        self.call("Input.dispatchKeyEvent", type="keyDown", key=key, code=key, windowsVirtualKeyCode=code, modifiers=modifiers, **extra)
        self.call("Input.dispatchKeyEvent", type="keyUp", key=key, code=key, windowsVirtualKeyCode=code, modifiers=modifiers)

    def type(self, text: str) -> None:
        self.call("Input.insertText", text=text)

    def fill(self, selector: str, text: str) -> None:
        """Click into a field, and type over what is there."""
        self.click(selector)
        self.run(f"document.querySelector({json.dumps(selector)}).select()")
        if text:
            self.type(text)
        else:
            self.press("Delete", 46)

    def pdf(self) -> bytes:
        return base64.b64decode(self.call("Page.printToPDF", preferCSSPageSize=True, printBackground=True)["data"])

    def picture(self, *, whole: bool = False) -> bytes:
        return base64.b64decode(self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"])

    def complaints(self) -> list[str]:
        """Errors and warnings of the page, its refusals by the content security policy among them."""
        found = []
        for event in self._browser.heard(self._session):
            if event["method"] == "Log.entryAdded" and event["params"]["entry"]["level"] in ("error", "warning"):
                found.append(event["params"]["entry"]["text"])
            if event["method"] == "Runtime.exceptionThrown":
                found.append(json.dumps(event["params"]["exceptionDetails"])[:300])
        return found

    def fetched(self) -> list[str]:
        """Every address that the page asked for."""
        return [event["params"]["request"]["url"] for event in self._browser.heard(self._session) if event["method"] == "Network.requestWillBeSent"]
