"""`python -m recall`."""

from recall.cli import main

main()
