"""Marks kernel arithmetic, and derives its compiled twin without touching the plain functions.

Every function of the model is ordinary Python and is used as such: it can be traced, covered
and stepped through.  `in_kernel` only remembers that a function belongs to the kernel.
`compiled` builds a second copy of a marked function, and of every marked function it calls, for
the compiler; the two give the same digits (docs/decisions/0003-a-breath-is-the-unit.md).
"""

from collections.abc import Callable
from pathlib import Path
from types import FunctionType
from typing import Any, TypeVar

Function = TypeVar("Function", bound=Callable[..., Any])

_marked: set[FunctionType] = set()

# Nobody calls the inner functions of a twin from outside, and the doors for that would take a third
# of the time in which it compiles.
INNER: Any = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}


def in_kernel(function: Function) -> Function:
    """Mark a function as kernel arithmetic; it is returned unchanged.

    A marked function uses only + - * / and `sqrt`, comparisons, and other marked functions that
    its module imported **by name**.  No `**`, no `math.exp`: those differ between C libraries.
    """
    _marked.add(function)  # type: ignore[arg-type]
    return function


def compiled(function: Function, cache_folder: Path | None) -> Function:
    """The compiled twin of a marked function, with the same digits.

    Parameters
    ----------
    function : a function marked with `in_kernel`
    cache_folder : folder or None
        Where the compiler keeps its result between processes; None keeps nothing.

    Notes
    -----
    Importing the compiler takes a fifth of a second, so it happens here and not at the top.
    """
    import numba

    twins: dict[FunctionType, Any] = {}

    def twin(plain: FunctionType) -> Any:
        if plain not in twins:
            names = dict(plain.__globals__)
            for name in plain.__code__.co_names:
                called = names.get(name)
                if isinstance(called, FunctionType) and called in _marked:
                    names[name] = twin(called)
            copy = FunctionType(plain.__code__, names, plain.__name__, plain.__defaults__)
            copy.__qualname__ = plain.__qualname__
            copy.__module__ = plain.__module__
            options = {"cache": cache_folder is not None} if plain is function else INNER
            twins[plain] = numba.njit(nogil=True, error_model="numpy", **options)(copy)
        return twins[plain]

    if cache_folder is not None:
        numba.config.CACHE_DIR = str(cache_folder)  # type: ignore[attr-defined]
    return twin(function)  # type: ignore[arg-type, no-any-return]
