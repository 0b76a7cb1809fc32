"""Blocks into points, points into cards, answers into right or wrong. One file a kind."""
