"""Tiers, rows and board zones of a book as places with slots on every day."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.from_book.beds import Bed, measure_beds
from scheduler.farm.from_book.days import START, Season, steps_of
from scheduler.farm.from_book.troughs import Trough, measure_troughs
from scheduler.farm.places import Keeps, Place, PlaceKind
from scheduler.farm.units import hundredths_up

SERVICE = ("first_day", "last_day")


@dataclass(frozen=True, slots=True)
class Taken:
    """Slots taken from first through last day; ``slots`` is None for every slot."""

    first: int
    last: int
    slots: int | None

    def on(self, day: int, whole: int) -> int:
        """Return the slots taken on a day, of ``whole``."""
        if not self.first <= day <= self.last:
            return 0
        return whole if self.slots is None else self.slots


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """All places, and the names by which a book may call them.

    Attributes:
        places: tiers, zones and lanes in the order of the book, then beds.
        troughs: trough name -> how it was measured.
        shelves: shelf name -> names of its tiers.
        lanes: trough name -> names of its rows that take rafts.
        zones: trough name -> name of its board zone, for troughs that have one.
        beds: bed name -> how it was measured.
        refused: troughs that have a fault themselves; nothing is said about what stands in them.
    """

    places: tuple[Place, ...]
    troughs: Mapping[str, Trough]
    shelves: Mapping[str, tuple[str, ...]]
    lanes: Mapping[str, tuple[str, ...]]
    zones: Mapping[str, str]
    refused: frozenset[str]
    beds: Mapping[str, Bed]

    def is_refused(self, name: str) -> bool:
        """Say whether this names a trough that has a fault, or a part of one."""
        return name in self.refused or re.sub(r" ([0-9]+|boards)$", "", name) in self.refused

    def owner_of(self, name: str) -> str | None:
        """Return the shelf, trough or bed of this name, or the trough whose board zone it is; else None."""
        if name in self.shelves or name in self.troughs or name in self.beds or name in self.refused:
            return name
        return next((trough for trough, zone in self.zones.items() if zone == name), None)

    def lanes_named(self, name: str) -> tuple[str, ...]:
        """Return the rows that a trough's or a row's name stands for; none when it is no such name."""
        if name in self.lanes:
            return self.lanes[name]
        return (name,) if any(name in rows for rows in self.lanes.values()) else ()


def _check_rests(book: Book, log: FaultLog) -> None:
    """Refuse rests where they can mean nothing: for boards, and where rafts hold several crops."""
    for row in book.rows("troughs"):
        if not row.whole("rest_days"):
            continue
        if row.text("holds") == "boards":
            log.add(row.cell("rest_days"), "a rest for boards", "0: only rows of rafts rest", "bad-rest")
        elif book.settings.yes("share_rafts"):
            expected = "0, or share_rafts no: a raft may hold several crops"
            log.add(row.cell("rest_days"), "a rest between crops", expected, "bad-rest")


def build_places(book: Book, season: Season, log: FaultLog) -> Layout:
    """Build every place of a book; what is wrong goes to the log."""
    troughs = measure_troughs(book, log)
    _check_rests(book, log)
    sound = len(log)
    refused = {row.text("trough") for row in book.rows("troughs")} - set(troughs)
    zones = _zones(book, season, troughs, log)
    if len(log) > sound:
        refused.update(row.text("trough") for row in book.rows("board_zones"))
    tiers = {row.text("shelf"): _tier_names(row) for row in book.rows("shelves")}
    beds = measure_beds(book, log)
    refused |= {row.text("bed") for row in book.rows("beds")} - set(beds)
    _check_names(book, tiers, troughs, log)
    closed = _closures(book, season, _Parts(tiers, troughs, zones, beds), log)
    places = [place for row in book.rows("shelves") for place in _tiers(row, season, closed, log)]
    for trough in troughs.values():
        places += _trough_places(trough, season, zones, closed)
    places += [_bed_place(bed, season, closed) for bed in beds.values()]
    return Layout(
        places=tuple(places),
        troughs=troughs,
        shelves=tiers,
        lanes={t.name: tuple(t.row_names()) for t in troughs.values() if not t.holds_boards},
        zones={place.belongs_to: place.name for place in places if place.kind is PlaceKind.ZONE},
        refused=frozenset(refused),
        beds=beds,
    )


def _tier_names(row: Row) -> tuple[str, ...]:
    return tuple(f"{row.text('shelf')} {number}" for number in range(1, row.whole("tiers") + 1))


def _check_names(
    book: Book, tiers: Mapping[str, tuple[str, ...]], troughs: Mapping[str, Trough], log: FaultLog
) -> None:
    """Refuse names that a shelf or trough would share with a tier, row or zone of another."""
    made: dict[str, str] = {}
    for shelf, names in tiers.items():
        made.update(dict.fromkeys(names, shelf))
    for trough in troughs.values():
        for name in (*trough.row_names(), trough.boards_name):
            made.setdefault(name, trough.name)
    for table, key in (("shelves", "shelf"), ("troughs", "trough"), ("beds", "bed")):
        for row in book.rows(table):
            owner = made.get(row.text(key))
            if owner is not None:
                expected = f"another name: a part of '{owner}' is called that"
                log.add(row.cell(key), f"'{row.text(key)}'", expected, "double-name")


def _zones(
    book: Book, season: Season, troughs: Mapping[str, Trough], log: FaultLog
) -> dict[str, list[Taken]]:
    """Return row name -> slots its boards take, and from when to when."""
    zones: dict[str, list[Taken]] = {}
    for row in book.rows("board_zones"):
        trough = troughs.get(row.text("trough"))
        if trough is None:
            continue  # the trough itself was refused
        if trough.holds_boards:
            expected = "a trough that holds rafts (this one holds boards in every slot)"
            log.add(row.cell("trough"), f"'{trough.name}'", expected, "bad-zone")
            continue
        slots = row.whole("slots_per_row")
        if slots >= trough.slots:
            expected = f"at most {trough.slots - 1}, so that a row of '{trough.name}' keeps a slot for a raft"
            log.add(row.cell("slots_per_row"), f"{slots} slots", expected, "zone-too-long")
            continue
        first, last = season.period(row)
        for name in _zone_rows(row, trough, log):
            taken = zones.setdefault(name, [])
            if any(first <= other.last and other.first <= last for other in taken):
                log.add(
                    row.cell("rows"),
                    f"a second board zone in {name}",
                    "one zone in a row at a time",
                    "zones-overlap",
                )
            else:
                taken.append(Taken(first, last, slots))
    return zones


def _zone_rows(row: Row, trough: Trough, log: FaultLog) -> list[str]:
    names = trough.row_names()
    if not row.words("rows"):
        return names
    return [names[number - 1] for number in _numbers(row, "rows", trough.rows, log)]


def _numbers(row: Row, column: str, most: int, log: FaultLog) -> list[int]:
    """Return the numbers of rows or tiers that a cell lists, each once; others go to the log."""
    what = "row" if column == "rows" else "tier"
    found = []
    for word in row.words(column):
        number = int(word) if re.fullmatch(r"[0-9]{1,4}", word) else 0
        if 1 <= number <= most:
            found.append(number)
        else:
            expected = f"{what} numbers from 1 to {most} with ; between"
            log.add(row.cell(column), f"'{word}'", expected, f"bad-{what}")
    return list(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class _Parts:
    """What a place's name may stand for: tiers by shelf, troughs, rows with board zones, and beds."""

    tiers: Mapping[str, tuple[str, ...]]
    troughs: Mapping[str, Trough]
    zones: Mapping[str, list[Taken]]
    beds: Mapping[str, Bed]


def _closures(book: Book, season: Season, parts: _Parts, log: FaultLog) -> dict[str, list[Taken]]:
    """Return tier, row or zone name -> slots closed there."""
    closed: dict[str, list[Taken]] = {}
    for row in book.rows("closures"):
        name = row.text("place")
        if not name:
            continue
        names = _parts_of(name, parts, row.cell("place"), log)
        slots = row.whole_or_none("slots")
        if slots is not None and len(names) > 1:
            expected = f"one of its parts, such as '{names[0]}', or blank slots to close them all"
            log.add(row.cell("place"), f"'{name}' with {slots} slots closed", expected, "bad-closure")
            continue
        first, last = season.period(row, end=season.day(row.date("from")))
        for part in names:
            closed.setdefault(part, []).append(Taken(first, last, slots))
        if slots is not None and names:
            _check_closed(row, slots, _slots_of(names[0], book, parts), log)
    return closed


def _check_closed(row: Row, slots: int, there: int, log: FaultLog) -> None:
    if slots > there:
        expected = f"at most the {there} of '{row.text('place')}'"
        log.add(row.cell("slots"), f"{slots} slots", expected, "too-many-slots")


def _parts_of(name: str, parts: _Parts, cell: Cell, log: FaultLog) -> list[str]:
    """Return the tiers, rows, zone or bed a place's name stands for."""
    tiers, troughs, zones = parts.tiers, parts.troughs, parts.zones
    if name in parts.beds:
        return [name]
    if name in tiers:
        return list(tiers[name])
    if name in troughs:
        return troughs[name].row_names()
    rows = [row for trough in troughs.values() for row in trough.row_names()]
    if name in rows or any(name in names for names in tiers.values()):
        return [name]
    for trough in troughs.values():
        if name == trough.boards_name and (
            trough.holds_boards or any(r in zones for r in trough.row_names())
        ):
            return [name]
        match = re.fullmatch(r"(.+) [0-9]+", name)
        if match and match.group(1) == trough.name:
            expected = f"'{trough.name} 1'" + (
                f" to '{trough.name} {trough.rows}'" if trough.rows > 1 else ""
            )
            log.add(cell, f"'{name}'", expected, "unknown-name")
            return []
    if name.endswith(" boards"):
        log.add(cell, f"'{name}'", "a trough with a board zone", "unknown-name")
    return []  # otherwise its trough was refused and told already


def _slots_of(name: str, book: Book, parts: _Parts) -> int:
    """Return the slots of a tier, row, zone or bed when nothing is closed."""
    if name in parts.beds:
        return parts.beds[name].positions
    troughs, zones = parts.troughs, parts.zones
    for trough in troughs.values():
        if name in trough.row_names():
            return trough.slots
        if name == trough.boards_name:
            if trough.holds_boards:
                return trough.rows * trough.slots
            return sum(
                max((t.slots or 0 for t in zones.get(row, [])), default=0) for row in trough.row_names()
            )
    return next(row.whole("trays_per_tier") for row in book.rows("shelves") if name in _tier_names(row))


def _tiers(row: Row, season: Season, closed: Mapping[str, list[Taken]], log: FaultLog) -> Iterable[Place]:
    first, last = season.period(row, SERVICE)
    trays = row.whole("trays_per_tier")
    kept = _kept_tiers(row, log)
    for number, name in enumerate(_tier_names(row), start=1):
        part = _Part(trays, first, last, (), closed.get(name, ()))
        tier = _place((name, row.text("shelf"), PlaceKind.TIER), [part])
        yield replace(tier, keeps=kept.get(number, Keeps.ALL))


def _kept_tiers(row: Row, log: FaultLog) -> dict[int, Keeps]:
    """Return the numbers of the tiers that are kept for some trays, and for which."""
    kept: dict[int, Keeps] = {}
    for keeps in (Keeps.NURSERY, Keeps.GREENS):
        cell = row.cell(f"{keeps}_tiers")
        for number in _numbers(row, f"{keeps}_tiers", row.whole("tiers"), log):
            if kept.setdefault(number, keeps) is not keeps:
                log.add(cell, f"tier {number} again", "each tier kept for one of the two", "kept-twice")
    return kept


def _bed_place(bed: Bed, season: Season, closed: Mapping[str, list[Taken]]) -> Place:
    first, last = season.period(bed.row, SERVICE)
    part = _Part(bed.positions, first, last, (), closed.get(bed.name, ()))
    place = _place((bed.name, bed.name, PlaceKind.BED), [part])
    return replace(place, clean_days=bed.row.whole("clean_days"))


@dataclass(frozen=True, slots=True)
class _Part:
    """Slots of one row or tier: how many, when in service, what zones and closures take."""

    whole: int
    first: int
    last: int
    zones: Iterable[Taken]
    closed: Iterable[Taken]

    def on(self, day: int) -> int:
        if not self.first <= day <= self.last:
            return 0
        taken = sum(zone.on(day, self.whole) for zone in self.zones)
        return max(0, self.whole - taken - sum(closure.on(day, self.whole) for closure in self.closed))

    def changes(self) -> set[int]:
        taken = [*self.zones, *self.closed]
        return {self.first, self.last + 1, *(t.first for t in taken), *(t.last + 1 for t in taken)}


def _place(names: tuple[str, str, PlaceKind], parts: list[_Part], closed: Iterable[Taken] = ()) -> Place:
    """Make a place of parts; ``closed`` are closures of the place as a whole."""
    name, owner, kind = names

    def slots(day: int) -> int:
        whole = sum(part.on(day) for part in parts)
        return max(0, whole - sum(closure.on(day, whole) for closure in closed))

    changes = {START}.union(*(part.changes() for part in parts))
    changes.update(day for closure in closed for day in (closure.first, closure.last + 1))
    return Place(name=name, belongs_to=owner, kind=kind, slots=steps_of(slots, changes))


def _trough_places(
    trough: Trough, season: Season, zones: Mapping[str, list[Taken]], closed: Mapping[str, list[Taken]]
) -> list[Place]:
    """Return the board zone of a trough, if it has one, and its rows of rafts."""
    first, last = season.period(trough.row, SERVICE)
    boards = [
        part for row in trough.row_names() for part in _board_parts(trough, row, (first, last), zones, closed)
    ]
    places = []
    if boards:
        names = (trough.boards_name, trough.name, PlaceKind.ZONE)
        places.append(_place(names, boards, closed.get(trough.boards_name, ())))
    if not trough.holds_boards:
        for row in trough.row_names():
            part = _Part(trough.slots, first, last, zones.get(row, ()), closed.get(row, ()))
            lane = _place((row, trough.name, PlaceKind.LANE), [part])
            minutes = hundredths_up(trough.row.number_of("rest_minutes"))
            places.append(replace(lane, rest=trough.row.whole("rest_days"), rest_minutes=minutes))
    return places


def _board_parts(
    trough: Trough,
    row: str,
    service: tuple[int, int],
    zones: Mapping[str, list[Taken]],
    closed: Mapping[str, list[Taken]],
) -> list[_Part]:
    """Return the board slots of one row.

    Where boards and rafts share a row, a closure of some slots takes raft slots, and one of the whole row
    takes the boards' slots as well.
    """
    if trough.holds_boards:
        return [_Part(trough.slots, *service, (), closed.get(row, ()))]
    whole = [closure for closure in closed.get(row, ()) if closure.slots is None]
    return [
        _Part(zone.slots or 0, max(service[0], zone.first), min(service[1], zone.last), (), whole)
        for zone in zones.get(row, ())
    ]
