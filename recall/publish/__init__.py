"""Revisions, study sheets and exports in open formats, the same bytes every time."""
