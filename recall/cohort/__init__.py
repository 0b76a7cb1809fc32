"""What a class knows: hand-ins of trainees, gathered into one table of answers, and what is asked of it."""
