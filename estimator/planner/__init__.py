"""How to cut parts from sheets with the fewest sheets, and how few there can be.

Stands alone: nothing of the rest of the package is imported. From the ground up:

parts, grid         the input; exact lengths as whole numbers on a grid
columns, blocks     a cutting pattern as a nest of counts, and what of it can be exchanged
pattern, tidying    a pattern with positions; plans made pleasant to cut
tuning              every number that was settled by trial, with its reason
bound/              dual values and the lower bound: column generation and its pricing problem
search/             whole sheets: moves, the schedule of moves, two searches beside each other
companion           a second process
cutting, mixes      what the rest of the package calls
"""
