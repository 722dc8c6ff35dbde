"""What box shares and substitutes a farm has, as rows of its tables."""

from collections.abc import Sequence
from datetime import timedelta
from random import Random

from .crop_rows import AGAIN, HEADS, QUICK, Row, days_to_reach
from .order_rows import FIRST_DAY

CATEGORIES = {"A head": HEADS, "Leaves": QUICK, "A bunch": AGAIN}
"""Category -> cards of the crops that go into it; a product has the name of its crop."""

SHARES = (
    ("Heron basket", "firm", "Thu", ("A head", "Leaves", "A bunch")),
    ("Sedge basket", "flexible", "Tue", ("A head", "A head", "A bunch")),
)
"""Share, kind, weekday, and the category of each place."""

BOXED = 0.5
"""Part of what is wanted that goes into boxes, about."""

HALVES = 0.3
"""Part of the boxes that are half ones."""

MOST_RUNNING = 2
SUBSTITUTE_PRICE = 0.9
"""What a substitute brings of the price of what was ordered (estimate)."""


def box_tables(crops: Sequence[Row], scale: float, random: Random) -> dict[str, list[Row]]:
    """Return the tables of box shares; ``scale`` is units a week for a crop.

    Boxes begin when every crop can be there. No product comes more than twice running where every category
    has another; the second share may split its last place, and its boxes are worth no more than a middling
    choice with one dear product.
    """
    prices = {str(row["crop"]): random.randrange(140, 320, 10) / 100 for row in crops}
    own = {
        name: [str(row["crop"]) for row in crops if row["card"] in cards]
        for name, cards in CATEGORIES.items()
    }
    own = {name: products for name, products in own.items() if products}
    takes_turns = all(len(products) > 1 for products in own.values())
    begins = FIRST_DAY + timedelta(days=-(-max(days_to_reach(row) for row in crops) // 7) * 7)
    tables: dict[str, list[Row]] = {"box_categories": [], "box_shares": [], "box_slots": []}
    for name, products in own.items():
        tables["box_categories"] += [
            {"category": name, "product": product, "price": prices[product]} for product in products
        ]
    for number, (share, kind, weekday, places) in enumerate(SHARES):
        held = [name for name in places if name in own]
        boxes = scale * len(crops) * BOXED / len(SHARES) / len(held) / (1 - HALVES / 2)
        full = max(1, round(boxes * (1 - HALVES)))
        row: Row = {
            "share": share,
            "boxes": full,
            "half_boxes": max(0, round(2 * (boxes * (1 - HALVES / 2) - full))),
            "weekdays": weekday,
            "from": begins,
            "kind": kind,
            "most_running": MOST_RUNNING if takes_turns else None,
        }
        if number:
            middling = [sorted(prices[name] for name in own[each])[len(own[each]) // 2] for each in held]
            row["most_value"] = sum(middling) + max(prices.values()) - min(middling)
        tables["box_shares"].append(row)
        tables["box_slots"] += [
            {
                "share": share,
                "slot": f"Place {place}",
                "category": name,
                "amount": 1.0,
                "most_products": 2 if number and place == len(held) and len(own[name]) > 1 else 1,
            }
            for place, name in enumerate(held, start=1)
        ]
    return tables


def substitute_rows(crops: Sequence[Row], prices: dict[str, float]) -> list[Row]:
    """Return the substitutes: for each head that is ordered the next one of the list may stand in.

    ``prices`` is product -> price of the cheapest order for it.
    """
    heads = [str(row["crop"]) for row in crops if row["card"] in HEADS]
    pairs = zip(heads, [*heads[1:], *heads[:1]], strict=True)
    return [
        {
            "product": product,
            "substitute": other,
            "rank": 1,
            "price": round(prices[product] * SUBSTITUTE_PRICE, 2),
        }
        for product, other in pairs
        if product != other and product in prices
    ]
