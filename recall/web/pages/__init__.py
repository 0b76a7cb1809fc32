"""The pages, in the order of the navigation: a module each, with its `routes`."""

from types import ModuleType

from recall.web.pages import devices, oral, picture, review, settings, today
from recall.web.render import Way

PAGES: tuple[ModuleType, ...] = (today, review, oral, settings, devices, picture)
WAYS = (Way("today", "Today"), Way("review", "Review"), Way("oral", "Oral"), Way("settings", "Settings"))
