"""Coroutines in tests."""

import asyncio
from collections.abc import Coroutine
from typing import Any, TypeVar

Got = TypeVar("Got")


def awaited(wanted: Coroutine[Any, Any, Got]) -> Got:
    """What a coroutine gives. Playwright, once started, leaves a loop that stands still in this thread: it counts as
    one that runs, and no other could."""
    still = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    try:
        return asyncio.run(wanted)
    finally:
        asyncio._set_running_loop(still)
