"""The lab on this computer: opened, told where it is, and put down in order when it is stopped."""

import asyncio
import contextlib
import gc
import io
import ipaddress
import os
import signal
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tidalbay.cli.paper import result, takes_all_letters, talk
from tidalbay.cli.refusals import CalledWrongly, Refusal

if TYPE_CHECKING:
    from tidalbay.live import Lab
    from tidalbay.web.network import Listeners

USUAL_PORT: Final = 8750
# Objects made before the young are searched for rubbish; searches before the next older ones are.
SEARCHED_AFTER: Final = (10_000, 20, 20)
SIX_STATIONS: Final = [(f"s{number}", f"Station {number}") for number in range(1, 7)]


class CannotServe(Refusal):
    """The lab cannot be opened here; the sentence says why, and what to write."""


@dataclass(frozen=True)
class Wishes:
    """What was asked for on the command line.

    Parameters
    ----------
    is_demonstration : bool
    host : str or None
        The address to open to; None for every one.
    port : int
    data : Path or None
        The data folder; None for the user's own.
    procedures : Path or None
        The folder of the school's own procedures.
    """

    is_demonstration: bool
    host: str | None
    port: int
    data: Path | None
    procedures: Path | None = None


def address(said: str) -> str:
    """Read the address that the room is opened at."""
    try:
        return str(ipaddress.IPv4Address(said.strip()))
    except ValueError:
        raise CalledWrongly(
            f"--host is {said!r}. Write a number address of this computer, such as 192.168.4.20;"
            " without --host the room is opened at every address there is."
        ) from None


def serve(wishes: Wishes) -> None:
    """Serve the lab until somebody stops it."""
    began_s = time.perf_counter()
    talk("Opening the lab.")
    from tidalbay.case.procedures import procedures
    from tidalbay.records import StoreError
    from tidalbay.web.network import CannotListen

    procedures(wishes.procedures)  # a fault in the folder is said before anything is opened
    try:
        asyncio.run(_serve(wishes, wishes.data or data_folder(), began_s))
    except (StoreError, CannotListen) as problem:
        raise CannotServe(str(problem)) from None


def data_folder() -> Path:
    """Return where the user's data is kept on this system."""
    if os.name == "nt":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
        return base / "Tidalbay"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "Tidalbay"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "tidalbay"


async def _serve(wishes: Wishes, folder: Path, began_s: float) -> None:
    from tidalbay.live import Lab
    from tidalbay.records import ActStore, LabStore
    from tidalbay.web import CaseShelf, app
    from tidalbay.web.network import Listeners

    listeners = Listeners(wishes.port, wishes.host, lambda changed: _tell_room(changed, codes))
    codes: list[str] = []
    acts = ActStore.open(folder)  # it holds the folder's lock, so it comes first
    store: LabStore | None = None
    lab: Lab | None = None
    try:
        store = LabStore.open(folder)
        rows = store.labs.stations()
        lab = Lab(
            acts, CaseShelf(school=wishes.procedures), [(row.id, row.title) for row in rows] or SIX_STATIONS
        )
        await lab.start(talk)
        made = app(lab, store, listeners, is_demonstration=wishes.is_demonstration)
        codes.append(made.state.door.afternoon.code_of(next(iter(lab.stations)), "learner"))
        notices = [acts.notice, *lab.notices]
        if wishes.is_demonstration:
            notices.append(await _demonstrate(lab))
        await listeners.start(made)
        has_password = store.settings.password_hash() is not None
        _tell_here(listeners, wishes, has_password, codes[0], folder, time.perf_counter() - began_s)
        if has_password and not wishes.is_demonstration:
            await listeners.open_room()
        for notice in filter(None, notices):
            talk(notice)
        _search_seldom()
        telling = asyncio.create_task(_tell_of_model())
        is_by_hand = await _stopped(listeners)
        telling.cancel()
    finally:
        talk("Closing the lab: what was confirmed is kept.")
        await listeners.stop()
        if lab is not None:
            await lab.close()
        else:
            acts.close()
        if store is not None:
            store.close()
    if is_by_hand:
        raise KeyboardInterrupt


async def _demonstrate(lab: "Lab") -> str | None:
    """Begin the demonstration; the sentence says why not, where it was not."""
    from tidalbay.web import demonstrate

    if await demonstrate(lab):
        return None
    station = next(iter(lab.stations.values()))
    return f"{station.title} holds an attempt already, so the demonstration was not begun there."


async def _tell_of_model() -> None:
    """Say when the prepared model has taken over; until then the plain one gives the same numbers."""
    from tidalbay.engine import is_compiled

    if is_compiled():
        return
    talk("Preparing the model beside it; stations run meanwhile, with the same numbers.")
    began_s = time.perf_counter()
    while not is_compiled():
        await asyncio.sleep(0.5)
    _search_seldom()
    talk(f"The model is prepared ({time.perf_counter() - began_s:.0f} s).")


def _search_seldom() -> None:
    """Have what the start has made, and what lives as long as the lab, searched for rubbish no more.

    A search of all of it holds every screen up for a tenth of a second, and judging makes many small things.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(*SEARCHED_AFTER)


async def _stopped(listeners: "Listeners") -> bool:
    """Wait until somebody stops the server; whether that was a hand at the keyboard."""
    stopped, signals = asyncio.Event(), []

    def stop(which: int) -> None:
        signals.append(which)
        stopped.set()

    for which in (signal.SIGINT, signal.SIGTERM):
        with contextlib.suppress(NotImplementedError):  # Windows: the interrupt ends the loop by itself
            asyncio.get_running_loop().add_signal_handler(which, stop, which)
    waits = (asyncio.ensure_future(stopped.wait()), asyncio.ensure_future(listeners.wait()))
    await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
    for wait in waits:
        wait.cancel()
    return signal.SIGINT in signals


# -- what is told ---------------------------------------------------------------------------


def _tell_here(
    listeners: "Listeners", wishes: Wishes, has_password: bool, code: str, folder: Path, seconds: float
) -> None:
    from tidalbay.web.people.code_words import spoken

    page = "/welcome" if wishes.is_demonstration else "/"
    result(f"The lab is open on this computer:  {listeners.here}{page}")
    result(f"Join code of the first station:    {spoken(code)}   at {listeners.here}/join")
    talk(f"Ready after {seconds:.1f} s. Data: {folder}")
    if not has_password and wishes.is_demonstration:
        talk("Only this computer can reach it. To let tablets in, set a password on its page /first.")
    elif not has_password:
        talk("Only this computer can reach it until its first page has a password.")
    elif wishes.is_demonstration:
        talk("Only this computer can reach it. Sign in and open the room on Today, or start without --demo.")
    talk("Ctrl-C closes the lab.")


def _tell_room(listeners: "Listeners", codes: list[str]) -> None:
    """Say where tablets find the lab, whenever that has changed."""
    from tidalbay.web.people.code_words import spoken

    if not listeners.addresses:
        talk("No network leads to this computer now; tablets come back when one does.")
        return
    for address in listeners.addresses:
        result(f"The room reaches it at:            http://{address}:{listeners.port}")
    if codes:
        image = _code_image(f"{listeners.room}/join/{codes[0]}")
        if image:
            result(f"\n{image}\nScan this to join the first station, or type  {spoken(codes[0])}")


def _code_image(address: str) -> str:
    """Return a code image in characters, or nothing where the terminal cannot draw it.

    Black and white are said outright, whatever colours the terminal has; two rows of squares to a line.
    """
    if not (sys.stdout.isatty() and takes_all_letters()):
        return ""
    import segno

    drawn = io.StringIO()
    segno.make(address, error="l", micro=False).terminal(drawn, border=3, compact=True)
    return "\n".join(f"\x1b[97;40m{line}\x1b[0m" for line in drawn.getvalue().rstrip("\n").split("\n"))
