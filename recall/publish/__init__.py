"""Revisions that are handed on, study sheets, and exports in open formats."""
