"""What goes into boxes: a yes or no for each product in each place of each box, and what boxes then lack."""

from collections import defaultdict
from collections.abc import Mapping

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.orders.box_aims import KINDS, VALUE, Aim, aims
from scheduler.farm.orders.boxes import DISLIKE, FAVOURITE, Box, BoxShare, BoxSlot
from scheduler.farm.units import MILLI
from scheduler.model.variables.decisions import MIXED, BoxSpot, Decisions, Tag


def box_picks(model: CpModel, chosen: Decisions) -> None:
    """Make the variables of boxes; a cycle whose farm has none takes anything of a category in a place."""
    boxes = chosen.farm.boxes
    if not boxes:
        return
    for index, wish in enumerate(chosen.frame.wishes):
        place = boxes.places.get(wish.name)
        if place is not None:
            chosen.box_wishes[place.share, place.number, place.slot].append(index)
    served = {(index, crop) for crop, _, index in chosen.fills}
    for box, slot in spots(chosen):
        spot = (box.share, box.number, slot.name)
        for product in boxes.candidates(box, slot):
            crops = crops_of(chosen, slot, product)
            if any((index, crop) in served for index in chosen.box_wishes[spot] for crop in crops):
                tag = _tag(chosen, spot, crops[0] if len(crops) == 1 else "")
                chosen.picks[spot, product] = chosen.new(model, 1, f"pick_{spot}_{product}", tag)
    _marks(model, chosen)


def spots(chosen: Decisions) -> list[tuple[Box, BoxSlot]]:
    """Return each place of each box that asks for something."""
    boxes = chosen.farm.boxes
    return [
        (box, slot)
        for box in boxes.boxes
        for slot in boxes.shares[box.share].slots
        if (box.share, box.number, slot.name) in chosen.box_wishes
    ]


def crops_of(chosen: Decisions, slot: BoxSlot, product: str) -> list[str]:
    """Return the crops of a product of a slot's category."""
    category = chosen.farm.boxes.categories[slot.category]
    return [crop for crop, name in category.product_of.items() if name == product]


def units_of(chosen: Decisions, index: int, crop: str) -> IntVar:
    """Return the units of a crop in a place of a box; of a mix, which is all of its category, its units."""
    mixed = chosen.farm.products[chosen.frame.wishes[index].product].parts
    return chosen.units[index, MIXED if mixed else crop]


def places_in(chosen: Decisions) -> dict[int, tuple[Box, BoxSlot]]:
    """Return for each wish that is a place of a box which place of which box."""
    return {
        index: (box, slot)
        for box, slot in spots(chosen)
        for index in chosen.box_wishes[box.share, box.number, slot.name]
    }


def products_in(chosen: Decisions) -> dict[int, list[set[str]]]:
    """Return for each wish that is a place of a box the crops of each product that may go in."""
    found: dict[int, list[set[str]]] = {}
    for index, (box, slot) in places_in(chosen).items():
        spot = (box.share, box.number, slot.name)
        products = [name for name in chosen.farm.boxes.candidates(box, slot) if (spot, name) in chosen.picks]
        found[index] = [set(crops_of(chosen, slot, name)) for name in products]
    return found


def picks_of(chosen: Decisions, box: Box, product: str) -> list[IntVar]:
    """Return the picks of a product in the places of a box."""
    slots = chosen.farm.boxes.shares[box.share].slots
    found = (chosen.picks.get(((box.share, box.number, slot.name), product)) for slot in slots)
    return [pick for pick in found if pick is not None]


def counted_of(chosen: Decisions, box: Box, product: str) -> list[IntVar]:
    """Return the same as :func:`picks_of`; where a little does not count, that there is enough."""
    slots = chosen.farm.boxes.shares[box.share].slots
    spots_of = [(box.share, box.number, slot.name) for slot in slots]
    found = (
        chosen.box_marks.get(("counts", *spot, product), chosen.picks.get((spot, product)))
        for spot in spots_of
    )
    return [each for each in found if each is not None]


def least_counted(chosen: Decisions, slot: BoxSlot, spot: BoxSpot) -> int:
    """Return from how many units on a product counts in a place, all days of the box together."""
    wishes = [chosen.frame.wishes[index] for index in chosen.box_wishes[spot]]
    return slot.least_counted(sum(wish.amount for wish in wishes))


def in_place(chosen: Decisions, slot: BoxSlot, spot: BoxSpot, product: str) -> list[IntVar]:
    """Return the units of a product in a place of a box on all its days, each variable once."""
    crops = crops_of(chosen, slot, product)
    units = {(v := units_of(chosen, i, crop)).index: v for i in chosen.box_wishes[spot] for crop in crops}
    return list(units.values())


def _tag(chosen: Decisions, spot: BoxSpot, crop: str) -> Tag:
    wishes = [chosen.frame.wishes[index] for index in chosen.box_wishes[spot]]
    opens = min(wish.first - wish.age for wish in wishes)
    return Tag(crop, opens, True, until=max(wish.last for wish in wishes))


def _marks(model: CpModel, chosen: Decisions) -> None:
    """Make what follows from the picks: the highest and lowest worth of split places, and what is lacking."""
    boxes = chosen.farm.boxes
    for box, slot in spots(chosen):
        share = boxes.shares[box.share]
        if slot.most_products > 1:
            most = slot.amount * max(boxes.categories[slot.category].prices.values())
            ends = (("high", share.most_value), ("low", share.least_value))
            for end, limit in ends:
                if limit is not None:
                    spot = (box.share, box.number, slot.name)
                    name = f"{end}_{spot}"
                    chosen.box_marks[end, *spot] = chosen.new(model, most, name, _tag(chosen, spot, ""))
    _counts(model, chosen)
    chosen.box_aims.extend(aims(chosen.farm))
    for number, aim in enumerate(chosen.box_aims):
        tag = Tag("", _first_day(aim), True, until=aim.box.days[-1].day)
        if aim.kind == DISLIKE:
            chosen.box_terms += [(aim.weight, pick) for pick in picks_of(chosen, aim.box, aim.product)]
            continue
        lack = chosen.new(model, aim.wanted, f"lack{number}_{aim.kind}", tag)
        chosen.box_marks["lack", number] = lack
        chosen.box_terms.append((aim.weight, lack))
        if aim.kind == KINDS and aim.stretch is not None:
            for product in new_kinds(chosen, aim):
                key = ("kind", number, product)
                chosen.box_marks[key] = chosen.new(model, 1, f"kind{number}_{product}", tag)


def _counts(model: CpModel, chosen: Decisions) -> None:
    """Make a yes or no for each product of places in which a little of it does not count."""
    for box, slot in spots(chosen):
        spot = (box.share, box.number, slot.name)
        if least_counted(chosen, slot, spot) > 1:
            for product in [name for at, name in chosen.picks if at == spot]:
                name = f"counts_{spot}_{product}"
                chosen.box_marks["counts", *spot, product] = chosen.new(
                    model, 1, name, _tag(chosen, spot, "")
                )


def _first_day(aim: Aim) -> int:
    boxes = aim.stretch.boxes if aim.stretch is not None else (aim.box,)
    return boxes[0].days[0].day


def held_kinds(aim: Aim) -> set[str]:
    """Return the products that the boxes of an aim hold whatever is picked."""
    return set(aim.box.begun if aim.stretch is None else aim.stretch.held())


def new_kinds(chosen: Decisions, aim: Aim) -> list[str]:
    """Return the products that picks could add to the boxes looked at together."""
    boxes = aim.stretch.boxes if aim.stretch is not None else (aim.box,)
    numbers = {(box.share, box.number) for box in boxes}
    found = {product: None for (share, number, _), product in chosen.picks if (share, number) in numbers}
    return [product for product in found if product not in held_kinds(aim)]


def set_marks(chosen: Decisions, values: list[int]) -> None:
    """Set what follows from the picks of an answer, and the picks from its units."""
    boxes = chosen.farm.boxes
    slots = {(name, slot.name): slot for name, share in boxes.shares.items() for slot in share.slots}
    held: dict[tuple[str, int], dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for (spot, product), pick in chosen.picks.items():
        crops = crops_of(chosen, slots[spot[0], spot[2]], product)
        values[pick.index] = int(
            any(values[units_of(chosen, i, crop).index] for i in chosen.box_wishes[spot] for crop in crops)
        )
        if values[pick.index]:
            held[spot[0], spot[1]][spot[2]].append(product)
    counted = _set_counted(chosen, slots, values)
    for key, mark in chosen.box_marks.items():
        if key[0] in ("high", "low"):
            end, share, number, name = key
            worths = _worths(chosen, slots[str(share), str(name)], held[str(share), int(number)][str(name)])
            values[mark.index] = max(worths) if end == "high" else min(worths)
    for number, aim in enumerate(chosen.box_aims):
        if aim.kind != DISLIKE:
            counting = held if aim.kind == VALUE else counted
            values[chosen.box_marks["lack", number].index] = _lack(chosen, aim, number, counting, values)


def _set_counted(
    chosen: Decisions, slots: Mapping[tuple[str, str], BoxSlot], values: list[int]
) -> dict[tuple[str, int], dict[str, list[str]]]:
    """Set which products count in their places; return them by box and name of the place."""
    counted: dict[tuple[str, int], dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for (spot, product), pick in chosen.picks.items():
        slot = slots[spot[0], spot[2]]
        units = sum(values[each.index] for each in in_place(chosen, slot, spot, product))
        counts = int(units >= least_counted(chosen, slot, spot)) if values[pick.index] else 0
        mark = chosen.box_marks.get(("counts", *spot, product))
        if mark is not None:
            values[mark.index] = counts
        if counts:
            counted[spot[0], spot[1]][spot[2]].append(product)
    return counted


def _worths(chosen: Decisions, slot: BoxSlot, products: list[str]) -> list[int]:
    prices = chosen.farm.boxes.categories[slot.category].prices
    return [slot.amount * prices[product] for product in products] or [0]


def _lack(
    chosen: Decisions,
    aim: Aim,
    number: int,
    held: dict[tuple[str, int], dict[str, list[str]]],
    values: list[int],
) -> int:
    own = held[aim.box.share, aim.box.number]
    if aim.kind == VALUE:
        share: BoxShare = chosen.farm.boxes.shares[aim.box.share]
        worth = sum(min(_worths(chosen, slot, own[slot.name])) for slot in share.slots)
        return max(0, -(-(aim.wanted * MILLI - worth) // MILLI))
    if aim.kind == FAVOURITE:
        return int(aim.product not in aim.box.begun and not any(aim.product in each for each in own.values()))
    boxes = aim.stretch.boxes if aim.stretch is not None else ()
    found = {
        product
        for box in boxes
        for products in list(held[box.share, box.number].values())
        for product in products
    }
    for product in new_kinds(chosen, aim):
        values[chosen.box_marks["kind", number, product].index] = int(product in found)
    return max(0, aim.wanted - len(held_kinds(aim) | found))
