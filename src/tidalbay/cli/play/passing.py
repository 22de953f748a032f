"""Time passing: a run drawn as it goes at a pace that eyes can follow, or gone through at once."""

import sys
import time
from math import floor
from typing import TYPE_CHECKING, Final

from tidalbay.cli.paper import draws_finely
from tidalbay.cli.play.plot import COARSE, FINE
from tidalbay.cli.play.scene import Sheet, happening, scene
from tidalbay.cli.play.telling import Watch, clock
from tidalbay.cli.refusals import WrongInFile

if TYPE_CHECKING:
    from rich.live import Live

    from tidalbay.ask import Playing
    from tidalbay.case import Case

FRAME_S: Final = 0.1
WHOLE_S: Final = 10.0  # how long a run takes on a terminal unless another pace is asked for
LEAST_TIMES: Final = 6.0  # a short run still goes six times as fast as the clock
LONGEST_JUMP_S: Final = 0.5  # of real time: a computer that was busy does not skip ahead


def through(playing: "Playing", until_s: float) -> None:
    """Run to the end; where that takes long, say on a terminal how far it has come. [s]"""
    began, said = time.monotonic(), False
    while playing.t_s < until_s:
        advance(playing, min(until_s, playing.t_s + 60.0))
        if sys.stderr.isatty() and time.monotonic() - began > 1.0:
            sys.stderr.write(f"\r{clock(playing.t_s)} of {clock(until_s)} ")
            sys.stderr.flush()
            said = True
    if said:
        sys.stderr.write("\r" + " " * 24 + "\r")


def advance(playing: "Playing", until_s: float) -> None:
    """Let time pass, or stop with a sentence at what hands could not do. [s]"""
    from tidalbay.equipment import ActRefused

    try:
        playing.run_to(until_s)
    except ActRefused as error:
        at = clock(playing.t_s)
        raise WrongInFile(
            f"At {at}, hands could not do what the script says: {error} Nothing later was played."
        ) from None


def live(playing: "Playing", case: "Case", pace: float | None) -> None:
    """Draw a run on the terminal while its time passes.

    Parameters
    ----------
    pace : float or None
        How many times as fast as the clock; None takes about ten seconds for the whole run.
    """
    from rich.console import Console
    from rich.live import Live

    until_s = 60.0 * playing.minutes
    times = pace if pace is not None else max(LEAST_TIMES, until_s / WHOLE_S)
    with Live(
        console=Console(highlight=False),
        auto_refresh=False,
        redirect_stdout=False,
        redirect_stderr=False,
        vertical_overflow="crop",
    ) as page:
        advance(playing, min(until_s, 1.0))  # a page needs a second to show
        watch = Watch(playing, case)
        drawn, wanted_s, before = _draw(page, watch, playing, case, 0), 0.0, time.monotonic()
        while playing.t_s < until_s:
            time.sleep(max(0.0, before + FRAME_S - time.monotonic()))
            now = time.monotonic()
            wanted_s += times * min(now - before, LONGEST_JUMP_S)
            before = now
            if floor(wanted_s) > playing.t_s or wanted_s >= until_s:
                advance(playing, min(until_s, float(floor(wanted_s))) if wanted_s < until_s else until_s)
                drawn = _draw(page, watch, playing, case, drawn)


def _draw(page: "Live", watch: Watch, playing: "Playing", case: "Case", drawn: int) -> int:
    """Put what happened above the page and the page as it is now; return how much has been told."""
    from rich.text import Text

    console, until_s = page.console, 60.0 * playing.minutes
    told = watch.told()
    for each in told[drawn:]:
        console.print(Text(happening(each, console.width)))
    sheet = Sheet(console.width, console.height, FINE if draws_finely() else COARSE)
    lines = scene(playing.trace(), told, case, until_s, min(playing.t_s, until_s), sheet)
    page.update(Text("\n".join(lines), no_wrap=True), refresh=True)
    return len(told)
