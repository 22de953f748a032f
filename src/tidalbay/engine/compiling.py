"""Which copy of the kernel runs: the plain one at once, the compiled one as soon as it is ready.

Both give the same digits, so a run may change from one to the other between any two calls.
"""

import hashlib
import os
import sys
import threading
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

import tidalbay.engine.layout as at
from tidalbay.engine.kernel import advance
from tidalbay.engine.patient import Patient
from tidalbay.science.controls import Controls
from tidalbay.science.jit import compiled

PLAIN_ONLY = "TIDALBAY_PLAIN"  # set to 1: never compile (coverage, tracing, mutation)
CACHE = "TIDALBAY_CACHE"  # where the compiled model is kept

_ready: Callable[..., tuple[int, int]] | None = None
_lock = threading.Lock()


@cache
def source_digest() -> str:
    """Hash of every source that the compiled kernel is made from; also the engine's version in logs."""
    package = Path(__file__).parents[1]
    digest = hashlib.sha256()
    for path in sorted([package / "units.py", *package.glob("science/*.py"), *package.glob("engine/*.py")]):
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()


def cache_folder() -> Path:
    """Folder of the compiled model: in the user's cache, one for each state of the sources.

    The compiler's own cache does not notice an edited function in another file, so the folder's
    name carries the hash of all of them, and the versions of interpreter and compiler.
    """
    if CACHE in os.environ:
        base = Path(os.environ[CACHE])
    elif sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home())) / "Tidalbay"
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches" / "tidalbay"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache")) / "tidalbay"
    # The compiler keys by the files' path and time as well: another copy of them is another model.
    here = hashlib.sha256(str(Path(__file__).resolve()).encode()).hexdigest()[:8]
    return base / f"model-{source_digest()[:16]}-{here}-{sys.implementation.cache_tag}"


def is_kept() -> bool:
    """Whether a compiled model for these sources lies in the cache already."""
    return any(cache_folder().rglob("*.nbi"))


def is_compiled() -> bool:
    """Whether this process runs the compiled model by now."""
    return _ready is not None


def current() -> Callable[..., tuple[int, int]]:
    """The kernel to call now."""
    return _ready or advance


def compile_now() -> None:
    """Make the compiled model ready, from the cache where it is kept; a few seconds where not.

    An unwritable cache folder costs the keeping, not the compiling.
    """
    global _ready
    if os.environ.get(PLAIN_ONLY) == "1":
        return
    with _lock:
        if _ready is not None:
            return
        folder: Path | None = cache_folder()
        try:
            cache_folder().mkdir(parents=True, exist_ok=True)
        except OSError:
            folder = None
        twin = compiled(advance, folder)
        _warm(twin)
        _ready = twin


def compile_in_background() -> threading.Thread:
    """Start compiling beside a run that has begun with the plain kernel."""
    thread = threading.Thread(target=compile_now, name="compile the model", daemon=True)
    thread.start()
    return thread


def _warm(twin: Callable[..., Any]) -> None:
    """Compile for the argument types that runs use, by advancing nobody by nothing."""
    twin(
        np.zeros(at.STATE_SIZE),
        Patient(),
        Controls(),
        0,
        -1.0,
        np.empty((1, at.N_SECOND_COLUMNS)),
        np.empty((1, at.N_BREATH_COLUMNS)),
    )
