"""The command line: it translates, and holds no rule of the trade."""
