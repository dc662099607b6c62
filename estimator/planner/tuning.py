"""Every number of the planner that was settled by trial, with the reason for it.

None of them can make a plan or a bound wrong; they decide how much is tried and in which order. The
trials were on the thirty-six made jobs of the tests (`python -m tests.benchmarks.planner_jobs`),
gcut1d to gcut12d and the demo.

Work is counted in points looked at (entries of the tables of a knapsack), so that a limit on it
means the same on every machine. Something that is not a table is counted as the points that would
have taken as long.
"""

from __future__ import annotations

from fractions import Fraction

# --- The solver of linear programmes ----------------------------------------------------------

SHARP = 1e-9
"""Of a sheet, by which a column in the programme may seem worth more than it costs. The solver's
usual tolerance lets pricing find again what is there already."""
LP_STEP_POINTS = 250
"""Points looked at while the solver works a row once: measured."""
LP_COLUMNS_PER_ROW = 30
"""Columns of the programme that take as long as a row, since few of them are looked at."""
LP_SETTING_UP = 50
"""Steps of the solver that take as long as putting a programme to it: measured."""

# --- Grids and knapsacks ------------------------------------------------------------------------

SPARSE = 3
"""Times the points of an axis to its capacity, above which they are looked up one by one."""
STRIDES = 16
"""Strides of a size along an axis. With fewer, points are looked at several times; with more, each
call does little."""
SMALL = 2**16
"""Entries of a table up to which calls take longer than its entries do."""

# --- The pricing problem ------------------------------------------------------------------------

SECTIONS_AT_ONCE = 512
"""Sections worked out side by side for a proof. More would be worked out in vain; of fewer the
patterns are poorer, and more programmes are solved."""
HOPEFUL_SHARE = 8
"""One in so many span points is worked out at a time where that is more than a batch."""
SHARED_LIMIT = 2
"""Neighbouring span points that share an upper limit: sharper costs more than it saves."""
TABLE = 2**19
"""Entries of a table at most, so that it stays in the processor's cache."""
ROUGH_CELLS = 2048
"""Of the breadth for upper limits: eight feet in sixteenths of an inch are not rounded at all."""
NEAR, REMEMBERED = 64, 112
"""Sections that came near in the last pricing and are remembered for the next, and those
remembered in all. Good ones come again; with fewer the linear programme is solved more often, with
more each pricing takes longer."""
COLUMNS_WANTED = 32
"""Columns from one pricing. Fewer make more programmes, more make them slow."""
TRACING_POINTS = 10_000
"""Points that take as long as the rest of pricing does per shape: measured."""
NEIGHBOUR_POINTS = 8
"""Points of neighbouring sections that take as long as one: measured."""

# --- Column generation --------------------------------------------------------------------------

BOUND_WORK = 8 * 10**8
"""Span points x breadth points priced before a bound that rounds up to the same will do."""
BOUND_NEAR = 2e-5
"""How near to the programme's value the bound must be then, growing with the work. Large jobs in
millimetres would go on for minutes for a ten-thousandth of a sheet."""
CLOSE = 2e-4
"""Of the programme's value: how near to it a bound at other counts is taken. The last proofs would
move the live bound by less than its margin is rounded up."""
NIL = 1e-5
"""Demand that stands in for none, so that the part has a dual value all the same."""
LEAST_SHARE = 10**5
"""So many parts without a dual value are worth a sheet: they are filled into sheets as well."""

# --- Exact enumeration for a few pieces ---------------------------------------------------------

HOLDINGS = 2**15
"""Selections of the pieces that can be gone through: a second or two."""
HOLDINGS_WORK = 10**9
"""Table entries that can be looked at: likewise."""

# --- Filling a single sheet ---------------------------------------------------------------------

FILLING_CELLS = 512
"""Of the breadth where sections are only compared."""
ROW_POINTS = 3000
"""Points that take as long as the calls for one row of them: measured."""
SPANS_TRIED = 24
"""Spans of the programme's sections that are tried beside the shapes' own."""
SHARE_AT_LEAST = 1e-3
"""In sheets: the weight in a random choice of a way of cutting that the programme does not use."""

# --- Recombining blocks -------------------------------------------------------------------------

GROUPS_KEPT, GROUPS_TRIED = 200, 800
"""Unfinished sheets that go on, and that are looked at for it: wider took longer for no more."""
RECOMBINING_CELLS = 1024
"""Of the room, for the limit on what a sheet may come to."""
SHEETS_WANTED = 20
"""Sheets by way of cutting and call."""

# --- The search for whole sheets ----------------------------------------------------------------

EFFORT_ROUNDS, EFFORT_NICETIES, EFFORT_WORK = 200, 6, 90 * 10**8
"""What a plan may take unless the caller says otherwise: twenty seconds, for the bound as well."""
FIRST_TURNS = 2
"""Turns without a second search in any case: most jobs are at their bound by then."""
ALONE = 10**8
"""Points looked at before a second search begins: about a quarter second, which is what a second
process takes to begin."""
SEEDS = 1, 2
"""Of the chance in the first search and in the second."""
WASTELESS = 0.99
"""Of a sheet's cost that a pattern's pieces are worth, from which on a fill takes it whole. With it
fills of the demo come to one sheet less on average, in a third of the time."""
LEFT_OUT = 0, 3
"""Sheets of the programme that a refill leaves out, from and to."""
LEFT_OUT_FOR_NICETY = 0, 2
"""The same when only fewer patterns are looked for."""
FULL_SHEETS_TOO = 1.02
"""Above 1, so that a sheet without waste can be left out as well, if seldom."""
PULL = 0.2, 0.6
"""Of the way, from and to, that a part's value goes towards its corrected one. At once would
swing, and a fixed share would come to the same fills again."""
LEAST_FULLNESS = 0.05
"""A sheet emptier than this corrects values as this one would, or one sheet would settle all."""
CHANGES = 15
"""Ruins and recreations in a turn."""
LOOSE = 0.5
"""Sheets between bound and target with which a flat dive is likely to do."""
COMBINED, COMBINED_BESIDES = 5, 100
"""Patterns per part, and more, that the whole-number programme can hold all at once."""
TIGHT = 0.01
"""Of a step of cost: with less to spare all patterns that could do differ little."""
COMBINED_NODES = 10
"""Nodes for all patterns met: it comes quickly or not at all."""
RESCUE_NODES = 200
"""Nodes of the programme that finds a plan where limited stock defeats the filling."""

# --- Diving -------------------------------------------------------------------------------------

OPENED = 12
"""Sheets of the programme left out at most before a dive; every other dive leaves out one more."""
DIVE_TRIES = 4
"""Sheets found in a pricing on a dive: the programme is small and asked often."""
DIVE_ROUNDS = 8
"""Rounds of finding patterns before the next sheets are fixed."""
DIVE_REPEATS = 3
"""Times in each round that blocks are recombined."""
DIVE_IDLE = 1
"""Rounds of a deep dive that may find nothing."""
BLUR, WIDE_BLUR = 0.1, 0.3
"""Of dual values: when nothing else is found, and when patterns are gathered for an end."""
GATHERED = 3
"""Sheets filled per way of cutting when patterns are gathered for the last sheets."""
FORK_GATHERINGS = 3
"""Times that patterns are gathered before all sheets from the fork on are made by one programme."""
LAST_NODES, FORK_NODES = 100, 500
"""Nodes of the programme for the last sheets, and for all sheets from the fork on."""
LOOKED_AHEAD = 12
"""Sheets looked ahead from before one is fixed."""
SHALLOW = 16
"""Sheets left, above which a piece in excess does no harm."""
EASE = 0.5
"""Sheets to spare with which no better patterns are looked for."""
AT_RANDOM = 0.03
"""Of a sheet: choices this close are settled by chance."""
HOPE = 0.05
"""Sheets by which the programme may overrate what is needed on the way."""
LIKELY, LIKELY_DEEP, LIKELY_BLUR = 0.2, 0.05, 0.3
"""Times in the programme from which a pattern is a candidate to be fixed, on a flat and on a deep
dive, and the chance added to them, so that dives from one fork differ."""
WAY_IN_USE = 0.01
"""In sheets of the programme: a way of cutting used less is not filled on a dive."""

# --- Ruin and recreate --------------------------------------------------------------------------

RUINED = (2, 3, 4)
"""Sheets taken out beside the emptiest."""
RUIN_BLURS = (0.0, 0.02, 0.05, 0.1)
"""Of dual values when they are filled again."""
GIVE = 0.02
"""Of a sheet, by which the emptiest may become fuller, on average."""

# --- Tidying ------------------------------------------------------------------------------------

PLENTY, PLENTY_PIECES = Fraction(1, 50), 3
"""Needless pieces, as a share of the demand and besides, that are worth a pattern of their own."""

# --- The live bound ------------------------------------------------------------------------------

HARDLY_SHORT = 1e-4
"""Of a candidate's own bound: no vector is added for less."""
BATCH_ROUNDS = 2
"""Turns of the search for a batch's sheets, which are for information only."""
SHARED_WORK = 5 * 10**7
"""Points looked at for the base demand's bound, above which a second process takes a share."""

# --- The second process -------------------------------------------------------------------------

ASKING = 0.1
"""Seconds between questions whether somebody said stop."""
