"""What everything stands on: findings, errors, clock, settings, text. Imports nothing of ours."""
