"""Procedures: what reads as one, and its steps."""
