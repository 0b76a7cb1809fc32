"""The pages, in the order of the navigation: a module each, with its `routes`."""

from importlib import import_module
from importlib.util import find_spec

_PLAN = "plan" if find_spec("numpy") else "elsewhere"
"""Inside a browser there is no numpy, and so no plan is made there."""
_NAMES = (
    *("today", "review", "oral", "topics", _PLAN, "supplies", "settings"),
    *("point", "notes", "class_", "devices", "handover", "hand_in", "picture"),
)
PAGES = tuple(import_module(f"{__name__}.{name}") for name in _NAMES)
WAYS = ("today", "review", "oral", "topics", "plan", "supplies", "settings")
"""Addresses in the navigation, which says them as they are. `notes` and `class` stand there too where notes are being
written, and where a class hands in."""
