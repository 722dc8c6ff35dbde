"""A farm with more of something: the same farm, so that every plan of it stays one, and a little more."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from scheduler.farm.farm import Equipment, Farm
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.plan.relief import Grant, Limit

PLACES = {
    Limit.SHELF: PlaceKind.TIER,
    Limit.ZONE: PlaceKind.ZONE,
    Limit.ROW: PlaceKind.LANE,
    Limit.BED: PlaceKind.BED,
}
ITEMS = {Limit.TRAYS: "tray", Limit.BOARDS: "board", Limit.RAFTS: "raft", Limit.DOMES: "dome"}
FOREVER = 10**6


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """How much more of one limit: ``amount`` for each thing in ``only``, all there are where it is None.

    Places have it from ``first`` on; the crew on every work day from ``first`` through ``last``.
    """

    limit: Limit
    amount: int
    first: int
    last: int
    only: frozenset[str] | None = None


def relaxed(farm: Farm, mores: Iterable[More]) -> Farm:
    """Return the farm with more of some limits."""
    for more in mores:
        farm = _with(farm, more)
    return farm


def _with(farm: Farm, more: More) -> Farm:
    if more.limit in PLACES:
        kind = PLACES[more.limit]
        names = {p.name for p in farm.places_of(kind) if more.only is None or p.name in more.only}
        return with_slots(farm, dict.fromkeys(names, (more.amount, more.first, FOREVER)))
    if more.limit in ITEMS:
        kinds = [
            kind.name
            for kind in farm.equipment.values()
            if kind.item == ITEMS[more.limit] and (more.only is None or kind.name in more.only)
        ]
        return with_units(farm, dict.fromkeys(kinds, more.amount))
    if more.limit is Limit.COOLER:
        rooms = [each.name for each in farm.coolers if more.only is None or each.name in more.only]
        return with_crates(farm, dict.fromkeys(rooms, more.amount))
    if more.limit is Limit.HOURS:
        return with_minutes(farm, dict.fromkeys(range(more.first, more.last + 1), more.amount))
    if more.limit is Limit.ORDER:
        return with_lifting(farm)
    raise ValueError(more.limit)


def with_slots(farm: Farm, more: Mapping[str, tuple[int, int, int]]) -> Farm:
    """Return the farm with more slots of some places: name -> (slots, first day, day after the last).

    A place that is closed stays closed.
    """
    places = tuple(
        replace(place, slots=_raised(place, *more[place.name])) if place.name in more else place
        for place in farm.places
    )
    return replace(farm, places=places)


def _raised(place: Place, by: int, first: int, end: int) -> Steps:
    def raised(day: int) -> int:
        slots = place.slots.on(day)
        return slots + by if slots and first <= day < end else slots

    return Steps.of(raised, (*place.slots.changes(), first, *(day for day in (end,) if day < FOREVER)))


def with_units(farm: Farm, more: Mapping[str, int]) -> Farm:
    """Return the farm with more units owned of some kinds."""

    def of(kind: Equipment) -> Equipment:
        return replace(kind, owned=kind.owned + more.get(kind.name, 0))

    return replace(farm, equipment={name: of(kind) for name, kind in farm.equipment.items()})


def with_crates(farm: Farm, more: Mapping[str, int]) -> Farm:
    """Return the farm with room for more crates in some coolers."""
    coolers = (replace(each, crates=each.crates + more.get(each.name, 0)) for each in farm.coolers)
    return replace(farm, coolers=tuple(coolers))


def with_minutes(farm: Farm, more: Mapping[int, int]) -> Farm:
    """Return the farm with more hundredths of a minute on some days; days with none left stay so."""
    hands = farm.hands
    crew = farm.crew
    if crew is None or hands is None:
        return farm
    days = (*crew.changes(), *hands.changes(), *more, *(day + 1 for day in more))
    raised = Steps.of(lambda day: crew.on(day) + (more.get(day, 0) if hands.on(day) else 0), days)
    return replace(farm, crew=raised)


def with_lifting(farm: Farm) -> Farm:
    """Return the farm as if any raft could be cut and lifted out where it stands."""
    return replace(farm, rules=replace(farm.rules, lift_out=True))


def granted(farm: Farm, grants: Iterable[Grant]) -> Farm:
    """Return the farm with exactly what some grants of places, crates, units, hours or lifting give."""
    for grant in grants:
        first, last = grant.first or 0, grant.last if grant.last is not None else FOREVER
        if grant.limit in PLACES:
            farm = with_slots(farm, {grant.what: (grant.amount, first, last + 1)})
        elif grant.limit in ITEMS:
            farm = with_units(farm, {grant.what.split("; ")[0]: grant.amount})
        elif grant.limit is Limit.COOLER:
            farm = with_crates(farm, {grant.what: grant.amount})
        elif grant.limit is Limit.HOURS:
            farm = with_minutes(farm, dict.fromkeys(range(first, last + 1), grant.most))
        elif grant.limit is Limit.ORDER:
            farm = with_lifting(farm)
        else:
            raise ValueError(grant.limit)
    return farm
