"""Rows of a plan about beds: what stands in which positions, and what is picked of it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantingRow:
    """Plants of one lot in one bed, from the day they are set in to the day their positions are free again.

    ``positions`` names them: ``1-12, 15``. ``from_day`` is the day the plants entered the stage before, None
    when not known. They are pulled out on the day ``leaves``, and cleaned up after until ``free``.
    """

    planting: str
    lot: str
    bed: str
    positions: str
    plants: int
    from_day: int | None
    enters: int
    leaves: int
    free: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PickingRow:
    """One picking of one planting.

    ``number`` is 1 for the first picking of these plants; ``heads`` are pieces, or grams of a crop that is
    sold by mass, that can be sold.
    """

    planting: str
    day: int
    number: int
    heads: int
