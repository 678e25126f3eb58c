"""A headless browser driven over its debugging pipe (DevTools protocol), with nothing but the standard library."""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path
from types import TracebackType
from typing import Any, Self

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
PATIENCE_S = 60.0


def browser_path() -> str | None:
    """The browser named by VECTORPREP_BROWSER, else the first one found."""
    named = os.environ.get("VECTORPREP_BROWSER")
    return named or next((found for found in map(shutil.which, NAMES) if found), None)


class Browser:
    """One browser with one page: `with Browser() as page`."""

    def __init__(self, *, width: int = 1280, height: int = 900) -> None:
        path = browser_path()
        assert path is not None, "asked for only where a browser is installed"
        self._home = tempfile.mkdtemp(prefix="vectorprep-browser-")
        to_browser, self._write = os.pipe()
        self._read, from_browser = os.pipe()
        flags = [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--force-prefers-reduced-motion",
            f"--user-data-dir={self._home}",
            f"--window-size={width},{height}",
            "--remote-debugging-pipe",
            "about:blank",
        ]
        # The protocol's pipe has the descriptors 3 and 4 on the browser's side.
        shell = 'exec 3<&"$1" 4>&"$2"; shift 2; exec "$@"'
        self._process = subprocess.Popen(
            ["bash", "-c", shell, "bash", str(to_browser), str(from_browser), path, *flags],
            pass_fds=(to_browser, from_browser),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "TMPDIR": self._home},
            start_new_session=True,
        )
        os.close(to_browser)
        os.close(from_browser)
        self._number = 0
        self._buffer = b""
        self._session = ""
        self.requests: list[str] = []
        self.complaints: list[str] = []

    def __enter__(self) -> Self:
        """Attaches to the one page."""
        attached = self.call("Target.attachToTarget", targetId=self._page(), flatten=True)
        self._session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{domain}.enable")
        return self

    def _page(self) -> str:
        """The first page, which may come a moment after the browser."""
        deadline = time.monotonic() + PATIENCE_S
        while True:
            targets = self.call("Target.getTargets")["targetInfos"]
            pages = [str(target["targetId"]) for target in targets if target["type"] == "page"]
            if pages:
                return pages[0]
            if time.monotonic() > deadline:
                raise TimeoutError("the browser opens no page")
            time.sleep(0.02)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Ends the browser and removes what it kept."""
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()
        os.close(self._write)
        os.close(self._read)
        shutil.rmtree(self._home, ignore_errors=True)

    def call(self, method: str, **params: Any) -> dict[str, Any]:
        """One command and its result."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + PATIENCE_S
        while True:
            answer = self._next(deadline)
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return dict(answer["result"])
            self._note(answer)

    def _next(self, deadline: float) -> dict[str, Any]:
        while b"\0" not in self._buffer:
            ready, _, _ = select.select([self._read], [], [], max(0.0, deadline - time.monotonic()))
            data = os.read(self._read, 1 << 16) if ready else b""
            if not data:
                raise TimeoutError("the browser does not answer")
            self._buffer += data
        line, _, self._buffer = self._buffer.partition(b"\0")
        return dict(json.loads(line))

    def _note(self, event: dict[str, Any]) -> None:
        params = event.get("params", {})
        if event.get("method") == "Network.requestWillBeSent":
            self.requests.append(params["request"]["url"])
        elif event.get("method") == "Runtime.exceptionThrown":
            self.complaints.append(params["exceptionDetails"].get("exception", {}).get("description", "exception"))
        elif event.get("method") == "Log.entryAdded" and params["entry"]["level"] == "error":
            self.complaints.append(params["entry"]["text"])

    def open(self, path: Path, fragment: str = "") -> None:
        """Loads a file and waits until it and what it shows is there."""
        self.call("Page.navigate", url="about:blank")
        self.call("Page.navigate", url=path.as_uri() + fragment)
        self.wait(f"location.href.startsWith({json.dumps(path.as_uri())}) && document.readyState === 'complete'")

    def value(self, script: str) -> Any:
        """What an expression gives; promises are waited for."""
        result = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in result:
            raise RuntimeError(result["exceptionDetails"].get("exception", {}).get("description", "exception"))
        return result["result"].get("value")

    def wait(self, script: str) -> None:
        """Until an expression is true."""
        deadline = time.monotonic() + PATIENCE_S
        while not self.value(script):
            if time.monotonic() > deadline:
                raise TimeoutError(script)
            time.sleep(0.02)

    def press(self, key: str, *, text: str = "") -> None:
        """One key, down and up."""
        codes = {
            "Enter": 13,
            "Escape": 27,
            "Tab": 9,
            " ": 32,
            "ArrowLeft": 37,
            "ArrowUp": 38,
            "ArrowRight": 39,
            "ArrowDown": 40,
            "Home": 36,
            "End": 35,
        }
        written = text or {"Enter": "\r", " ": " "}.get(key, key if len(key) == 1 else "")
        shared = {"key": key, "windowsVirtualKeyCode": codes.get(key, ord(key.upper()) if len(key) == 1 else 0)}
        self.call("Input.dispatchKeyEvent", type="keyDown" if written else "rawKeyDown", text=written, **shared)
        self.call("Input.dispatchKeyEvent", type="keyUp", **shared)

    def look(self, *, width: int = 1280, height: int = 900, dark: bool = False) -> None:
        """Size of the window and the light that the system asks for."""
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        self.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}])

    def picture(self) -> bytes:
        """PNG of the window."""
        return base64.b64decode(self.call("Page.captureScreenshot", format="png")["data"])

    def printed(self, *, width_in: float, height_in: float) -> bytes:
        """PDF of the page on paper of that size."""
        result = self.call(
            "Page.printToPDF", paperWidth=width_in, paperHeight=height_in, printBackground=False, preferCSSPageSize=False
        )
        return base64.b64decode(result["data"])
