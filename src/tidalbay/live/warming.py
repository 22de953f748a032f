"""The compiled model gets ready beside stations that have begun with the plain one."""

import asyncio
import os
import subprocess
import sys
from contextlib import suppress

from tidalbay.catalogue import acts
from tidalbay.catalogue.findings import finding_ladders
from tidalbay.catalogue.lab_faults import lab_faults
from tidalbay.catalogue.skin_sites import skin_contacts, stage_words
from tidalbay.engine import compile_now, is_compiled, is_kept

_COMPILE = "from tidalbay.engine import compile_now; compile_now()"


def read_catalogue() -> None:
    """Read the files that messages need, so that no station waits for one in the middle of a breath."""
    acts()
    finding_ladders()
    lab_faults()
    skin_contacts()
    stage_words(0)


async def compiled_soon() -> bool:
    """Have the model compiled without holding up any station; whether it is compiled in the end.

    Notes
    -----
    Compiling holds the interpreter for seconds, so it happens in a process of its own that leaves
    its result in the cache; here it is only read from there. Both models give the same digits, so
    that stations change over between two breaths.
    """
    if is_compiled():
        return True
    if not is_kept():
        with suppress(OSError):
            child = await asyncio.create_subprocess_exec(
                sys.executable,
                "-c",
                _COMPILE,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env={**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)},
            )
            try:
                await child.wait()
            except asyncio.CancelledError:
                with suppress(ProcessLookupError):
                    child.kill()
                await child.wait()
                raise
    if is_kept():
        await asyncio.to_thread(compile_now)
    return is_compiled()
