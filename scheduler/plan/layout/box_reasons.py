"""Why a place of a box is empty: the rules of its share may leave nothing that could be there in time."""

from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.box_aims import Coming
from scheduler.farm.orders.boxes import Box, BoxShare, BoxSlot, BoxWish
from scheduler.farm.units import MILLI
from scheduler.plan.boxes import Held, held, worth
from scheduler.plan.rows import Plan


class BoxReasons:
    """Looks up what a share's rules keep out of a place; made once for a plan."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Take a plan whose fills are there."""
        self._farm = farm
        self._held: Held | None = held(farm, plan.fills) if farm.boxes else None
        self._coming = Coming(farm) if farm.boxes else None
        self._boxes = {(box.share, box.number): box for box in farm.boxes.boxes}

    def why_empty(self, demand: Demand) -> str:
        """Return why nothing may go into a place, without a full stop; empty where something might.

        Also empty for what is no place of a box, and for a place that holds anything.
        """
        place = self._farm.boxes.places.get(demand.name)
        if place is None or self._held is None or self._coming is None:
            return ""
        share, box = self._farm.boxes.shares[place.share], self._boxes[place.share, place.number]
        slot = next(slot for slot in share.slots if slot.name == place.slot)
        if self._held.products(box, slot.name):
            return ""
        said = []
        for product in self._farm.boxes.candidates(box, slot):
            if self._coming.by(product, place.day, share.max_age):
                why = self._hindrance(self._held, share, box, (slot, product))
                if not why:
                    return ""
                said.append(f"{product} {why}")
        return f"the rules of the share leave nothing: {'; '.join(said)}" if said else ""

    def _hindrance(self, found: Held, share: BoxShare, box: Box, what: tuple[BoxSlot, str]) -> str:
        slot, product = what
        if product in found.in_box(share, box):
            return "is in the box already"
        for wish in self._farm.boxes.limits(share.name):
            if wish.product != product or not wish.is_about(box):
                continue
            for stretch in self._farm.boxes.stretches(share.name, wish.among):
                if box in stretch.boxes:
                    past = sum(product in each.products and wish.holds_on(each.day) for each in stretch.past)
                    own = sum(
                        product in found.in_box(share, each) and wish.is_about(each) for each in stretch.boxes
                    )
                    if past + own + 1 > wish.times:
                        told = f"would come in {past + own + 1} of {wish.among} boxes"
                        return f"{told} ({_limit_of(wish, share)})"
        most = share.most_value
        price = self._farm.boxes.categories[slot.category].prices[product]
        if most is not None and worth(self._farm, share, box, found)[1] + slot.amount * price > most * MILLI:
            return "would make the box worth too much (most_value)"
        return ""


def _limit_of(wish: BoxWish, share: BoxShare) -> str:
    """Return what the book calls a limit: a row of ``box_wishes``, or boxes one after another."""
    if wish in share.wishes:
        return f"at most {wish.times} in box_wishes"
    return f"most_running {wish.times}"
