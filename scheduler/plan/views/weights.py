"""What a wet raft weighs, and how many should lift it: estimates for a caution, never a permission.

Figures stand in ``shared/reference/raft_weight.csv`` and ``lifting.csv`` with their sources; most of the
weight is an estimate. Weights are whole grams and round up, limits are whole grams and round down.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil, floor

from crops.library import card
from crops.published import table
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.units import ceil_div

GRAMS_PER = {"kg": Fraction(1000), "lb": Fraction(45_359_237, 100_000)}
"""Grams in one unit of mass; the pound is exactly 0.45359237 kg."""

_MM_PER_M = 1000
_BOUNDS = ("low", "value", "high")


def tenths(grams: int, unit: str, *, up: bool) -> int:
    """Return a weight in whole tenths of a unit of mass, rounded up (weights) or down (limits).

    Raises:
        KeyError: the unit is neither kg nor lb.
    """
    exact = grams * 10 / GRAMS_PER[unit]
    return ceil(exact) if up else floor(exact)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A weight in whole grams: the least, the most likely and the most."""

    low: int
    typical: int
    high: int

    def __add__(self, other: "Estimate") -> "Estimate":
        return Estimate(
            low=self.low + other.low, typical=self.typical + other.typical, high=self.high + other.high
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RaftWeight:
    """One wet raft full of one crop, ready to be cut.

    Attributes:
        crop, raft: crop and kind of raft.
        plants: plants on it, all holes it is planted with.
        area: square metres of the raft; the largest it may float on.
        leaves, roots, board, film: what is cut and what a plant cut again keeps; roots and the water between
            them; the dry board; the water that clings to it.
        limit: grams one person should lift at most as a raft is lifted (:func:`raft_limit`).
        from_card: whether the mass of a plant is that of the crop's card.
    """

    crop: str
    raft: str
    plants: int
    area: Fraction
    leaves: Estimate
    roots: Estimate
    board: Estimate
    film: Estimate
    limit: int
    from_card: bool

    @property
    def whole(self) -> Estimate:
        """The weight of all of it."""
        return self.leaves + self.roots + self.board + self.film

    @property
    def lifters(self) -> int:
        """How many should lift it by its high figure, each an equal part of it."""
        return lifters(self.whole.high, self.limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One lift: centimetres of reach, height of the hands and way up, degrees of twist.

    ``hold`` and ``rhythm`` are the shares left by the grip and by how often it is done, from 0 to 1.
    """

    reach: Fraction
    height: Fraction
    travel: Fraction
    turn: Fraction = Fraction(0)
    hold: Fraction = Fraction(1)
    rhythm: Fraction = Fraction(1)


def lifters(weight: int, limit: int) -> int:
    """Return how many people bring a weight to the limit for one or below it; at least 1.

    Raises:
        ValueError: the limit is 0, so no number is enough.
    """
    if limit <= 0:
        raise ValueError("nobody should lift this way")
    return max(1, ceil_div(weight, limit))


def lifting_limit(lift: Lift) -> int:
    """Return the grams one person should lift at most, rounded down; 0 out of the equation's reach.

    Revised NIOSH lifting equation (NIOSH Publication 94-110): 23 kg times a share for each of reach, height,
    travel, twist, rhythm and grip. The formula was seen in a secondary copy, its limits are from memory.
    """
    left = _figure("load_constant") * GRAMS_PER["kg"]
    for share in lift_shares(lift).values():
        left *= share
    return int(left)


def lift_shares(lift: Lift) -> dict[str, Fraction]:
    """Return the share of the limit that each part of a lift leaves, by its name."""
    return {
        "reach": reach_share(lift.reach),
        "height": height_share(lift.height),
        "travel": travel_share(lift.travel),
        "turn": turn_share(lift.turn),
        "hold": lift.hold,
        "rhythm": lift.rhythm,
    }


def reach_share(reach: Fraction) -> Fraction:
    """Return the share of the limit left at a reach in centimetres: 25 / reach, 0 beyond 63 cm."""
    if reach > _figure("reach_most"):
        return Fraction(0)
    return min(Fraction(1), _figure("reach_constant") / max(reach, _figure("reach_constant")))


def height_share(height: Fraction) -> Fraction:
    """Return the share left with the hands at a height in centimetres: all at 75, 0 above 175."""
    if height > _figure("height_most"):
        return Fraction(0)
    return 1 - _figure("height_share") * abs(height - _figure("height_best"))


def travel_share(travel: Fraction) -> Fraction:
    """Return the share left for a way up in centimetres: 0.82 + 4.5 / travel, 0 beyond 175."""
    if travel > _figure("travel_most"):
        return Fraction(0)
    way = max(travel, _figure("travel_least"))
    return min(Fraction(1), _figure("travel_share") + _figure("travel_constant") / way)


def turn_share(turn: Fraction) -> Fraction:
    """Return the share left with a twist in degrees: 0.0032 less for each, 0 beyond 135."""
    if turn > _figure("turn_most"):
        return Fraction(0)
    return 1 - _figure("turn_share") * turn


def raft_lift() -> Lift:
    """Return the lift of a raft over the wall of a trough, as estimated in ``lifting.csv``."""
    return Lift(
        reach=_figure("raft_reach"),
        height=_figure("raft_height"),
        travel=_figure("raft_travel"),
        hold=_figure("hold_poor"),
        rhythm=_figure("seldom"),
    )


def raft_limit() -> int:
    """Return the grams one person should lift at most as a raft is lifted over the wall of a trough."""
    return lifting_limit(raft_lift())


def raft_weights(farm: Farm) -> tuple[RaftWeight, ...]:
    """Return the weight of a raft of each crop, in the order of the book.

    Crops are left out for which the size of the raft is not known.
    """
    areas = ((crop, _raft_area(farm, crop)) for crop in farm.crops.values())
    return tuple(_raft_weight(crop, area) for crop, area in areas if area is not None)


def _raft_area(farm: Farm, crop: Crop) -> Fraction | None:
    troughs = {place.belongs_to for place in farm.places if place.name in crop.lanes}
    return max((area for trough, area in farm.raft_areas.items() if trough in troughs), default=None)


def _raft_weight(crop: Crop, area: Fraction) -> RaftWeight:
    plants, figures = crop.finish.plants_per_unit, _raft_figures()
    plant, from_card = _plant(crop)
    kept = figures["kept_after_cut"] if crop.cuts > 1 else dict.fromkeys(_BOUNDS, Fraction(0))

    def estimate(grams: Callable[[str], Fraction]) -> Estimate:
        low, typical, high = (ceil(grams(bound)) for bound in _BOUNDS)
        return Estimate(low=low, typical=typical, high=high)

    def leaves(bound: str) -> Fraction:
        return plants * plant[bound] * (1 + kept[bound])

    def board(bound: str) -> Fraction:
        thick = figures["board_thickness"][bound] / _MM_PER_M
        return area * thick * figures["board_density"][bound] * GRAMS_PER["kg"]

    return RaftWeight(
        crop=crop.name,
        raft=crop.finish.unit,
        plants=plants,
        area=area,
        leaves=estimate(leaves),
        roots=estimate(lambda bound: leaves(bound) * figures["roots_and_water"][bound]),
        board=estimate(board),
        film=estimate(lambda bound: area * figures["water_film"][bound] * GRAMS_PER["kg"]),
        limit=raft_limit(),
        from_card=from_card,
    )


def _plant(crop: Crop) -> tuple[dict[str, Fraction], bool]:
    """Return the grams of one plant as cut (low, value, high), and whether they are those of its card."""
    found = card(crop.card).figures.get("yield_per_plant") if crop.card else None
    if found is None or found.unit != "g":
        return dict(_raft_figures()["plant_mass"]), False
    bounds = {"low": found.low, "value": found.typical, "high": found.high}
    return {
        bound: Fraction(str(found.typical if value is None else value)) for bound, value in bounds.items()
    }, True


@cache
def _raft_figures() -> Mapping[str, Mapping[str, Fraction]]:
    return {
        row["quantity"]: {bound: Fraction(row[bound]) for bound in _BOUNDS} for row in table("raft_weight")
    }


@cache
def _figure(quantity: str) -> Fraction:
    return next(Fraction(row["value"]) for row in table("lifting") if row["quantity"] == quantity)
