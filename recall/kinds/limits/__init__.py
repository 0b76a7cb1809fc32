"""Limits: layouts, amounts, labels, readings, checks."""
