"""Farms with box shares, for tests: ``box_farm(share(...), on=[9, 16])``.

Boxes of a share hold places filled from categories; a category is written ``{"Heads": {"Lettuce": 250}}``,
product -> hundredths of money, and every product is made of the crop of its own name; a mix is all of
its category.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from farms import make_farm
from solving import quick_crop

from scheduler.farm.farm import Demand, Farm, Product
from scheduler.farm.orders.boxes import (
    EVER,
    Box,
    BoxDay,
    Boxes,
    BoxPlace,
    BoxShare,
    BoxSlot,
    BoxWish,
    Category,
    PastBox,
)

CATEGORIES = {"Greens": {"Lettuce": 200, "Kale": 300, "Cress": 100}}


def slot(name: str = "First", category: str = "Greens", amount: int = 1000, **more: Any) -> BoxSlot:
    """Return a place in a box: one unit of the category in a full box, half a one in a half box."""
    return BoxSlot(**({"name": name, "category": category, "amount": amount, "half_amount": amount // 2,
                       "most_products": 1} | more))  # fmt: skip


def share(*slots: BoxSlot, **more: Any) -> BoxShare:
    """Return a share called ``Box`` with some places, one of the greens unless given."""
    made = BoxShare(name="Box", slots=slots or (slot(),), firm=False, priority=2, max_age=1)
    return replace(made, **more)


def wish(product: str, kind: str, first: int = -EVER, last: int = EVER, **more: int) -> BoxWish:
    """Return a wish, for all season unless days are given."""
    return BoxWish(product=product, kind=kind, first=first, last=last, **more)


def past(*boxes: str) -> tuple[PastBox, ...]:
    """Return boxes before the plan, a week apart, each with one product (or none)."""
    days = range(-7 * len(boxes), 0, 7)
    return tuple(
        PastBox(day=day, products=frozenset({name} - {""})) for day, name in zip(days, boxes, strict=True)
    )


def box_farm(
    *shares: BoxShare,
    on: Sequence[int | tuple[int, ...]] = (9, 16, 23),
    boxes: tuple[int, int] = (2, 0),
    categories: Mapping[str, Mapping[str, int]] = CATEGORIES,
    begun: Iterable[str] = (),
    **needs: Any,
) -> Farm:
    """Return a farm with box shares: ``on`` has the day, or days, of each box; ``boxes`` full and half ones.

    ``begun`` are products of the first box given before the plan; other keywords are those of ``make_farm``.
    """
    crops = dict.fromkeys(product for prices in categories.values() for product in prices)
    farm = make_farm(**({"days": 30, "crops": [quick_crop(name) for name in crops]} | needs))
    made = Boxes(
        categories={
            name: Category(name=name, prices=prices, product_of=_product_of(farm, prices))
            for name, prices in categories.items()
        },
        shares={each.name: each for each in shares or (share(),)},
    )
    made = replace(made, boxes=tuple(_boxes(made, on, boxes, frozenset(begun), farm.calendar.days)))
    demands = list(_demands(made, farm.calendar.days))
    products = {name: _product(farm, name, prices) for name, prices in categories.items()}
    made = replace(made, places={demand.name: place for demand, place in demands})
    both = (*farm.demands, *(demand for demand, _ in demands))
    return replace(
        farm,
        boxes=made,
        products={**farm.products, **products},
        demands=tuple(sorted(both, key=lambda demand: (demand.first, demand.name))),
    )


def _mix(farm: Farm, prices: Mapping[str, int]) -> Product | None:
    """The mix that is all of a category, if it is one."""
    only = farm.products[next(iter(prices))]
    return only if only.parts else None


def _product_of(farm: Farm, prices: Mapping[str, int]) -> dict[str, str]:
    mix = _mix(farm, prices)
    return {product: product for product in prices} if mix is None else dict.fromkeys(mix.sources, mix.name)


def _product(farm: Farm, name: str, prices: Mapping[str, int]) -> Product:
    mix = _mix(farm, prices)
    if mix is not None:
        return replace(mix, name=name)
    return Product(name=name, pack="head", sources={p: farm.products[p].sources[p] for p in prices})


def _boxes(
    made: Boxes,
    days: Sequence[int | tuple[int, ...]],
    counts: tuple[int, int],
    begun: frozenset[str],
    reported: int,
) -> Iterable[Box]:
    for name in made.shares:
        for number, each in enumerate(days):
            own = (each,) if isinstance(each, int) else each
            yield Box(
                share=name,
                number=number,
                days=tuple(BoxDay(day=day, boxes=counts[0], halves=counts[1]) for day in own),
                begun=begun if number == 0 else frozenset(),
                reported=own[0] < reported,
            )


def _demands(made: Boxes, reported: int) -> Iterable[tuple[Demand, BoxPlace]]:
    for box in made.boxes:
        own = made.shares[box.share]
        for each in box.days:
            for place in own.slots:
                if each.needs(place):
                    demand = Demand(
                        name=f"{own.name} {place.name} {each.day}",
                        order=f"{own.name} {place.name}",
                        customer=own.name,
                        product=place.category,
                        first=each.day,
                        last=each.day,
                        amount=each.needs(place),
                        firm=own.firm,
                        price=max(made.categories[place.category].prices.values()),
                        priority=own.priority,
                        max_age=own.max_age,
                        reported=each.day < reported,
                    )
                    yield demand, BoxPlace(share=own.name, number=box.number, slot=place.name, day=each.day)
