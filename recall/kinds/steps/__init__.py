"""Procedures: what reads as one, its steps, and what is critical in it."""
