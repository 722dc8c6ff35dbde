"""Numbers in words, for every text of a plan."""

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm


def counted(number: int, noun: str) -> str:
    """Return ``1 tray`` or ``1,200 trays``; the sign of a unit, ``g``, stays as it is."""
    return f"{number:,} {noun}{'' if number == 1 or noun == 'g' else 's'}"


def heads_in_words(crop: Crop, heads: int) -> str:
    """Say what is cut of a crop: ``12 heads``; ``400 g`` by mass; ``3 trays`` or ``8 plants`` in trays."""
    return counted(heads, head_word(crop))


def head_word(crop: Crop) -> str:
    """Return what one of the heads of a crop is called: ``head``, ``g``, ``tray`` or ``plant``."""
    if crop.grams:
        return "g"
    if crop.is_cut_in_trays:
        return "plant" if crop.finish.plants_per_unit > 1 else "tray"
    return "head"


def plant_word(crop: Crop) -> str:
    """Return what one of the plants that are cut is called: ``tray`` where an open tray is cut as a whole."""
    return "tray" if crop.is_cut_in_trays and crop.finish.plants_per_unit == 1 else "plant"


def as_heads(farm: Farm, crop: str, heads: int) -> int:
    """Return heads for sums over crops: what is sold by mass counts by the open trays it takes, rounded."""
    known = farm.crops.get(crop)
    return heads if known is None or not known.grams else (2 * heads + known.grams) // (2 * known.grams)


def seed_in_words(crop: Crop, seeds: int) -> str:
    """Say how much seed: ``98 seeds``, ``340 g`` where it is weighed, or ``98 plugs`` that are bought."""
    return counted(seeds, seed_word(crop))


def seed_word(crop: Crop) -> str:
    """Return what one piece of its seed is called: ``seed``, ``g`` or ``plug``."""
    if crop.bought:
        return "plug"
    return "g" if crop.sown_by_mass else "seed"


def worth_listing(number: int, limit: int) -> int:
    """Return how many of ``number`` things are listed before the rest is counted.

    Never is only one left over: its line is as short as the one that would count it.
    """
    return number if number <= limit + 1 else limit
