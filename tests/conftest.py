"""What holds for all tests, and one driver of browsers for a whole run, since there can be but one."""

import gc
import os
from collections.abc import Iterator

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright
from web_kit import PATIENCE, browser_here

os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
"""Commands that run in a process of their own keep their bytecode, as an installation does: the code is compiled
once, not at each start."""

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
"""Each worker has one core: threads of its own would only wait for each other."""

gc.set_threshold(100_000, 20, 20)
"""By the usual 700, up to a seventh of the processor time of tests goes into searches for garbage."""

expect.set_options(timeout=PATIENCE)


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    """Playwright; without Chromium the test is skipped, and says so."""
    if browser_here() is None:
        pytest.skip("no Chromium on this machine: install the package `chromium` to test in a browser")
    os.environ.setdefault("PLAYWRIGHT_SKIP_VALIDATE_HOST_REQUIREMENTS", "1")
    with sync_playwright() as found:
        yield found
