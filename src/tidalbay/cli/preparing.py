"""The compiled model: used where it is kept, made beside a run that has begun, or made on request."""

import contextlib
import threading
import time
from typing import Final

from tidalbay.cli.paper import talk

LONG_RUN_S: Final = 3600.0  # patient time from which compiling pays within the run
PATIENCE_S: Final = 3.0  # fetching what is kept takes half a second; longer means that it is made anew


def begin_fetching() -> threading.Thread | None:
    """Fetch the kept model beside other work; None where none is kept."""
    from tidalbay.engine import is_kept

    return _started() if is_kept() else None


def compile_first() -> None:
    """Make the compiled model ready before work that runs a case several times over."""
    from tidalbay.engine import is_kept

    if not is_kept():
        talk("Preparing the model, once.")
    _compile_quietly()


def wait_for(thread: threading.Thread | None) -> None:
    """Wait until the kept model is there, but not for long: the plain one gives the same digits."""
    if thread is None:
        return
    thread.join(PATIENCE_S)
    if thread.is_alive():
        talk("The model is being prepared anew; starting without waiting for it.")


def compile_beside(
    thread: threading.Thread | None, patient_s: float, has_time: bool
) -> threading.Thread | None:
    """Start the compiler beside a run that has begun, where that costs less than it saves.

    Parameters
    ----------
    thread : Thread or None
        What `begin_fetching` started.
    patient_s : float
        How much patient time is to be run; the plain model runs some eight hundred seconds a second. [s]
    has_time : bool
        Whether the run is shown at a pace that leaves time to compile.
    """
    if thread is None and (has_time or patient_s >= LONG_RUN_S):
        return _started()
    return thread


def _started() -> threading.Thread:
    thread = threading.Thread(target=_compile_quietly, name="compile the model", daemon=True)
    thread.start()
    return thread


def _compile_quietly() -> None:
    """Compile; where that fails (a damaged cache, say) the plain model goes on and nobody is disturbed."""
    from tidalbay.engine import compile_now

    with contextlib.suppress(Exception):
        compile_now()


def keep(thread: threading.Thread | None) -> None:
    """Let a compiler that is nearly done finish, so that the next run finds its work."""
    if thread is None or not thread.is_alive():
        return
    talk("Keeping the prepared model for next time: some seconds more. Ctrl-C leaves at once.")
    try:
        thread.join()
    except KeyboardInterrupt:
        talk("\nLeft without it; the next run begins it again.")


def prepare() -> None:
    """Compile the model once and keep it, with a word before and the seconds after."""
    from tidalbay.engine import cache_folder, compile_now, is_compiled, is_kept

    if is_kept():
        talk("The model is prepared already.")
        return
    talk("Preparing the model, once: about ten seconds.")
    began = time.perf_counter()
    compile_now()
    seconds = time.perf_counter() - began
    if is_kept():
        talk(f"Prepared in {seconds:.1f} s and kept.")
    elif is_compiled():
        talk(
            f"Prepared in {seconds:.1f} s, but it could not be kept: {cache_folder()} cannot be written. "
            "Name a folder that can be, in the variable TIDALBAY_CACHE."
        )
    else:
        talk("This run is told to use the plain model (TIDALBAY_PLAIN=1), so nothing was prepared.")
