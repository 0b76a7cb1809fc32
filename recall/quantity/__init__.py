"""A cell's text into exact quantities: numbers, ranges, tolerances, comparators, units, durations."""
