"""What may go into a demand: the product it asks for, and those that may stand in for it."""

from collections.abc import Mapping
from typing import Protocol

from scheduler.farm.farm import Demand, Farm


class Wanted(Protocol):
    """Anything that asks for a product and may take others for it."""

    @property
    def products(self) -> tuple[str, ...]:
        """The product asked for, then those that may stand in for it."""


def crops_for(farm: Farm, wanted: Wanted) -> list[str]:
    """Return the crops that may go into what is wanted, those of the product asked for first."""
    return list(dict.fromkeys(crop for name in wanted.products for crop in farm.products[name].sources))


def reach_of(wanted: Wanted, reach: Mapping[str, int | None]) -> int | None:
    """Return the first day on which any product that may go into what is wanted can be delivered.

    ``reach`` is product -> first day, as :func:`scheduler.farm.orders.reach.earliest_reach` gives it.
    """
    return min((day for name in wanted.products if (day := reach[name]) is not None), default=None)


def prices(demand: Demand) -> dict[str, int]:
    """Return hundredths of money for one unit of each product that may go into a demand."""
    return {demand.product: demand.price} | {each.product: each.price for each in demand.substitutes}
