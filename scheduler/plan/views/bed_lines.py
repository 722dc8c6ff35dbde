"""Lines of a work sheet at the beds: setting in, picking, and pulling out."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.bed_tally import growing_plantings, thrown_plantings
from scheduler.plan.views.bed_spots import bed_spot
from scheduler.plan.views.ledger import Ledger, holdings_of
from scheduler.plan.views.lines import Picking, PullingOut, SettingIn
from scheduler.plan.views.nursery_lines import Dated, leaving
from scheduler.plan.views.trough_lines import for_whom

_Key = tuple[int, str, str]
"""Day, lot, bed."""


def bed_lines(ledger: Ledger) -> Iterator[Dated]:
    """Yield setting in, picking and pulling out: one line for each lot, day and bed."""
    if not ledger.plan.plantings:
        return
    found = growing_plantings(ledger.farm, ledger.plan)
    yield from _set_in(ledger, [row for row in ledger.plan.plantings if row.planting not in found])
    yield from _picked(ledger)
    yield from _pulled_out(ledger)


def _set_in(ledger: Ledger, plantings: Sequence[PlantingRow]) -> Iterator[Dated]:
    together: dict[_Key, list[PlantingRow]] = defaultdict(list)
    for row in plantings:
        together[row.enters, row.lot, row.bed].append(row)
    for (day, lot, bed), rows in together.items():
        emptied = leaving(ledger, ledger.lots[lot], "tray", day, {row.from_day for row in rows})
        line = SettingIn(
            lot=lot,
            crop=ledger.lots[lot].crop,
            plants=sum(row.plants for row in rows),
            sources=ledger.stacks(lot, holdings_of(emptied), day, begins=True),
            bed=bed_spot(ledger, bed, rows),
        )
        yield day, "plant", line


def _picked(ledger: Ledger) -> Iterator[Dated]:
    plantings = {row.planting: row for row in ledger.plan.plantings}
    together: dict[_Key, list[PickingRow]] = defaultdict(list)
    for row in ledger.plan.pickings:
        planting = plantings.get(row.planting)
        if planting is not None:
            together[row.day, planting.lot, planting.bed].append(row)
    whom = for_whom(ledger)
    for (day, lot, bed), rows in together.items():
        where = [plantings[row.planting] for row in rows]
        heads, takers = sum(row.heads for row in rows), whom[day, lot, bed]
        line = Picking(
            lot=lot,
            crop=ledger.lots[lot].crop,
            bed=bed_spot(ledger, bed, where),
            plants=sum(row.plants for row in where),
            heads=heads,
            numbers=tuple(sorted({row.number for row in rows})),
            whom=takers,
            spare=heads - sum(each.heads for each in takers),
        )
        yield day, "pick", line


def _pulled_out(ledger: Ledger) -> Iterator[Dated]:
    together: dict[_Key, list[PlantingRow]] = defaultdict(list)
    thrown = {row.planting for row in thrown_plantings(ledger.farm, ledger.plan)}
    for row in ledger.plan.plantings:
        if row.planting not in thrown:
            together[row.leaves, row.lot, row.bed].append(row)
    for (day, lot, bed), rows in together.items():
        line = PullingOut(
            lot=lot,
            crop=ledger.lots[lot].crop,
            bed=bed_spot(ledger, bed, rows),
            plants=sum(row.plants for row in rows),
            free=max(row.free for row in rows),
        )
        yield day, "clear", line
