"""The pages, in the order of the navigation: a module each, with its `routes`."""

from types import ModuleType

from recall.web.pages import today
from recall.web.render import Way

PAGES: tuple[ModuleType, ...] = (today,)
WAYS = (Way("today", "Today"),)
