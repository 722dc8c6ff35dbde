"""Heads that a demand has got, product by product, and the whole units they make, in all runs at once."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Demand, Product
from scheduler.farm.orders.mixes import heads_for, needs_of
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.stress.draws import Counts

Numbers = NDArray[np.int64]
"""Whole numbers, one for each run."""


class Parcel:
    """Heads of one product for one demand: of any of its crops, or of all parts of a mix.

    Attributes:
        product: the product.
        units: whole units they make.
    """

    def __init__(self, product: Product, amount: int, planned: Mapping[str, int], runs: int) -> None:
        """Begin with nothing; ``planned`` are the heads of each crop that the plan has for it."""
        self.product, self._amount = product, amount
        self.units: Numbers = np.zeros(runs, np.int64)
        self._heads: dict[str, Numbers] = {}
        self._needs = needs_of(product) if product.parts else []
        usual = heads_for(product, amount) if product.parts else {}
        self._usual = {crop: max(planned.get(crop, 0), heads) for crop, heads in usual.items()}
        self._most = {
            part.crop: ceil_div(amount * part.most * product.weight, WHOLE_SHARE * part.grams)
            for part in product.parts
        }

    def wanted(self, crop: str, missing: Numbers, *, stretched: bool) -> Numbers:
        """Return the heads of a crop that would help where so many units are missing.

        Of a part of a mix as many as its usual share takes, or its greatest if the mix may be ``stretched``.
        """
        have = self._heads.get(crop, np.int64(0))
        if self.product.parts:
            goal = self._most[crop] if stretched else self._usual[crop]
            return np.where(missing > 0, np.maximum(goal - have, 0), 0)
        each = self.product.sources[crop]
        if each == MILLI:
            return missing
        found = -(-(have * MILLI // each + missing) * each // MILLI) - have
        return np.where(missing > 0, found, 0)

    def add(self, crop: str, heads: Counts) -> None:
        """Add heads of a crop."""
        self._heads[crop] = self._heads.get(crop, np.int64(0)) + heads.astype(np.int64)
        if self._needs:
            made = [
                sum((each * self._heads.get(name, np.int64(0)) for name, each in need.heads.items()), 0)
                // need.unit
                for need in self._needs
            ]
            self.units = np.minimum.reduce(np.broadcast_arrays(self.units * 0 + self._amount, *made))
        else:
            of_crops = (number * MILLI // self.product.sources[name] for name, number in self._heads.items())
            self.units = np.minimum(sum(of_crops, np.int64(0)), self._amount)


class Got:
    """What one demand has got: a parcel of the product that was ordered, and one of each substitute.

    Attributes:
        missing: whole units that are missing.
    """

    def __init__(
        self,
        demand: Demand,
        products: Mapping[str, Product],
        planned: Mapping[tuple[str, str], int],
        runs: int,
    ) -> None:
        """Begin with nothing; ``planned`` is (product, crop) -> heads that the plan has for the demand."""
        self.amount = demand.amount
        self.missing: Numbers = np.full(runs, demand.amount, np.int64)
        self.parcels = {
            name: Parcel(
                products[name],
                demand.amount,
                {crop: heads for (product, crop), heads in planned.items() if product == name},
                runs,
            )
            for name in demand.products
        }

    def add(self, product: str, crop: str, heads: Counts) -> None:
        """Add heads of a crop to the parcel of a product."""
        self.parcels[product].add(crop, heads)
        units = sum((parcel.units for parcel in self.parcels.values()), np.int64(0))
        self.missing = np.maximum(self.amount - units, 0)
