"""What the rows of beds come to: work, and which plantings were there on the first day."""

from collections.abc import Iterator

from scheduler.farm import work
from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import Plan


def bed_work(farm: Farm, plan: Plan) -> Iterator[tuple[int, str, str, int]]:
    """Setting in, picking and clearing; what is pulled out on the first day without a picking can wait."""
    crop_of = {lot.lot: farm.crops[lot.crop] for lot in plan.lots}
    plantings = {row.planting: row for row in plan.plantings}
    found = growing_plantings(farm, plan)
    for row in plan.pickings:
        planting = plantings[row.planting]
        crop = crop_of[planting.lot]
        yield row.day, "pick", crop.name, planting.plants * work.pick_per_plant(crop)
    thrown = {row.planting for row in thrown_plantings(farm, plan)}
    for name, planting in plantings.items():
        crop = crop_of[planting.lot]
        if name not in found:
            yield planting.enters, "plant", crop.name, planting.plants * work.set_in_bed_per_plant(crop)
        if name not in thrown:
            yield planting.leaves, "clear", crop.name, planting.plants * work.clear_per_plant(crop)


def thrown_plantings(farm: Farm, plan: Plan) -> list[PlantingRow]:
    """Return the plantings found on the first day that are pulled out on it without a picking."""
    found, picked = growing_plantings(farm, plan), {row.planting for row in plan.pickings}
    return [
        row
        for row in plan.plantings
        if row.planting in found and row.planting not in picked and row.leaves == farm.today
    ]


def growing_plantings(farm: Farm, plan: Plan) -> dict[str, Growing]:
    """Return the plantings that stood in a bed on day 0, with the growing entry each belongs to."""
    entries = {
        (entry.lot, entry.place, entry.since, entry.order): entry
        for entry in farm.growing
        if entry.stage is StageKind.BED
    }
    found = {}
    for row in plan.plantings if entries else ():
        positions = positions_in(row.positions) or [0]
        entry = entries.get((row.lot, row.bed, row.enters, min(positions)))
        if entry is not None and row.from_day is None:
            found[row.planting] = entry
    return found
