"""A plan for a date, odds of passing, a draw for a mock oral. Pure computation."""
