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


def unsteadiness(season: Frame, period: int) -> float:
    """Return how much of what is wanted differs from what is usual in a cycle; 0 where every cycle is alike.

    Of each order the cycles count from its first delivery on, but for the last one of all, which the season
    may cut short.
    """
    off = every = 0
    slots = [wanted.amounts for wanted in _by_slot(season, season.start, period, beds=False).values()]
    last = max((number for by_cycle in slots for number in by_cycle), default=0)
    for by_cycle in slots:
        amounts = [by_cycle.get(number, 0) for number in range(min(by_cycle), last)]
        usual = _usual(amounts) if amounts else 0
        off += sum(abs(amount - usual) for amount in amounts)
        every += sum(amounts)
    return off / every if every else 0.0


@dataclass(slots=True)
class _Wanted:
    """What is wanted in a slot: units by the number of the cycle, and the most a unit weighs and brings."""

    amounts: dict[int, int]
    weight: int = 0
    price: int = 0


def _by_slot(season: Frame, start: int, period: int, *, beds: bool) -> dict[_Slot, _Wanted]:
    found: dict[_Slot, _Wanted] = defaultdict(lambda: _Wanted(defaultdict(int)))
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
        wanted = found[slot]
        wanted.amounts[(wish.first - start) // period] += wish.amount
        wanted.weight, wanted.price = max(wanted.weight, wish.weight), max(wanted.price, wish.price)
    return found


def _usual_wishes(season: Frame, start: int, period: int, *, beds: bool) -> tuple[Wish, ...]:
    slots = _by_slot(season, start, period, beds=beds)
    cycles = sorted({number for wanted in slots.values() for number in wanted.amounts})
    return tuple(
        Wish(
            name=f"{slot.source} {slot.phase}",
            product=slot.product,
            first=start + slot.phase,
            last=start + slot.phase + slot.length,
            amount=amount,
            age=slot.age,
            weight=wanted.weight,
            level=slot.level,
            price=wanted.price,
            substitutes=slot.substitutes,
            is_target=slot.is_target,
        )
        for slot, wanted in slots.items()
        if (amount := _usual([wanted.amounts.get(number, 0) for number in cycles]))
    )


def _usual(amounts: list[int]) -> int:
    """Return the amount that four cycles in five do not exceed: a doubled week or a pause does not count."""
    return sorted(amounts)[(len(amounts) - 1) * 4 // 5]
