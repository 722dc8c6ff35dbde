"""Coolers: where heads stand between the day they are cut and the day they are delivered."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooler:
    """One cooler of the farm.

    Attributes:
        name: its name in the book.
        crates: crates there is room for.
        temperature: what it is set to, hundredths of a degree C.
    """

    name: str
    crates: int
    temperature: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Crating:
    """How a crop is kept after cutting.

    Attributes:
        heads: heads of it in one crate; a crate holds one crop.
        coldest, warmest: the air it keeps in, hundredths of a degree C.
    """

    heads: int
    coldest: int
    warmest: int


def coolers_for(crating: Crating, coolers: Iterable[Cooler]) -> tuple[Cooler, ...]:
    """Return the coolers a crop stands in: all of one temperature, that of the book's first that suits it.

    So crops of one temperature stand together and others never with them. Empty where none suits.
    """
    listed = tuple(coolers)
    fitting = [each.temperature for each in listed if crating.coldest <= each.temperature <= crating.warmest]
    return tuple(each for each in listed if fitting and each.temperature == fitting[0])
