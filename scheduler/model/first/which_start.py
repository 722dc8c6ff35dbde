"""Which start suits a season: delivery by delivery, on paper, or a steady week laid over it."""

from scheduler.farm.calendar import WEEK
from scheduler.farm.crops import StageKind
from scheduler.model.first.cycle import unsteadiness
from scheduler.model.options.frame import Frame, Wish
from scheduler.model.search.incumbent import Incumbent

UNSTEADY = 0.05
"""Part of what is wanted that is off the usual from which a steady week tells little of a season."""

MOST_SHORT = 0.12
"""Part of firm deliveries that a first plan may be short of to be gone on from in an unsteady season."""

LEFT_OUT = 0.05
"""Part of firm deliveries, by weight, that a plan delivery by delivery may leave out and be a start."""

TIMES_SHORT = 2
"""Times as many firm units that a plan delivery by delivery is short of where a paper is gone on from."""


def suits_paper(season: Frame, first: Incumbent | None) -> bool:
    """Say whether a plan on paper may be far better than one delivery by delivery, and than a week."""
    fills_most = first is not None and first.part_short(1) <= MOST_SHORT
    return leaves_out_much(season) or (is_unsteady(season) and not fills_most)


def is_unsteady(season: Frame) -> bool:
    """Say whether no week of a season is like another."""
    return unsteadiness(season, 2 * WEEK) > UNSTEADY


def leaves_out_much(season: Frame) -> bool:
    """Say whether a plan delivery by delivery leaves out much: mixes, and crops of trays and of beds."""
    firm = [wish for wish in season.wishes if wish.level == 1]
    left_out = sum(wish.amount * wish.weight for wish in firm if not _is_on_rafts(season, wish))
    return left_out > LEFT_OUT * sum(wish.amount * wish.weight for wish in firm)


def _is_on_rafts(season: Frame, wish: Wish) -> bool:
    """Say whether a wish is of a plain product that some crop on rafts can be."""
    product = season.farm.products[wish.product]
    crops = (season.farm.crops[crop] for crop in product.sources)
    return not product.parts and any(crop.finish.kind is StageKind.RAFT for crop in crops)


def is_better_off(first: Incumbent) -> bool:
    """Say whether a season is better gone on with from a plan delivery by delivery than from a steady week.

    That is where no week is like another and the plan fills most; it has to have all that is grown: beds
    are in it only where there are many rows.
    """
    chosen = first.built.chosen
    if chosen.options.bed_sets or first.part_short(1) > MOST_SHORT:
        return False
    return is_unsteady(chosen.frame)


def is_far_better(paper: Incumbent, first: Incumbent) -> bool:
    """Say whether a plan on paper is gone on from: where one delivery by delivery is far worse."""
    if paper.score >= first.score:
        return False
    few = paper.units_short(1) * TIMES_SHORT <= first.units_short(1)
    return few or leaves_out_much(paper.built.chosen.frame)
