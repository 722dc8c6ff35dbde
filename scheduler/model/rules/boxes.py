"""Boxes: all of a week alike, in turn and within their value; and what they lack of what they should have."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar, LinearExpr

from scheduler.farm.orders.box_aims import KINDS, VALUE, Aim
from scheduler.farm.orders.boxes import DISLIKE, Box, BoxShare, BoxSlot, BoxWish, Stretch
from scheduler.farm.units import MILLI, ceil_div
from scheduler.model.variables.box_picks import (
    counted_of,
    held_kinds,
    in_place,
    least_counted,
    new_kinds,
    picks_of,
    spots,
    units_of,
)
from scheduler.model.variables.decisions import BoxSpot, Decisions


def boxes(model: CpModel, chosen: Decisions) -> None:
    """Boxes of a week hold the same on all its days, no product twice or too often, and no box too much."""
    if not chosen.box_wishes:
        return
    _same_in_all(model, chosen)
    for box in chosen.farm.boxes.boxes:
        _one_box(model, chosen, chosen.farm.boxes.shares[box.share], box)
    for share in chosen.farm.boxes.shares.values():
        for wish in chosen.farm.boxes.limits(share.name):
            for stretch in chosen.farm.boxes.stretches(share.name, wish.among):
                _not_too_often(model, chosen, stretch, wish)
    for number, aim in enumerate(chosen.box_aims):
        if aim.kind != DISLIKE:
            _lacking(model, chosen, number, aim)


def _one_box(model: CpModel, chosen: Decisions, share: BoxShare, box: Box) -> None:
    for product in _products(chosen, share, box):
        picks = picks_of(chosen, box, product)
        if len(picks) > 1:
            model.add(sum(picks) <= 1)
    if share.most_value is not None and any(spot[:2] == (box.share, box.number) for spot, _ in chosen.picks):
        model.add(_worth(chosen, box, "high") <= share.most_value * MILLI)


def _same_in_all(model: CpModel, chosen: Decisions) -> None:
    """Only what is picked goes into a place, at least one unit of it, and so many products as may be."""
    into: dict[tuple[int, str], list[IntVar]] = defaultdict(list)
    for (crop, _, index), fill in chosen.fills.items():
        into[index, crop].append(fill)
    for box, slot in spots(chosen):
        spot = (box.share, box.number, slot.name)
        indices = chosen.box_wishes[spot]
        picks = []
        for crop, product in chosen.farm.boxes.categories[slot.category].product_of.items():
            pick = chosen.picks.get((spot, product))
            for index in indices:
                wish = chosen.frame.wishes[index]
                per_unit = chosen.farm.products[wish.product].sources[crop]
                heads = ceil_div(wish.amount * per_unit, MILLI)
                if into[index, crop]:
                    model.add(sum(into[index, crop]) <= (0 if pick is None else heads * pick))
                model.add(units_of(chosen, index, crop) <= (0 if pick is None else wish.amount * pick))
        for product in chosen.farm.boxes.candidates(box, slot):
            pick = chosen.picks.get((spot, product))
            if pick is not None:
                picks.append(pick)
                _at_least(model, chosen, (slot, spot), product)
        if len(picks) > slot.most_products:
            model.add(sum(picks) <= slot.most_products)
        if slot.most_products > 1:
            _ends(model, chosen, box, slot)


def _at_least(model: CpModel, chosen: Decisions, where: tuple[BoxSlot, BoxSpot], product: str) -> None:
    """What is picked goes in with one unit at least, and what counts with as many as that takes."""
    slot, spot = where
    units = sum(in_place(chosen, slot, spot, product))
    model.add(units >= chosen.picks[spot, product])
    counts = chosen.box_marks.get(("counts", *spot, product))
    if counts is not None:
        model.add(units >= least_counted(chosen, slot, spot) * counts)


def _ends(model: CpModel, chosen: Decisions, box: Box, slot: BoxSlot) -> None:
    """Bind the highest and the lowest worth of a place that may be split; an empty one is worth nothing."""
    spot = (box.share, box.number, slot.name)
    high = chosen.box_marks.get(("high", *spot))
    low = chosen.box_marks.get(("low", *spot))
    prices = chosen.farm.boxes.categories[slot.category].prices
    picks = {product: pick for (at, product), pick in chosen.picks.items() if at == spot}
    most = slot.amount * max(prices.values())
    for product, pick in picks.items():
        worth = slot.amount * prices[product]
        if high is not None:
            model.add(high >= worth * pick)
        if low is not None:
            model.add(low + (most - worth) * pick <= most)
    if low is not None:
        model.add(low <= most * sum(picks.values()))


def _worth(chosen: Decisions, box: Box, end: str) -> LinearExpr:
    """Return what a full box is worth at most (``high``) or at least, in thousandths of hundredths."""
    total: list[LinearExpr | IntVar] = []
    for slot in chosen.farm.boxes.shares[box.share].slots:
        spot = (box.share, box.number, slot.name)
        mark = chosen.box_marks.get((end, *spot))
        if mark is not None:
            total.append(mark)
            continue
        for product, price in chosen.farm.boxes.categories[slot.category].prices.items():
            pick = chosen.picks.get((spot, product))
            if pick is not None:
                total.append(slot.amount * price * pick)
    return LinearExpr.sum(total)


def _products(chosen: Decisions, share: BoxShare, box: Box) -> list[str]:
    candidates = (chosen.farm.boxes.candidates(box, slot) for slot in share.slots)
    return list(dict.fromkeys(product for found in candidates for product in found))


def _not_too_often(model: CpModel, chosen: Decisions, stretch: Stretch, wish: BoxWish) -> None:
    open_boxes = [box for box in stretch.boxes if wish.is_about(box) and wish.product not in box.begun]
    picks = [pick for box in open_boxes for pick in picks_of(chosen, box, wish.product)]
    left = max(0, wish.times - stretch.held_before(wish))
    if len(picks) > left:
        model.add(sum(picks) <= left)


def _lacking(model: CpModel, chosen: Decisions, number: int, aim: Aim) -> None:
    lack = chosen.box_marks["lack", number]
    if aim.kind == VALUE:
        model.add(MILLI * lack + _worth(chosen, aim.box, "low") >= MILLI * aim.wanted)
    elif aim.kind == KINDS and aim.stretch is not None:
        kinds = []
        for product in new_kinds(chosen, aim):
            kind = chosen.box_marks["kind", number, product]
            found = [pick for box in aim.stretch.boxes for pick in counted_of(chosen, box, product)]
            model.add(kind <= sum(found))
            kinds.append(kind)
        model.add(lack + sum(kinds) >= aim.wanted - len(held_kinds(aim)))
    elif aim.product not in aim.box.begun:
        model.add(lack + sum(counted_of(chosen, aim.box, aim.product)) >= 1)
