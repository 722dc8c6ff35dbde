"""Positions of a bed as a spot of a work sheet, and those of what is thrown away on the first day."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from scheduler.farm.places import PlaceKind
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.bed_tally import growing_plantings
from scheduler.plan.positions import positions_in
from scheduler.plan.views.ledger import Ledger, Spot


def thrown_plantings(ledger: Ledger) -> Iterator[PlantingRow]:
    """Yield the plantings found on the first day that are pulled out on it without a picking."""
    found, picked = (
        growing_plantings(ledger.farm, ledger.plan),
        {row.planting for row in ledger.plan.pickings},
    )
    for row in ledger.plan.plantings:
        if row.planting in found and row.planting not in picked and row.leaves == ledger.farm.today:
            yield row


def thrown_beds(ledger: Ledger, lot: str) -> tuple[Spot, ...]:
    """Return where plants of a lot stood in beds that are thrown away on the first day."""
    rows: dict[str, list[PlantingRow]] = defaultdict(list)
    for row in thrown_plantings(ledger):
        if row.lot == lot:
            rows[row.bed].append(row)
    return tuple(bed_spot(ledger, bed, those) for bed, those in rows.items())


def bed_spot(ledger: Ledger, bed: str, rows: Sequence[PlantingRow]) -> Spot:
    """Return the positions of some plantings of one bed."""
    taken = {position for row in rows for position in positions_in(row.positions) or ()}
    return Spot(
        place=bed,
        owner=ledger.places[bed].belongs_to,
        kind=PlaceKind.BED,
        number=1,
        slots=tuple(sorted(taken)),
    )
