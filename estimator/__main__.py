"""`python -m estimator` is the command `estimator`."""

from estimator.cli import main

main()
