"""Mixes: how many units some heads make, and what a unit asks of them, exactly and in whole numbers.

A mix is sold by weight. A unit holds at least the least and at most the greatest share of each part, and the
parts come to its whole weight. What heads weigh beyond that is trimmed off; it is never counted twice.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import gcd
from typing import TypeVar

from scheduler.farm.farm import Product
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div

Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What any number of units asks for: ``unit`` x units is at most the sum of ``heads`` x heads."""

    unit: int
    heads: Mapping[str, int]


def needs_of(mix: Product) -> list[Need]:
    """Return what must hold of a mix's units and the heads of its parts; together enough for a bag.

    Each part has its least share. Some parts may be held at their greatest share, and the others must then
    come to the rest: this is asked of every choice of parts.
    """
    found = [
        _need(part.least * mix.weight, {part.crop: WHOLE_SHARE * part.grams})
        for part in mix.parts
        if part.least
    ]
    if sum(part.least for part in mix.parts) < WHOLE_SHARE:
        found += _rests(mix)
    return found


def _rests(mix: Product) -> Iterator[Need]:
    """Yield, for every choice of parts, that they come to what the others at their greatest leave."""
    for number in range(1, len(mix.parts) + 1):
        for chosen in combinations(mix.parts, number):
            rest = WHOLE_SHARE - sum(part.most for part in mix.parts if part not in chosen)
            if rest > 0:
                yield _need(rest * mix.weight, {part.crop: WHOLE_SHARE * part.grams for part in chosen})


def _need(unit: int, heads: Mapping[str, int]) -> Need:
    by = gcd(unit, *heads.values())
    return Need(unit=unit // by, heads={crop: each // by for crop, each in heads.items()})


def units_made(product: Product, heads: Mapping[str, int]) -> int:
    """Return the whole sale units that heads (crop name -> heads) make; crops of no use count nothing."""
    if not product.parts:
        return sum(
            number * MILLI // product.sources[crop]
            for crop, number in heads.items()
            if crop in product.sources
        )
    return min(
        sum(each * heads.get(crop, 0) for crop, each in need.heads.items()) // need.unit
        for need in needs_of(product)
    )


def heads_for(product: Product, units: int) -> dict[str, int]:
    """Return crop -> heads that some units usually take: all parts of a mix, else the one crop of fewest."""
    if product.parts:
        return {
            part.crop: ceil_div(units * part.usual * product.weight, WHOLE_SHARE * part.grams)
            for part in product.parts
        }
    crop = min(product.sources, key=lambda name: product.sources[name])
    return {crop: ceil_div(units * product.sources[crop], MILLI)}


def trimmings(mix: Product) -> int:
    """Return what the heads of a mix's units may weigh beyond the units: about a head of each part."""
    return sum(part.grams for part in mix.parts)


def heads_taken(
    product: Product, units: int, heads: Mapping[Key, int], crop_of: Callable[[Key], str]
) -> dict[Key, int]:
    """Return the heads that some units take of those there are for them; what is left over stays out.

    ``heads`` has amounts of any key that a crop is of, ``crop_of`` says of which. Unless the product is a
    mix, all are of one crop. They are enough for the units; the last ones are left out first.
    """
    kept = dict(heads)
    if not product.parts:
        left = max((ceil_div(units * product.sources[crop_of(key)], MILLI) for key in heads), default=0)
        for key, number in heads.items():
            kept[key] = min(number, left)
            left -= kept[key]
        return kept
    total: dict[str, int] = defaultdict(int)
    for key, number in heads.items():
        total[crop_of(key)] += number
    for key in reversed(list(heads)):
        crop = crop_of(key)
        while kept[key] and units_made(product, {**total, crop: total[crop] - 1}) >= units:
            kept[key] -= 1
            total[crop] -= 1
    return kept
