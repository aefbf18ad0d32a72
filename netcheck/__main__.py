"""`python -m netcheck`."""

from netcheck.cli.main import main

main()
