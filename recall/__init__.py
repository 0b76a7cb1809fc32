"""Knowledge that a crew member must hold exact: notes into cards, reviews, a plan for the checkride."""

__version__ = "0.1.0"
