"""Quarantines, closures and rafts that only wait, as rows of the book's table ``closures``."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.records.entries import QUARANTINED
from scheduler.records.restricted import Restricted
from scheduler.records.state import Standing, State

HEADINGS = ("from", "to", "work", "place", "slots", "note")
NO_WORK = "none"

NEEDED = (
    "the plan does not cut it before, and may move or throw it away; hold it back by hand where it may not"
)
"""What a book can say of what is held back, and what it cannot: see :func:`held_back`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosureRow:
    """One row of the book's table; ``slots`` None closes every slot."""

    first: date
    last: date
    place: str
    slots: int | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Plants of a lot that may not be cut or moved through a day; ``last`` None while no end is known."""

    lot: str
    place: str
    last: date | None
    why: str


def closure_rows(farm: Farm, state: State, first_day: date, end: date | None = None) -> list[ClosureRow]:
    """Return what is closed from a day on, as the book's table tells it.

    Where something stands in a place that is closed on that day, only its free slots are closed: the book
    takes a place that is closed while units stand in it for a fault. A quarantine without an end is closed
    through ``end``, past the last day that is planned; that of the old book unless given.
    """
    rows: list[ClosureRow] = []
    for each in state.restricted:
        last = each.last or end or farm.calendar.date_of(farm.calendar.span)
        if each.places and last >= first_day:
            rows += _of_restriction(farm, state, each, (max(each.first, first_day), last, first_day))
    return [*rows, *_waiting(farm, state, first_day)]


def _of_restriction(
    farm: Farm, state: State, each: Restricted, days: tuple[date, date, date]
) -> Iterator[ClosureRow]:
    first, last, first_day = days
    why = f"{each.what}{': ' + each.note if each.note else ''} (entry {each.number})"
    for place in farm.places:
        if place.name not in each.places:
            continue
        slots = None
        standing = len(state.in_place(place.name))
        if standing and first == first_day:
            # of a bed the book closes the highest positions, so that those above all plants are free
            taken = max(unit.slot for unit in state.in_place(place.name)) if _is_bed(place) else standing
            slots = place.slots.on(farm.calendar.day_of(first)) - taken
        if slots is None or slots > 0:
            yield ClosureRow(first=first, last=last, place=place.name, slots=slots, note=why)


def _is_bed(place: Place) -> bool:
    return place.kind is PlaceKind.BED


def _waiting(farm: Farm, state: State, first_day: date) -> Iterator[ClosureRow]:
    """Yield a closed slot for each empty raft that waits, until the last good day of those ahead.

    On that day all of them leave, and others may take their slots.
    """
    for place in farm.places_of(PlaceKind.LANE):
        units = state.in_place(place.name)
        for at, unit in enumerate(units):
            if not unit.contents:
                ahead = [_last_good_day(farm, state, place, other) for other in units[:at] if other.contents]
                last = max(ahead, default=first_day) - timedelta(days=1)
                note = "an empty raft that waits for those ahead of it"
                if last >= first_day:
                    yield ClosureRow(first=first_day, last=last, place=place.name, slots=1, note=note)


def _last_good_day(farm: Farm, state: State, place: Place, unit: Standing) -> date:
    days = [
        farm.pace.last_day_within(
            place.belongs_to,
            farm.calendar.day_of(content.last_cut or unit.since),
            (crop.cut_interval if content.last_cut else crop.finish.days) + crop.finish.wait,
        )
        for content in unit.contents
        if (crop := farm.crops.get(state.lots[content.lot].crop)) is not None
    ]
    return farm.date_of(max(days, default=0))


def held_back(state: State, day: date) -> list[Held]:
    """Return what may not be cut or moved from a day on: treated plants, and all in quarantine.

    Of several reasons to hold the plants of a lot in a place back, the one that lasts longest is told.
    """
    found: dict[tuple[str, str], Held] = {}
    for unit in state.units:
        for content in unit.contents:
            if content.until is not None and content.until >= day:
                _hold(found, Held(lot=content.lot, place=unit.place, last=content.until, why="treated"))
    for each in state.restricted:
        if each.what != QUARANTINED or (each.last is not None and each.last < day):
            continue
        for unit in state.units:
            for content in unit.contents:
                if unit.place in each.places or content.lot == each.lot:
                    _hold(found, Held(lot=content.lot, place=unit.place, last=each.last, why=QUARANTINED))
    return list(found.values())


def _hold(found: dict[tuple[str, str], Held], new: Held) -> None:
    known = found.get((new.lot, new.place))
    if known is None or (known.last is not None and (new.last is None or new.last >= known.last)):
        found[new.lot, new.place] = new


def closure_cells(rows: list[ClosureRow]) -> list[list[str]]:
    """Return rows as text cells of the book's table, the heading first."""
    cells = [list(HEADINGS)]
    for row in rows:
        slots = "" if row.slots is None else str(row.slots)
        cells.append([row.first.isoformat(), row.last.isoformat(), NO_WORK, row.place, slots, row.note])
    return cells
