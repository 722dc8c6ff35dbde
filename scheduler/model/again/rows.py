"""Bundles of rows in which the rafts of an earlier plan stand in order."""

from itertools import groupby

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.model.first.line_up import has_many_rows
from scheduler.model.options.pools import Bundle, bundles_of
from scheduler.model.variables.decide import HOLD_DAYS
from scheduler.plan.earlier import Earlier


def bundles_for(farm: Farm, before: Earlier) -> tuple[Bundle, ...]:
    """Return the bundles of a farm, or each row by itself where rafts of the plan before overtake others.

    Which rows go together follows from what stands in them and what is closed, so it may be otherwise than
    for the plan before: then rafts of two rows, each in order, are none in one bundle.
    """
    bundles = bundles_of(farm)
    if farm.rules.lift_out or has_many_rows(farm) or all(_in_order(bundle, before) for bundle in bundles):
        return bundles
    return bundles_of(farm, len(farm.places_of(PlaceKind.LANE)))


def _in_order(bundle: Bundle, before: Earlier) -> bool:
    """Say whether every raft of a bundle can wait, once it is empty, for all that were set in before it."""
    places = {place.name for place in bundle.places}
    if len(places) < 2:
        return True
    emptied: dict[str, tuple[int, int]] = {}
    for (_, item), rows in before.held.items():
        for held in rows:
            if item == "raft" and held.place in places and held.unit.enters >= 0:
                emptied[held.unit.unit] = held.unit.enters, held.unit.emptied
    latest = 0
    for _, rafts in groupby(sorted(emptied.values()), key=lambda raft: raft[0]):
        days = [day for _, day in rafts]
        if latest > min(days) + HOLD_DAYS:
            return False
        latest = max(latest, *days)
    return True
