"""Trays, boards and rafts that several growing rows stand in together, each with its own plants."""

from scheduler.farm.farm import Farm, Growing
from scheduler.farm.units import ceil_div


def mates(farm: Farm, index: int) -> tuple[int, ...]:
    """Return the growing rows that stand in the units of a row, itself included, in the order of the farm."""
    name = farm.growing[index].together
    if not name:
        return (index,)
    return tuple(at for at, row in enumerate(farm.growing) if row.together == name)


def carrier(farm: Farm, index: int) -> int:
    """Return the row that stands for the units of a row where units are counted: the first of its mates."""
    return mates(farm, index)[0]


def batch_of(farm: Farm, index: int) -> int:
    """Return the first of the growing rows that are one lot with a row: their plants go on as one.

    They are told in several rows for they stand in several places, or not alike in them.
    """
    row = farm.growing[index]
    if not row.batch:
        return index
    same = (row.batch, row.crop, row.stage, row.since)
    rows = enumerate(farm.growing)
    return next(at for at, other in rows if (other.batch, other.crop, other.stage, other.since) == same)


def is_carrier(farm: Farm, index: int) -> bool:
    """Say whether a row is the first, or the only one, in its units: others are not counted again."""
    return carrier(farm, index) == index


def carriers(farm: Farm) -> list[Growing]:
    """Return the growing rows whose units together are all that stand on the first day, each once."""
    return [row for index, row in enumerate(farm.growing) if is_carrier(farm, index)]


def plants_beside(farm: Farm, row: Growing) -> int:
    """Return the plants of all rows that stand in the units of a row, its own included."""
    if not row.together:
        return row.plants
    return sum(other.plants for other in farm.growing if other.together == row.together)


def found_per_unit(farm: Farm, row: Growing) -> int:
    """Return the most plants one unit of a growing row holds, those of all rows that share it."""
    return ceil_div(plants_beside(farm, row), row.units)


def part_heads_of(farm: Farm, lot: str, since: int, number: int) -> int:
    """Return what rounding left over for a cut of what came into its stage on a day, in ten thousandths.

    It counts with the next cut of what stands on the first day, and with no other.
    """
    rows = (row for row in farm.growing if (row.lot, row.since, row.cuts_done + 1) == (lot, since, number))
    return sum(row.part_heads for row in rows)


def part_heads(farm: Farm, index: int, number: int) -> int:
    """Return what rounding left over for a cut of a growing row, in ten thousandths; -1 is no such row."""
    if index < 0 or farm.growing[index].cuts_done + 1 != number:
        return 0
    return farm.growing[index].part_heads


def standing(farm: Farm, index: int) -> tuple[int, int]:
    """Return the units of a row, and the plants of all rows that stand in them."""
    return farm.growing[index].units, plants_beside(farm, farm.growing[index])
