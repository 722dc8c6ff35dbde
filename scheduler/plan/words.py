"""Numbers in words, for every text of a plan."""

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm

GRAMS_A_KILOGRAM = 1000


def counted(number: int, noun: str) -> str:
    """Return ``1 tray`` or ``1,200 trays``; the sign of a unit, ``g``, stays as it is."""
    return f"{number:,} {noun}{'' if number == 1 or noun == 'g' else 's'}"


def heads_in_words(crop: Crop, heads: int) -> str:
    """Say what is harvested of a crop: ``12 heads``; ``9 pieces`` in beds; ``400 g`` by mass; ``3 trays``."""
    return counted(heads, head_word(crop))


def head_word(crop: Crop) -> str:
    """Return what one of the heads of a crop is called: ``head``, ``g``, ``piece``, ``tray`` or ``plant``."""
    if crop.is_sold_by_mass:
        return "g"
    if crop.picking is not None:
        return "piece"
    if crop.is_cut_in_trays:
        return "plant" if crop.finish.plants_per_unit > 1 else "tray"
    return "head"


def word_of_heads(farm: Farm, crop: str) -> str:
    """Return what one of the heads of a crop is called by the crop's name; ``head`` for one not known."""
    known = farm.crops.get(crop)
    return "head" if known is None else head_word(known)


def plant_word(crop: Crop) -> str:
    """Return what one of the plants that are cut is called: ``tray`` where an open tray is cut as a whole."""
    return "tray" if crop.is_cut_in_trays and crop.finish.plants_per_unit == 1 else "plant"


def as_heads(farm: Farm, crop: str, heads: int) -> int:
    """Return heads for sums over crops: by mass the open trays it takes, in beds kilograms, rounded."""
    known = farm.crops.get(crop)
    if known is None or not known.is_sold_by_mass:
        return heads
    each = known.grams or GRAMS_A_KILOGRAM
    return (2 * heads + each) // (2 * each)


def sum_nouns(farm: Farm) -> str:
    """Return what sums over the crops of a farm count: ``heads``, or ``heads, trays and kg``.

    It is as :func:`as_heads` counts: trays where greens are weighed, kilograms where beds are.
    """
    words = list(dict.fromkeys(_sum_noun(crop) for crop in farm.crops.values())) or ["heads"]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _sum_noun(crop: Crop) -> str:
    if crop.is_sold_by_mass:
        return "trays" if crop.grams else "kg"
    return f"{head_word(crop)}s"


def own_nouns(farm: Farm) -> str:
    """Return what is counted crop by crop on a farm: ``heads``, or ``heads, g and pieces``."""
    words = list(dict.fromkeys(head_word(crop) for crop in farm.crops.values())) or ["head"]
    words = [word if word == "g" else f"{word}s" for word in words]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def done_word(farm: Farm) -> str:
    """Return what is done to the crops of a farm: ``cut``, ``picked`` in beds, ``harvested`` for both."""
    ways = {crop.picking is None for crop in farm.crops.values()}
    return "harvested" if len(ways) > 1 else "picked" if ways == {False} else "cut"


def sum_in_words(farm: Farm, number: int) -> str:
    """Say a sum over crops: ``12 heads``, or ``1,204 heads, trays and kg``."""
    nouns = sum_nouns(farm)
    return counted(number, "head") if nouns == "heads" else f"{number:,} {nouns}"


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
