"""Knowledge that a crew member must hold exact: notes into cards, reviews, a plan for the checkride."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # of many small arrays, threads cost more than they bring

__version__ = "0.1.0"
