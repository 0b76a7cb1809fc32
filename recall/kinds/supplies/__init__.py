"""Sources and loads: their names, and the lead of a list."""
