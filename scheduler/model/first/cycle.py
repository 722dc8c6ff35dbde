"""The repeating cycle: one steady week of the usual orders, the start of every search."""

from collections import defaultdict
from dataclasses import dataclass, replace

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm, Substitute
from scheduler.farm.orders.boxes import Boxes
from scheduler.farm.units import ceil_div
from scheduler.model.first.convoys import stand_ins
from scheduler.model.options.frame import OUTLET, Frame, Wish


def only_from_beds(farm: Farm, product: str) -> bool:
    """Say whether a product is made of crops alone that are picked in beds."""
    return all(farm.crops[crop].picking is not None for crop in farm.products[product].sources)


@dataclass(frozen=True, slots=True)
class _Slot:
    """What makes two wishes of different weeks the same wish of the cycle."""

    product: str
    phase: int
    length: int
    age: int
    level: int
    source: str
    substitutes: tuple[Substitute, ...]
    is_target: bool


def cycle_frame(farm: Farm, season: Frame, period: int, *, beds: bool = False) -> Frame:
    """Return the frame of a steady cycle of ``period`` days around the middle of a season.

    Each wish of the cycle is what the season usually wants on that day of the cycle. Boxes it has none: a
    place of a box takes any of its category. What is picked in beds is a part of it only with ``beds``.
    """
    start = _middle(farm, season, period)
    longest = max(
        (
            sum(stage.days + stage.wait for stage in crop.route)
            + (crop.cuts - 1) * (crop.cut_interval + crop.finish.wait)
            for crop in farm.crops.values()
            if crop.picking is None or beds
        ),
        default=0,
    )
    slowest = farm.pace.slowest()
    return Frame(
        farm=replace(farm, boxes=Boxes()),
        wishes=_usual_wishes(season, start, period, beds=beds),
        start=start,
        end=start + period + ceil_div(longest * 1000, min(slowest, 1000)),
        period=period,
        sources=season.sources,
        beds=beds,
    )


def pattern_frame(season: Frame, period: int) -> Frame:
    """Return the frame of a cycle that is a pattern for the whole season, not only for its middle.

    A crop that may not be sown there, nor any that could stand in for it, is sown in the pattern all the
    same: it is what the rest of the season grows.
    """
    farm = season.farm
    start = _middle(farm, season, period)
    crops = {name: _sowable(farm, crop, start, period) for name, crop in farm.crops.items()}
    return cycle_frame(replace(farm, crops=crops), season, period)


def _sowable(farm: Farm, crop: Crop, start: int, period: int) -> Crop:
    """Return a crop, with no closed season where the cycle would have nothing of its kind."""
    alike = (crop, *(farm.crops[name] for name in stand_ins(farm, crop.name)))
    days = range(start, start + period)
    if any(some.may_sow(day) for some in alike for day in days) or not any(
        crop.may_sow(day) for day in range(farm.today, farm.calendar.days)
    ):
        return crop
    return replace(crop, sowing=((start, start + period),), too_hot=())


def _middle(farm: Farm, season: Frame, period: int) -> int:
    """Return the first day of the cycle: a whole number of periods after the start, past the ramp."""
    days = max(farm.calendar.days - season.start, period)
    return season.start + days // 2 // period * period


def _usual_wishes(season: Frame, start: int, period: int, *, beds: bool) -> tuple[Wish, ...]:
    amounts: dict[_Slot, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    weights: dict[_Slot, int] = {}
    prices: dict[_Slot, int] = {}
    for wish in season.wishes:
        if wish.level == OUTLET:
            continue
        if not beds and only_from_beds(season.farm, wish.product):
            continue  # what is picked for months is planned for the season, not for a week
        slot = _Slot(
            product=wish.product,
            phase=(wish.first - start) % period,
            length=wish.last - wish.first,
            age=wish.age,
            level=wish.level,
            source=wish.name.rsplit(" ", 1)[0],
            substitutes=wish.substitutes,
            is_target=wish.is_target,
        )
        amounts[slot][(wish.first - start) // period] += wish.amount
        weights[slot] = max(weights.get(slot, 0), wish.weight)
        prices[slot] = max(prices.get(slot, 0), wish.price)
    cycles = {number for by_cycle in amounts.values() for number in by_cycle}
    return tuple(
        Wish(
            name=f"{slot.source} {slot.phase}",
            product=slot.product,
            first=start + slot.phase,
            last=start + slot.phase + slot.length,
            amount=amount,
            age=slot.age,
            weight=weights[slot],
            level=slot.level,
            price=prices[slot],
            substitutes=slot.substitutes,
            is_target=slot.is_target,
        )
        for slot, by_cycle in amounts.items()
        if (amount := _usual([by_cycle.get(number, 0) for number in sorted(cycles)]))
    )


def _usual(amounts: list[int]) -> int:
    """Return the amount that four cycles in five do not exceed: a doubled week or a pause does not count."""
    return sorted(amounts)[(len(amounts) - 1) * 4 // 5]
