"""Lines of a work sheet from the seed to the transplant boards."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise

from scheduler.plan.rows import ContentRow, LotRow
from scheduler.plan.views.ledger import Ledger, holdings_of
from scheduler.plan.views.lines import Care, Line, Moving, SettingOut, Soaking, Sowing

Dated = tuple[int, str, Line]
"""Day, kind of work, line."""


def nursery_lines(ledger: Ledger) -> Iterator[Dated]:
    """Yield soaking, sowing, uncovering, thinning, setting out on boards, and moves of trays and boards."""
    for lot in ledger.plan.lots:
        if lot.sown is not None:
            if lot.origin != "growing":
                yield from _sowing(ledger, lot, lot.sown)
            yield from _care(ledger, lot, lot.sown)
        yield from _boards(ledger, lot)
    yield from _moves(ledger)


def _sowing(ledger: Ledger, lot: LotRow, sown: int) -> Iterator[Dated]:
    crop = ledger.farm.crops[lot.crop]
    handling = crop.handling
    trays = list(ledger.held(lot.lot, "tray"))
    soaked = None
    if handling.soak_hours:
        soaked = max(sown - 1 if handling.soaks_overnight else sown, ledger.farm.today)
        soaking = Soaking(
            lot=lot.lot,
            crop=lot.crop,
            variety=crop.variety,
            seeds=lot.seeds,
            soak_hours=handling.soak_hours,
            sown=sown,
        )
        yield soaked, "soak", soaking
    line = Sowing(
        lot=lot.lot,
        crop=lot.crop,
        variety=crop.variety,
        targets=ledger.stacks(lot.lot, holdings_of(trays), sown, begins=False),
        units=len({row.unit for row in trays}),
        rows=sum(row.rows for row in trays),
        cells=lot.cells,
        seeds_per_cell=handling.seeds_per_cell,
        seeds=lot.seeds,
        soak_hours=handling.soak_hours,
        soaked=soaked,
        light_on=sown + handling.dark_days if handling.dark_days else None,
        domes_off=sown + handling.dome_days if handling.dome_days else None,
    )
    yield sown, "sow", line


def _care(ledger: Ledger, lot: LotRow, sown: int) -> Iterator[Dated]:
    """Uncovering and thinning, as far as the lot is still in its trays then."""
    handling = ledger.farm.crops[lot.crop].handling
    wanted = {("uncover", sown + after) for after in (handling.dark_days, handling.dome_days) if after} | {
        ("thin", sown + after) for after in (handling.thin_day,) if after
    }
    for work, day in sorted(wanted):
        trays = [row for row in ledger.held(lot.lot, "tray") if row.leaves > day]
        if trays and day >= ledger.farm.today:
            domes_off = work == "uncover" and day == sown + handling.dome_days
            kept = [tray for tray in trays if _dome_until(ledger, [tray], day)] if domes_off else []
            line = Care(
                lot=lot.lot,
                crop=lot.crop,
                light_on=work == "uncover" and day == sown + handling.dark_days,
                domes_off=domes_off,
                dome_until=_dome_until(ledger, kept, day),
                domed=ledger.stacks(lot.lot, holdings_of(kept), day, begins=False)
                if len(kept) < len(trays)
                else (),
                sources=ledger.stacks(lot.lot, holdings_of(trays), day, begins=False),
                units=len({row.unit for row in trays}),
                cells=sum(row.plants for row in trays),
            )
            yield day, work, line


def _dome_until(ledger: Ledger, trays: list[ContentRow], day: int) -> int | None:
    """Return the day after a day on which the last of some trays loses its dome for good, or None."""
    last = day
    for row in (each for tray in trays for each in ledger.inside[tray.unit]):
        handling = ledger.farm.crops[ledger.lots[row.lot].crop].handling
        last = max(last, min(row.enters + handling.dome_days, row.leaves))
    return last if last > day else None


def _boards(ledger: Ledger, lot: LotRow) -> Iterator[Dated]:
    """Setting out on boards: one line for each lot and day."""
    entering: dict[int, list[ContentRow]] = defaultdict(list)
    for row in ledger.held(lot.lot, "board"):
        if row.unit not in ledger.grown:
            entering[row.enters].append(row)
    for day, rows in entering.items():
        yield day, "transplant", setting_out(ledger, lot, day, rows, leaving(ledger, lot, "tray", day))


def leaving(
    ledger: Ledger, lot: LotRow, item: str, day: int, since: Iterable[int | None] = ()
) -> list[ContentRow]:
    """Return what a lot has in trays or boards that it leaves on a day to go on.

    ``since`` are days the plants came into them; where some match, only those are returned.
    """
    thrown = ledger.thrown.get(lot.lot, {}) if day == ledger.farm.today else {}
    left = ledger.left_behind.get((lot.lot, day), {})
    rows = [
        replace(row, plants=row.plants - thrown.get(row.unit, 0))
        for row in ledger.held(lot.lot, item)
        if row.leaves == day and row.unit not in left and row.plants > thrown.get(row.unit, 0)
    ]
    days = set(since)
    return [row for row in rows if row.enters in days] or rows


def setting_out(
    ledger: Ledger, lot: LotRow, day: int, rows: list[ContentRow], emptied: list[ContentRow]
) -> SettingOut:
    """Return the line of setting a lot out into units; ``emptied`` is where its plants come from."""
    return SettingOut(
        lot=lot.lot,
        crop=lot.crop,
        plants=sum(row.plants for row in rows),
        sources=ledger.stacks(lot.lot, holdings_of(emptied), day, begins=True),
        standing=sum(row.plants for row in emptied),
        cells=any(row.rows for row in emptied),
        targets=ledger.stacks(lot.lot, holdings_of(rows), day, begins=False),
        units=len({row.unit for row in rows}),
    )


def _moves(ledger: Ledger) -> Iterator[Dated]:
    for name, stands in ledger.stands.items():
        unit = ledger.units[name]
        if unit.item == "raft":
            continue
        for old, new in pairwise(stands):
            line = Moving(
                kind=unit.kind,
                item=unit.item,
                lots=tuple(dict.fromkeys(row.lot for row in ledger.inside[name])),
                source=ledger.spots([old])[0],
                target=ledger.spots([new])[0],
            )
            yield new.enters, "move", line
