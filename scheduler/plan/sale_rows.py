"""Rows of what is sold at outlets; see :mod:`scheduler.plan.rows`."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleRow:
    """Heads of one lot's cut that are sold at an outlet on a day."""

    outlet: str
    product: str
    day: int
    crop: str
    lot: str
    cut_day: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletRow:
    """What an outlet sells of a product on a day: units, and hundredths of money that they bring."""

    outlet: str
    product: str
    day: int
    units: int
    takings: int
    reported: bool
