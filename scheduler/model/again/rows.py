"""Bundles of rows in which the rafts of an earlier plan stand in order."""

from itertools import groupby

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.model.first.line_up import has_many_rows
from scheduler.model.options.pools import Bundle, bundles_of
from scheduler.plan.earlier import Earlier


def bundles_for(farm: Farm, before: Earlier) -> tuple[Bundle, ...]:
    """Return the bundles of a farm, or each row by itself where rafts of the plan before would have to wait.

    Which rows go together follows from what stands in them and what is closed, so it may be otherwise than
    for the plan before: then rafts of two rows, each in order, are none in one bundle. One that keeps its
    slot for longer than before takes room that the plan before has for others.
    """
    bundles = bundles_of(farm)
    if farm.rules.lift_out or has_many_rows(farm) or all(_fits(farm, each, before) for each in bundles):
        return bundles
    return bundles_of(farm, len(farm.places_of(PlaceKind.LANE)))


def _fits(farm: Farm, bundle: Bundle, before: Earlier) -> bool:
    """Say whether no raft of a bundle has to wait for another row's longer than the plan before lets it.

    What stands in several of its rows on the first day is in one order there, which no plan knew.
    """
    places = {place.name for place in bundle.places}
    if len(places) < 2:
        return True
    if len({row.place for row in farm.growing} & places) > 1:
        return False
    rafts: dict[str, tuple[int, int, int]] = {}
    for (_, item), rows in before.held.items():
        for held in rows:
            if item == "raft" and held.place in places and held.unit.leaves >= farm.today:
                rafts[held.unit.unit] = held.unit.enters, held.unit.emptied, held.unit.leaves
    latest = farm.today
    for _, entered in groupby(sorted(rafts.values()), key=lambda raft: raft[0]):
        for _, emptied, leaves in sorted(entered, key=lambda raft: raft[1]):
            latest = max(latest, emptied)
            if latest > leaves:
                return False
    return True
