"""What a station has under way beside its clock, so that it ends with the station and not before."""

import asyncio
from collections.abc import Awaitable, Coroutine
from typing import Any, TypeVar

T = TypeVar("T")


class Errands:
    """Coroutines that are carried to their end, whether or not somebody still waits for them."""

    def __init__(self) -> None:
        """Begin with none."""
        self._under_way: set[asyncio.Future[Any]] = set()

    def run(self, coroutine: Coroutine[Any, Any, T]) -> "asyncio.Future[T]":
        """Have it done beside everything else."""
        task = asyncio.ensure_future(coroutine)
        self._under_way.add(task)
        task.add_done_callback(self._under_way.discard)
        return task

    async def whole(self, coroutine: Coroutine[Any, Any, T]) -> T:
        """Wait for it; it is done even if whoever asked has gone: what is on the disk must come to be."""
        return await _shielded(self.run(coroutine))

    async def finished(self) -> None:
        """Wait until none is under way."""
        if self._under_way:
            await asyncio.gather(*self._under_way, return_exceptions=True)


def _shielded(task: Awaitable[T]) -> "asyncio.Future[T]":
    return asyncio.shield(task)
