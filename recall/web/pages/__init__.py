"""The pages, in the order of the navigation: a module each, with its `routes`."""

from types import ModuleType

from recall.web.pages import (
    devices,
    notes,
    oral,
    picture,
    plan,
    point,
    review,
    settings,
    supplies,
    today,
    topics,
)
from recall.web.render import Way

PAGES: tuple[ModuleType, ...] = (
    *(today, review, oral, topics, plan, supplies, settings),
    *(point, notes, devices, picture),
)
WAYS = (
    Way("today", "Today"),
    Way("review", "Review"),
    Way("oral", "Oral"),
    Way("topics", "Topics"),
    Way("plan", "Plan"),
    Way("supplies", "Supplies"),
    Way("settings", "Settings"),
)
WRITING = Way("notes", "Notes")
"""Stands there where notes are being written."""
