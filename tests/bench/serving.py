"""A real bench for tests: the program in a process of its own, and browsers that visit it as phones and laptops do."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page
from playwright.sync_api import Error as BrowserError

#: A name that is no localhost: over plain http a page under it has no secure context, as on a phone.
NAME = socket.gethostname()
PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1280, "height": 900}
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP {NAME} 127.0.0.1",
]


@dataclass
class Served:
    """A bench that is being served; `stop` and `start` may be called in turn."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None
    said: list[str] = field(default_factory=list)
    program: str = "loomwright"

    @property
    def url(self) -> str:
        """Where a browser finds it."""
        return f"http://{NAME}:{self.port}"

    def start(self) -> None:
        """Start it, and wait until it says where it is served."""
        words = ["bench", str(self.folder), "--port", str(self.port), "--no-open", "--share"]
        self.process = subprocess.Popen(
            [sys.executable, "-m", self.program, *words], stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )
        stream = self.process.stdout
        assert stream is not None
        for line in iter(stream.readline, b""):
            self.said.append(line.decode())
            if b"Ctrl-C" in line:
                return
        raise AssertionError("".join(self.said))

    @property
    def code(self) -> str:
        """The code that phones join with, as the program has said it last."""
        return str(re.findall(r"code ([a-z0-9-]+)", "".join(self.said))[-2])

    @property
    def mentor_code(self) -> str:
        """The code of mentors."""
        return str(re.findall(r"code ([a-z0-9-]+)", "".join(self.said))[-1])

    def stop(self, how: signal.Signals = signal.SIGINT) -> float:
        """Stop it, and return how long that took [s]."""
        assert self.process is not None
        began = time.monotonic()
        self.process.send_signal(how)
        self.process.wait(20)
        took_s = time.monotonic() - began
        self.drop()
        return took_s

    def drop(self) -> None:
        """End it, whatever it does, and let go of what it says."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            if self.process.stdout is not None and not self.process.stdout.closed:
                self.said.append(self.process.stdout.read().decode())
                self.process.stdout.close()


@contextmanager
def bench_of(folder: Path, program: str = "loomwright") -> Iterator[Served]:
    """Serve a robot's folder, by another program where one is named."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    served = Served(folder, port, program=program)
    served.start()
    try:
        yield served
    finally:
        served.drop()


@dataclass
class Phone:
    """One person with one browser."""

    who: str
    context: BrowserContext
    page: Page
    served: Served
    mentor: bool = False
    errors: list[str] = field(default_factory=list)

    def go(self, path: str) -> None:
        """Open a screen."""
        self.page.goto(self.served.url + path)
        if self.page.url.startswith(f"{self.served.url}/join?"):
            self.join()
        if self.page.locator("body[data-page]").count():
            self.page.wait_for_selector("body.is-ready")

    def join(self) -> None:
        """Join with the code that the laptop has said."""
        self.page.fill("#who", self.who)
        self.page.fill("#code", self.served.mentor_code if self.mentor else self.served.code)
        self.page.click("#join button")
        self.page.wait_for_selector("body[data-page].is-ready")

    def look(self) -> None:
        """Look at the robot, where the screen asks for it."""
        if self.page.is_visible("#looked"):
            self.page.click("#looked")
            self.page.wait_for_selector("#look", state="hidden")

    def act(self, name: str, act: str) -> None:
        """Open the sheet of an end and press one of its buttons."""
        self.page.click(f'button.lug[data-name="{name}"]')
        self.page.click(f'#end-sheet [data-act="{act}"]')
        self.page.wait_for_selector("#end-sheet", state="hidden")

    def lug(self, name: str) -> Any:  # noqa: ANN401  a locator
        """Return the button at an end."""
        return self.page.locator(f'button.lug[data-name="{name}"]')

    def all_sent(self) -> None:
        """Wait until the laptop has said that it has everything."""
        self.page.wait_for_selector('body[data-unsent="no"]', timeout=15000)


def phone(browser: Browser, served: Served, who: str, *, size: dict[str, int] | None = None) -> Phone:
    """Give somebody a phone."""
    held: Any = size or PHONE
    context = browser.new_context(viewport=held, base_url=served.url)
    page = context.new_page()
    made = Phone(who, context, page, served)
    page.on("pageerror", lambda error: made.errors.append(str(error)))
    page.on("console", lambda line: made.errors.append(line.text) if "Content Security" in line.text else None)
    return made


def close(context: BrowserContext) -> None:
    """Close a browser's window, whatever state it is in."""
    try:
        context.close()
    except BrowserError:
        return
