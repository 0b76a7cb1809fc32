"""Browsers of three engines behind one small face, each with a profile that outlives it: Chromium by Playwright,
Firefox by its Marionette protocol, WebKitGTK by a window of its own (`webkit_window.py`)."""

import json
import os
import shutil
import signal
import socket
import subprocess
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from web_kit import browser_here

if TYPE_CHECKING:
    from playwright.sync_api import Playwright

SYSTEM_PYTHON = "/usr/bin/python3"
"""The one that Debian's `gir1.2-webkit2-4.1` belongs to."""
_ENDED = 10


class Browser(Protocol):
    """What a test does with a browser: one window, one page."""

    def open(self, address: str) -> None:
        """Go to an address, loading it anew."""
        ...

    def js(self, code: str, given: Any = None) -> Any:
        """Run the body of an async function in the page, with what is given as `given`; what it returns, by JSON."""
        ...

    def kill(self) -> None:
        """End all its processes at once, as a flat battery would."""
        ...

    def close(self) -> None:
        """Close it as a person would."""
        ...


class Chromium:
    """Chromium of this machine. Its window is that of a phone."""

    def __init__(self, driver: "Playwright", profile: Path) -> None:
        self.profile = profile
        self.context = driver.chromium.launch_persistent_context(
            profile,
            executable_path=browser_here(),
            args=["--no-sandbox"],
            accept_downloads=True,
            viewport={"width": 390, "height": 780},
        )
        self.tab = self.context.pages[0] if self.context.pages else self.context.new_page()

    def open(self, address: str) -> None:
        """Go to an address, loading it anew."""
        self.tab.goto("about:blank")
        self.tab.goto(address)

    def js(self, code: str, given: Any = None) -> Any:
        """Run the body of an async function in the page."""
        return self.tab.evaluate(f"async (given) => {{{code}}}", given)

    def kill(self) -> None:
        """End all its processes at once."""
        words = ["pgrep", "-f", f"user-data-dir={self.profile}"]
        for number in map(
            int, subprocess.run(words, capture_output=True, text=True, check=False).stdout.split()
        ):
            with suppress(ProcessLookupError):
                os.kill(number, signal.SIGKILL)
        with suppress(Exception):
            self.context.close()

    def close(self) -> None:
        """Close it."""
        self.context.close()


class Firefox:
    """Firefox of this machine, without a window. Messages of Marionette are `length:JSON` (Firefox source docs,
    Testing, Marionette, Protocol)."""

    def __init__(self, profile: Path) -> None:
        profile.mkdir(exist_ok=True)
        profile.joinpath("user.js").write_text('user_pref("marionette.port", 0);\n', encoding="utf-8")
        told = profile / "MarionetteActivePort"
        told.unlink(missing_ok=True)
        self.process = subprocess.Popen(
            [
                firefox_here() or "",
                "--headless",
                "--marionette",
                "--no-remote",
                "--profile",
                profile,
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        until = time.monotonic() + 60
        while not (told.exists() and told.read_text().strip()):
            assert time.monotonic() < until, "Firefox doesn't come up"
            time.sleep(0.1)
        self.socket = socket.create_connection(("127.0.0.1", int(told.read_text())))
        self.answers = self.socket.makefile("rb")
        self.count = 0
        self._read()
        self._command("WebDriver:NewSession", {})
        self._command("WebDriver:SetTimeouts", {"script": 180_000, "pageLoad": 180_000})

    def _read(self) -> Any:
        length = b""
        while (one := self.answers.read(1)) != b":":
            assert one, "Firefox is gone"
            length += one
        return json.loads(self.answers.read(int(length)))

    def _command(self, name: str, said: dict[str, Any]) -> Any:
        self.count += 1
        message = json.dumps([0, self.count, name, said]).encode()
        self.socket.sendall(b"%d:%b" % (len(message), message))
        _, _, error, result = self._read()
        assert not error, error
        return result

    def open(self, address: str) -> None:
        """Go to an address, loading it anew."""
        self._command("WebDriver:Navigate", {"url": "about:blank"})
        self._command("WebDriver:Navigate", {"url": address})

    def js(self, code: str, given: Any = None) -> Any:
        """Run the body of an async function in the page."""
        script = (
            f"const [given, done] = arguments; (async () => {{{code}}})()"
            ".then((good) => done({ good: good ?? null }), (bad) => done({ bad: String(bad) }));"
        )
        words = {"script": script, "args": [given], "sandbox": None}
        value = self._command("WebDriver:ExecuteAsyncScript", words)["value"]
        assert "bad" not in value, value["bad"]
        return value["good"]

    def kill(self) -> None:
        """End all its processes at once."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(_ENDED)
        self.socket.close()

    def close(self) -> None:
        """Close it."""
        self._command("Marionette:Quit", {"flags": ["eAttemptQuit"]})
        self.process.wait(3 * _ENDED)
        self.socket.close()


class WebKit:
    """WebKitGTK in a window of its own on a display that nobody sees."""

    def __init__(self, profile: Path) -> None:
        window = Path(__file__).with_name("webkit_window.py")
        self.process = subprocess.Popen(
            ["xvfb-run", "-a", SYSTEM_PYTHON, window, profile],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,
        )

    def _ask(self, *message: Any) -> Any:
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.write(json.dumps(message) + "\n")
        self.process.stdin.flush()
        line = self.process.stdout.readline()
        assert line, "WebKit is gone"
        answer = json.loads(line)
        assert "bad" not in answer, answer["bad"]
        return answer["good"]

    def open(self, address: str) -> None:
        """Go to an address, loading it anew."""
        self._ask("open", address)

    def js(self, code: str, given: Any = None) -> Any:
        """Run the body of an async function in the page."""
        return self._ask(
            "js", f"const given = {json.dumps(given)};"
            f" return JSON.stringify((await (async () => {{{code}}})()) ?? null);"
        )  # fmt: skip

    def kill(self) -> None:
        """End all its processes at once."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(_ENDED)

    def close(self) -> None:
        """Close it."""
        self._ask("close", "")
        self.process.wait(_ENDED)


def firefox_here() -> str | None:
    """A Firefox of this machine; None where there is none."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


def webkit_here() -> bool:
    """Whether this machine has WebKitGTK for Python, and a display for it."""
    probe = "import gi; gi.require_version('WebKit2', '4.1')"
    has = subprocess.run([SYSTEM_PYTHON, "-c", probe], capture_output=True, check=False).returncode == 0
    return has and shutil.which("xvfb-run") is not None
