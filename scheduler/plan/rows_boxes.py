"""Rows of a plan that tell its boxes; they belong to :mod:`scheduler.plan.rows`."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxRow:
    """The boxes of one share on one day.

    ``state`` is ``full``, ``short``, ``too early`` or ``out of reach``. ``value`` and ``highest`` are what a
    full box is worth at least and at most (they differ where a place is split), ``half_value`` a half box.
    ``products`` are in the box, ``repeats`` of them in the one before too, ``kinds`` different ones in the
    last boxes the share looks at. ``below`` is money under the least value, ``kinds_short`` kinds too few;
    ``missed`` and ``disliked`` name favourites that are not in and dislikes that are, with ``; `` between.
    ``short`` counts units.
    """

    share: str
    day: int
    boxes: int
    half_boxes: int
    state: str
    value: int
    highest: int
    half_value: int
    products: int
    repeats: int
    kinds: int
    below: int
    kinds_short: int
    missed: str
    disliked: str
    short: int
    reported: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxItemRow:
    """What one place of a share's boxes holds on one day; ``product`` is empty when nothing does.

    ``wanted`` counts the units all boxes of the day need there, ``filled`` those of this product.
    ``running`` is in how many boxes one after another the product has been, this one included.
    """

    share: str
    day: int
    slot: str
    category: str
    product: str
    full_box: float
    half_box: float
    wanted: int
    filled: int
    running: int
    demand: str
