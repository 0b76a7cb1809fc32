"""The pages, in the order of the navigation: a module each, with its `routes`."""

from importlib import import_module
from importlib.util import find_spec
from types import ModuleType

from recall.web.pages import (
    class_,
    devices,
    hand_in,
    handover,
    notes,
    oral,
    picture,
    point,
    review,
    settings,
    supplies,
    today,
    topics,
)

plan = import_module("recall.web.pages." + ("plan" if find_spec("numpy") else "elsewhere"))
"""Inside a browser there is no numpy, and so no plan is made there."""

PAGES: tuple[ModuleType, ...] = (
    *(today, review, oral, topics, plan, supplies, settings),
    *(point, notes, class_, devices, handover, hand_in, picture),
)
WAYS = ("today", "review", "oral", "topics", "plan", "supplies", "settings")
"""Addresses in the navigation, which says them as they are. `notes` and `class` stand there too where notes are being
written, and where a class hands in."""
