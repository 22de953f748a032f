"""A real lab on a free port and real browsers that join it; a page that complains fails its test.

`screen(role, station)` opens a browser of its own, signed in for its role. What its console says in
red, a breach of the content-security policy among it, fails the test at its end unless it was expected.
"""

import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from tests.needs import path_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

CHECKOUT = Path(__file__).parent.parent.parent
OPENS_WITHIN_S = 60.0
STOPS_WITHIN_S = 20.0
# What a browser does by itself and a test does not want.
CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PATHS = {
    "instructor": "/station/{}",
    "learner": "/bedside/{}",
    "projector": "/bedside/{}",
    "checker": "/check-off/{}",
}
CARD = {"Learner’s bedside": "learner", "Checker": "checker", "Big screen": "projector"}
PROJECTOR, TABLET, TABLET_UPRIGHT, PHONE, DESK = (
    (1920, 1080),
    (1024, 768),
    (820, 1180),
    (390, 844),
    (1440, 900),
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


class RunningLab:
    """The server as a process of its own, spoken to as the instructor at this computer."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None
        self.open()

    def command(self) -> list[str]:
        """What starts the server."""
        data = str(self.folder / "data")
        return [sys.executable, "-m", "tidalbay", "serve", "--demo", "--port", str(self.port), "--data", data]

    def open(self) -> None:
        """Start the server, again if it was stopped, on the same port and folder."""
        self._said = (self.folder / "said.txt").open("ab")
        self._process = subprocess.Popen(
            self.command(),
            cwd=CHECKOUT,
            env={**os.environ, "PYTHONPATH": str(CHECKOUT / "src"), "PYTHONUTF8": "1"},
            stdout=self._said,
            stderr=self._said,
        )
        until_s = time.monotonic() + OPENS_WITHIN_S
        while time.monotonic() < until_s:
            if self._process.poll() is not None:
                break
            try:
                if json.loads(self.get("/board.json"))["stations"][0]["state"] != "empty":
                    return  # the demonstration has begun, or what was there has been taken up again
            except OSError:
                pass
            time.sleep(0.1)
        raise AssertionError(f"the lab did not open:\n{(self.folder / 'said.txt').read_text('utf-8')}")

    def close(self, kill: bool = False) -> None:
        """Stop the server, as a power cut would if `kill`."""
        if self._process is None:
            return
        self._process.send_signal(signal.SIGKILL if kill else signal.SIGINT)
        self._process.wait(STOPS_WITHIN_S)
        self._process = None
        self._said.close()

    def post(self, path: str, said: dict[str, Any]) -> dict[str, Any]:
        """Send a request as the instructor; AssertionError with the lab's sentence if it is refused."""
        request = urllib.request.Request(
            self.url + path,
            json.dumps(said).encode(),
            {"content-type": "application/json", "origin": self.url},
            method="POST",
        )
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.load(answer)
        except urllib.error.HTTPError as refused:
            raise AssertionError(f"{path} {said}: {refused.read().decode()}") from None

    def get(self, path: str) -> str:
        with urllib.request.urlopen(self.url + path, timeout=20) as answer:
            return answer.read().decode()

    def begin(
        self, station: str, case: str = "post-operative", mode: str = "formative", go: bool = True
    ) -> None:
        """A fresh attempt at a station, whatever was there before."""
        board = {each["id"]: each for each in json.loads(self.get("/board.json"))["stations"]}
        if board[station]["state"] in ("ready", "running", "paused"):
            self.post(f"/stations/{station}/end", {"why": "finished"})
        self.post("/board/gas", {"station": station, "gas": "oxygen"})
        self.post(f"/stations/{station}/start", {"case": case, "mode": mode, "form": "a", "go": go})

    def act(self, station: str, act: str, on: str | None = None, **values: Any) -> dict[str, Any]:
        """Log one act as the instructor and return its receipt."""
        said = {"act": act, "values": values} | ({"on": on} if on else {})
        return self.post(f"/stations/{station}/acts", {"acts": [said]})["receipts"][0]

    def clock(self, station: str, do: str, **how: Any) -> None:
        self.post(f"/stations/{station}/clock", {"do": do, **how})

    def join_address(self, role: str, station: str) -> str:
        """The address behind the code image of a role's card."""
        page = self.get("/codes")
        section = next(part for part in page.split("<section") if f'id="card-{station}"' in part)
        for words, address in re.findall(r"<h3>(.*?)</h3>.*?opens (\S+)\"", section, re.DOTALL):
            if CARD[words] == role:
                return self.url + "/join/" + address.rpartition("/")[2]
        raise AssertionError(f"there is no card of {role} for {station}")


class Screens:
    """Browsers of their own for the people of a test, and what their consoles complained of."""

    def __init__(self, browser: "Browser", lab: RunningLab) -> None:
        self._browser = browser
        self._lab = lab
        self._contexts: list[BrowserContext] = []
        self.complaints: list[str] = []
        self.expected: list[str] = []

    def __call__(
        self,
        role: str,
        station: str = "s1",
        path: str | None = None,
        size: tuple[int, int] = DESK,
        **how: Any,
    ) -> "Page":
        """Open a page as somebody: joined by code, or the instructor at this computer."""
        context = self._browser.new_context(viewport={"width": size[0], "height": size[1]}, **how)
        context.set_default_timeout(20_000)
        self._contexts.append(context)
        page = context.new_page()
        page.on("console", lambda said: self._heard(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda problem: self._heard(str(problem)))
        if role != "instructor":
            page.goto(self._lab.join_address(role, station))
        page.goto(self._lab.url + (path or PATHS[role].format(station)))
        return page

    def _heard(self, words: str) -> None:
        self.complaints.append(words)

    def close(self) -> list[str]:
        """Close everything; return the complaints that nobody expected."""
        for context in self._contexts:
            context.close()
        return [words for words in self.complaints if not any(part in words for part in self.expected)]


@pytest.fixture(scope="session")
def chromium() -> Iterator["Browser"]:
    """The computer's own Chromium."""
    playwright = pytest.importorskip(
        "playwright.sync_api", reason="the library that drives a browser is not installed"
    )
    found = path_of("chromium") or shutil.which("google-chrome")
    if found is None:
        pytest.skip("no Chromium is installed here; install it, or name one in TIDALBAY_CHROMIUM")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=CHROMIUM_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def lab(tmp_path_factory: pytest.TempPathFactory, chromium: "Browser") -> Iterator[RunningLab]:
    """One lab for all tests that do not stop it; they begin attempts of their own."""
    running = RunningLab(tmp_path_factory.mktemp("lab"))
    yield running
    running.close()


@pytest.fixture
def own_lab(tmp_path: Path, chromium: "Browser") -> Iterator[RunningLab]:
    """A lab for one test alone, which may stop it."""
    running = RunningLab(tmp_path)
    yield running
    running.close()


def _screens(chromium: "Browser", lab: RunningLab) -> Iterator[Screens]:
    screens = Screens(chromium, lab)
    yield screens
    assert screens.close() == []


@pytest.fixture
def screen(chromium: "Browser", lab: RunningLab) -> Iterator[Screens]:
    """Opens screens in the common lab."""
    yield from _screens(chromium, lab)


@pytest.fixture
def own_screen(chromium: "Browser", own_lab: RunningLab) -> Iterator[Screens]:
    """Opens screens in the test's own lab."""
    yield from _screens(chromium, own_lab)


@pytest.fixture
def settled() -> Callable[["Page", Callable[[], Any]], Any]:
    """Waits until something holds, for what comes over the socket and not from the page."""

    def wait(page: "Page", holds: Callable[[], Any], within_s: float = 15.0) -> Any:
        until_s = time.monotonic() + within_s
        while time.monotonic() < until_s:
            found = holds()
            if found:
                return found
            page.wait_for_timeout(100)
        raise AssertionError(f"it did not come about within {within_s:g} s")

    return wait


@pytest.fixture
def expect() -> Any:
    """Playwright's patient assertions; a busy computer is slow, not wrong."""
    from playwright.sync_api import expect

    expect.set_options(timeout=20_000)
    return expect
