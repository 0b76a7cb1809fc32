"""What holds for all tests."""

import os

os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
"""Commands that run in a process of their own keep their bytecode, as an installation does: the code is compiled
once, not at each start."""
