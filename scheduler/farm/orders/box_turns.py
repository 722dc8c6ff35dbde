"""What goes into boxes where they are filled one after another, as on paper: each product in its turn."""

from collections import defaultdict

from scheduler.farm.orders.boxes import DISLIKE, FAVOURITE, Box, Boxes, BoxSlot
from scheduler.farm.units import MILLI

NEVER_YET = 10**6
"""Boxes since a product came last, where it has not come before."""

Spot = tuple[str, int]
"""Share and number of a box."""


class BoxTurns:
    """Boxes filled by date: says what may come next, and keeps what went in.

    The boxes of a share are to be filled in their order, for the rules look back.
    """

    def __init__(self, boxes: Boxes) -> None:
        """Begin with nothing in any box."""
        self._boxes = boxes
        self._in: dict[Spot, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))

    def put(self, box: Box, slot: BoxSlot, product: str) -> None:
        """Put a product into a place of a box."""
        self._in[box.share, box.number][slot.name].append(product)

    def take_out(self, box: Box, slot: BoxSlot, product: str) -> None:
        """Take a product out of a place of a box again."""
        self._in[box.share, box.number][slot.name].remove(product)

    def held(self, box: Box, slot: BoxSlot) -> list[str]:
        """Return the products in a place of a box, in the order in which they were put in."""
        return list(self._in[box.share, box.number][slot.name])

    def next_for(self, box: Box, slot: BoxSlot) -> list[str]:
        """Return the products that may go into a place besides what it holds, the one whose turn it is first.

        Favourites come first and dislikes last; of others the one that came longest ago, then the dearest.
        """
        if len(self._in[box.share, box.number][slot.name]) >= slot.most_products:
            return []
        found = [name for name in self._boxes.candidates(box, slot) if self._may(box, slot, name)]
        prices = self._boxes.categories[slot.category].prices
        return sorted(
            found, key=lambda name: (self.liking(box, name), -self._since(box, name), -prices[name], name)
        )

    def _may(self, box: Box, slot: BoxSlot, product: str) -> bool:
        own = self._in[box.share, box.number]
        if any(product in products for products in own.values()):
            return False
        return self._is_cheap_enough(box, slot, product) and not self._too_often(box, product)

    def _is_cheap_enough(self, box: Box, slot: BoxSlot, product: str) -> bool:
        """Say whether the box stays within its value with the cheapest in the places that are empty yet."""
        share = self._boxes.shares[box.share]
        if share.most_value is None:
            return True
        worth = 0
        for each in share.slots:
            prices = self._boxes.categories[each.category].prices
            names = [*self._in[box.share, box.number][each.name], *([product] if each is slot else [])]
            worth += each.amount * max((prices[name] for name in names), default=min(prices.values()))
        return worth <= share.most_value * MILLI

    def _too_often(self, box: Box, product: str) -> bool:
        """Say whether a product would come more often than it may among boxes one after another."""
        if product in box.begun:
            return False
        for wish in self._boxes.limits(box.share):
            if wish.product != product or not wish.is_about(box):
                continue
            for stretch in self._boxes.stretches(box.share, wish.among):
                if box in stretch.boxes:
                    held = stretch.held_before(wish) + sum(
                        wish.is_about(each) and product not in each.begun and product in self._products(each)
                        for each in stretch.boxes
                    )
                    if held >= wish.times:
                        return True
        return False

    def _products(self, box: Box) -> set[str]:
        own = self._in.get((box.share, box.number), {})
        return {product for products in own.values() for product in products}

    def liking(self, box: Box, product: str) -> int:
        """Return -1 for a favourite of a box, 1 for what it dislikes, else 0."""
        about = [
            w.kind for w in self._boxes.shares[box.share].wishes if w.product == product and w.is_about(box)
        ]
        return -int(FAVOURITE in about) + int(DISLIKE in about)

    def _since(self, box: Box, product: str) -> int:
        """Return how many boxes ago a product came last."""
        before = [each for each in self._boxes.of_share(box.share) if each.number < box.number]
        for back, each in enumerate(reversed(before), start=1):
            if product in each.begun or product in self._products(each):
                return back
        for back, past in enumerate(reversed(self._boxes.shares[box.share].past), start=len(before) + 1):
            if product in past.products:
                return back
        return NEVER_YET
