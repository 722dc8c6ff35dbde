"""How large a model may be for each way of searching it.

Before a model is written its size is counted in steps, possible cuts times bundles of rows; afterwards in
variables.
"""

from scheduler.model.options.options import Options
from scheduler.model.options.pools import Bundle

SMALL_BOOK = 1_500
"""Up to so many steps every way of raising a crop is looked at: a book is solved whole, a plan is taken up
and the limit of a steady week is looked for with every choice there is."""

SMALL_QUESTION = 600
"""Up to so many steps a season is searched whole for each delivery that is explained."""

LARGEST_TAKEN_UP = 60_000
"""Up to so many steps every way is looked at where a plan to be taken up has one that is usually left out."""

SMALL_WHOLE, MEDIUM_WHOLE, LARGEST_WHOLE = 30_000, 20_000, 60_000
"""Up to so many steps a small book and a larger one that is short is looked at in every way; and any, where
nothing else is left to be looked at."""

MOST_VARIABLES = 45_000
"""Up to so many variables a model is solved as one for what is still short in it: several copies are at work
then."""

PICKS_A_STEP = 4
"""Pickings that make a model as large as one possible cut does: they follow from their planting."""


def steps_of(options: Options, bundles: tuple[Bundle, ...]) -> int:
    """Return the possible cuts of some options, times bundles of rows: how large a model of them would be."""
    steps = sum(len(option.cuttings) for option in options.raft_sets)
    in_trays = sum(len(out.cuts) for out in options.tray_outs)
    picks = sum(len(option.picks) for option in options.bed_sets)
    return steps * len(bundles) + in_trays + picks // PICKS_A_STEP
