"""What holds for all tests, and one driver of browsers for a whole run, since there can be but one."""

import asyncio
import gc
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import suppress

import pytest
from hypothesis import settings
from playwright.sync_api import Playwright, expect, sync_playwright
from web_kit import PATIENCE, browser_here

os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
"""Tests, and commands that run in a process of their own, keep their bytecode, as an installation does: the code is
compiled once, not at each start. To rewrite what tests assert takes a third of the time of their collection."""

with suppress(OSError):
    _room = os.statvfs("/dev/shm")
    if not _room.f_flag & os.ST_NOEXEC and _room.f_bavail * _room.f_frsize > 2 << 30:
        os.environ.setdefault("TMPDIR", "/dev/shm")
        tempfile.tempdir = None
"""Stores and backups are forced to the disk with each answer, tens of thousands of times in a run: where there is
memory for the folders of tests, nothing waits for a disk. What a test kills is a process: it loses nothing there."""

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
"""Each worker has one core: threads of its own would only wait for each other."""

gc.set_threshold(100_000, 20, 20)
"""By the usual 700, up to a seventh of the processor time of tests goes into searches for garbage."""

expect.set_options(timeout=PATIENCE)

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
"""A busy machine is no fault of what is tested: no example has a time by which it must be done."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests in a browser wait much: they come first, so that one worker has them while others compute, and no worker
    waits for them in the end."""
    items.sort(key=lambda item: "driver" not in getattr(item, "fixturenames", ()))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Iterator[None]:
    """The driver's loop goes on in this thread for as long as there is one: to a test without it there is none."""
    runs = asyncio._get_running_loop()
    if "driver" not in getattr(item, "fixturenames", ()):
        asyncio._set_running_loop(None)
    try:
        return (yield)
    finally:
        asyncio._set_running_loop(runs)


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    """Playwright; without Chromium the test is skipped, and says so."""
    if browser_here() is None:
        pytest.skip("no Chromium on this machine: install `chromium-headless-shell` to test in a browser")
    os.environ.setdefault("PLAYWRIGHT_SKIP_VALIDATE_HOST_REQUIREMENTS", "1")
    with sync_playwright() as found:
        yield found
