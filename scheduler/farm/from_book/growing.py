"""What stands in trays, on boards and rafts and in beds on the first day, against what can stand there."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Equipment, Growing
from scheduler.farm.from_book.bed_rows import first_positions
from scheduler.farm.from_book.days import Season
from scheduler.farm.from_book.found_slots import first_slots
from scheduler.farm.from_book.places import Layout
from scheduler.farm.from_book.together import FoundRow, check_together, first_of_each, raft_ranks
from scheduler.farm.growth.stages import may_stand
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import WHOLE_SHARE


def build_growing(
    book: Book,
    season: Season,
    layout: Layout,
    farm: tuple[Mapping[str, Crop], Mapping[str, Equipment], int],
    log: FaultLog,
) -> tuple[Growing, ...]:
    """Return what grows on day 0: trays and boards as in the book, then rafts from the harvest end.

    ``farm`` holds its crops, its equipment, and the first day on which anything is moved. Ranks of rafts
    count from 1 in every row.
    """
    crops, equipment, today = farm
    rows = [row for row in book.rows("growing") if row.text("crop") in crops]
    checker = _Checker(season, layout, log)
    found = [one for row in rows if (one := checker.take(row, crops[row.text("crop")]))]
    check_together(found, layout, log)
    units = first_of_each(found)
    _check_room(units, layout, max(today, 1), log)
    _check_owned(units, equipment, log)
    _check_domes(units, (crops, equipment), season, log)
    names = _lot_names([one.row for one in found], season, crops, log)
    ranked = _ranked(found, layout, log)
    return tuple(_growing(one, names[one.row.number], rank, season) for one, rank in ranked)


@dataclass(frozen=True, slots=True)
class _Checker:
    """Checks one row at a time."""

    season: Season
    layout: Layout
    log: FaultLog

    def take(self, row: Row, crop: Crop) -> FoundRow | None:
        """Return a row with its stage and place; None when either is unknown."""
        stage = crop.stage(StageKind(row.text("stage")))
        if stage is None:
            route = " > ".join(part.kind for part in crop.route)
            expected = f"a stage of '{crop.name}', which goes {route}"
            self.log.add(row.cell("stage"), f"'{row.text('stage')}'", expected, "unknown-stage")
            return None
        self._check_dates(row, crop, stage)
        self._check_plants(row, stage)
        self._check_part(row, crop, stage)
        in_bed = stage.kind is StageKind.BED
        place = self._bed(row) if in_bed else self._place(row, stage.kind, crop)
        return FoundRow(row, stage, place) if place else None

    def _place(self, row: Row, kind: StageKind, crop: Crop) -> str | None:
        name, layout = row.text("place"), self.layout
        if kind is StageKind.TRAY:
            expected = "a shelf or one of its tiers"
            tiers = [
                place
                for place in layout.places
                if place.kind is PlaceKind.TIER and name in (place.name, place.belongs_to)
            ]
            if len({place.keeps for place in tiers}) > 1:
                expected = f"one of its tiers, such as '{tiers[0].name}', for some of them are kept"
            elif any(may_stand(crop, place) for place in tiers):
                return name
            elif tiers:
                expected = f"a tier that is not kept for other trays than those of '{crop.name}'"
        elif kind is StageKind.BOARD:
            if name in layout.zones or name in layout.zones.values():
                return layout.zones.get(name, name)
            expected = "a trough with a board zone"
            if re.sub(r" [0-9]+$", "", name) in layout.zones:
                expected = f"'{re.sub(r' [0-9]+$', '', name)}': boards are not told apart by row"
        else:
            lanes = layout.lanes_named(name)
            if len(lanes) == 1:
                return lanes[0]
            expected = (
                f"one of its rows, such as '{lanes[0]}'" if lanes else "a row of a trough that holds rafts"
            )
        if not layout.is_refused(name):
            self.log.add(row.cell("place"), f"'{name}' for a {kind}", expected, "wrong-place")
        return None

    def _bed(self, row: Row) -> str | None:
        name = row.text("place")
        if name in self.layout.beds:
            return name
        if not self.layout.is_refused(name):
            self.log.add(row.cell("place"), f"'{name}' for a bed", "the name of a bed", "wrong-place")
        return None

    def _check_dates(self, row: Row, crop: Crop, stage: Stage) -> None:
        since, last_cut = row.date("since"), row.date_or_none("last_cut")
        first_day, done = self.season.first_day, row.whole("cuts_done")
        if since > first_day:
            self.log.add(
                row.cell("since"), str(since), f"the first day of the plan, {first_day}, or before", "future"
            )
        if not crop.ends_in(stage.kind) and (done or last_cut):
            column = "cuts_done" if done else "last_cut"
            expected = "pickings in beds only" if crop.picking else "cuts of rafts only"
            self.log.add(row.cell(column), f"a cut in a {stage.kind}", expected, "bad-cuts")
        elif done >= crop.cuts and crop.picking is None:
            expected = f"at most {crop.cuts - 1}, for '{crop.name}' is cut {crop.cuts} times in all"
            if crop.cuts == 1:
                expected = f"0, for '{crop.name}' is cut once: {stage.kind}s that were cut are gone"
            self.log.add(row.cell("cuts_done"), f"cuts_done {done}", expected, "bad-cuts")
        elif done and last_cut is None:
            self.log.add(row.cell("last_cut"), "a blank cell", "the day of the last cut", "blank")
        elif last_cut and not done:
            self.log.add(
                row.cell("last_cut"), f"{last_cut} and no cut done", "blank, or cuts_done", "bad-cuts"
            )
        elif last_cut and not since <= last_cut <= first_day:
            expected = f"a day from {since} (since) to {first_day}"
            self.log.add(row.cell("last_cut"), str(last_cut), expected, "bad-cuts")

    def _check_part(self, row: Row, crop: Crop, stage: Stage) -> None:
        """Only of what is cut where it stands rounding leaves a part of a head; in beds it is of a week."""
        if not row.number_of("part_heads") or (stage.kind is crop.finish.kind is not StageKind.BED):
            return
        found = f"{float(row.number_of('part_heads')):g} of plants in a {stage.kind}"
        expected = f"0 or a blank cell, for '{crop.name}' is not cut there"
        if stage.kind is StageKind.BED:
            expected = "0 or a blank cell, for what is picked in a bed is counted week by week"
        self.log.add(row.cell("part_heads"), found, expected, "no-part")

    def _check_plants(self, row: Row, stage: Stage) -> None:
        plants, units = row.whole("plants"), row.whole("units")
        if stage.kind is StageKind.BED:
            if plants > units:
                expected = f"at most one in each of the {units} positions (units)"
                self.log.add(row.cell("plants"), f"{plants} plants", expected, "too-many-plants")
            return
        most = units * stage.plants_per_unit
        if stage.unit and plants > most:
            expected = f"at most {most}: {units} of '{stage.unit}' with {stage.plants_per_unit} each"
            self.log.add(row.cell("plants"), f"{plants} plants", expected, "too-many-plants")
        if units > plants:
            self.log.add(
                row.cell("units"),
                f"{units} for {plants} plants",
                "at least one plant in each",
                "too-many-units",
            )


def _check_room(found: list[FoundRow], layout: Layout, until: int, log: FaultLog) -> None:
    """More units than slots on some day before ``until`` are a fault at the row that goes over."""
    tiers_of = {shelf: list(tiers) for shelf, tiers in layout.shelves.items()}
    groups: dict[str, list[str]] = {place.name: [place.name] for place in layout.places}
    groups.update(tiers_of)
    for group, names in groups.items():
        inside = [one for one in found if one.place in (group, *names)]
        parts = [place.slots for place in layout.places if place.name in names]
        slots = sum(min(steps.on(day) for day in range(until)) for steps in parts)
        if group in tiers_of and all(one.place != group for one in inside):
            continue  # each tier is checked by itself
        used = 0
        for one in inside:
            used += one.units
            if used > slots:
                what = f"{used} {one.stage.kind}s in '{group}'"
                when = "on the first day"
                if slots < sum(steps.on(0) for steps in parts):
                    when = "that stay open until anything can be moved"
                log.add(one.row.cell("units"), what, f"at most its {slots} slots {when}", "no-room")
                break


def _check_owned(found: list[FoundRow], equipment: Mapping[str, Equipment], log: FaultLog) -> None:
    used: dict[str, int] = defaultdict(int)
    for one in found:
        unit = equipment.get(one.stage.unit)
        if unit is None:
            continue
        before, used[unit.name] = used[unit.name], used[unit.name] + one.units
        if before <= unit.owned < used[unit.name]:
            found_text = f"{used[unit.name]} of '{unit.name}' in use"
            log.add(one.row.cell("units"), found_text, f"at most the {unit.owned} owned", "not-owned")


def _check_domes(
    found: list[FoundRow],
    farm: tuple[Mapping[str, Crop], Mapping[str, Equipment]],
    season: Season,
    log: FaultLog,
) -> None:
    """More trays under domes on day 0, or with domes being washed, than there are domes are a fault."""
    crops, equipment = farm
    domes = [kind for kind in equipment.values() if kind.item == "dome"]
    owned, wash = sum(kind.owned for kind in domes), max((kind.wash_days for kind in domes), default=0)
    used = 0
    for one in found if domes else ():
        days = crops[one.row.text("crop")].handling.dome_days
        if one.stage.kind is not StageKind.TRAY or not days:
            continue
        before = used
        if season.day(one.row.date("since")) + days + wash > 0:
            used += one.units
        if before <= owned < used:
            found_text = f"{used} domes in use or being washed for trays of the first day"
            log.add(one.row.cell("units"), found_text, f"at most the {owned} owned", "not-owned")


def _lot_names(
    rows: list[Row], season: Season, crops: Mapping[str, Crop], log: FaultLog
) -> dict[int, tuple[str, str]]:
    """Return row number -> lot code, and the code as it is told.

    Equal codes get a number behind them. A code that a sowing from the first day on would get is a fault.
    """
    names: dict[int, tuple[str, str]] = {}
    taken = {crop.lot_on(season.first_day) for crop in crops.values()}
    codes = {crop.code for crop in crops.values()}
    for row in rows:
        given = row.text("lot")
        if match := re.fullmatch(r"([A-Z]{2,4})-([0-9]{6})", given):
            later = match.group(2) >= f"{season.first_day:%y%m%d}"
            if match.group(1) in codes and later:
                expected = f"another code: a lot sown on that day of the plan will be called {given}"
                log.add(row.cell("lot"), f"'{given}'", expected, "lot-taken")
        code = given or crops[row.text("crop")].lot_on(row.date("since"))
        name, number = code, 1
        while name in taken:
            number += 1
            name = f"{code}-{number}"
        taken.add(name)
        names[row.number] = name, code
    return names


def _ranked(found: list[FoundRow], layout: Layout, log: FaultLog) -> Iterable[tuple[FoundRow, int]]:
    """Yield trays and boards by slot, then rafts by rank in their row, plants in beds by position."""
    slotted = [one for one in found if one.stage.kind in (StageKind.TRAY, StageKind.BOARD)]
    yield from zip(slotted, first_slots(slotted, layout, log), strict=True)
    for place in layout.places:
        if place.kind is PlaceKind.BED:
            here = [one for one in found if one.place == place.name]
            firsts = first_positions([one.row for one in here], place, log)
            yield from zip(here, firsts, strict=True)
        if place.kind is not PlaceKind.LANE:
            continue
        rafts = [one for one in found if one.stage.kind is StageKind.RAFT and one.place == place.name]
        orders = [one.row.whole_or_none("order") for one in rafts]
        _check_orders(rafts, orders, log)
        if all(order is not None for order in orders):
            rafts.sort(key=lambda one: one.row.whole_or_none("order") or 0)
        yield from raft_ranks(rafts)


def _check_orders(rafts: list[FoundRow], orders: list[int | None], log: FaultLog) -> None:
    given = [order for order in orders if order is not None]
    for at, (one, order) in enumerate(zip(rafts, orders, strict=True)):
        cell = one.row.cell("order")
        if order is None and given:
            log.add(
                cell, "a blank cell", f"an order for all rafts of '{one.place}' or for none", "mixed-order"
            )
        elif order is not None and order in orders[:at]:
            first = rafts[orders.index(order)]
            if one.together and one.together == first.together:
                continue
            other = first.row.cell("order")
            log.add(
                cell,
                f"order {order} again in '{one.place}'",
                f"one of its own ({other} has it)",
                "double-order",
            )


def _growing(one: FoundRow, names: tuple[str, str], rank: int, season: Season) -> Growing:
    row, (lot, code) = one.row, names
    last_cut, not_before = row.date_or_none("last_cut"), row.date_or_none("not_before")
    return Growing(
        lot=lot,
        crop=row.text("crop"),
        stage=one.stage.kind,
        place=one.place,
        since=season.day(row.date("since")),
        plants=row.whole("plants"),
        units=one.units,
        order=rank,
        cuts_done=row.whole("cuts_done"),
        last_cut=None if last_cut is None else season.day(last_cut),
        not_before=None if not_before is None else season.day(not_before),
        together=one.together,
        batch=code,
        part_heads=int(row.number_of("part_heads") * WHOLE_SHARE),
    )
