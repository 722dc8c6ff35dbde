"""Numbers in words, for every text of a plan."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from scheduler.book.words import counted, listed, plural
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.units import nearest

GRAMS_A_KILOGRAM = 1000


def by_word(counts: Iterable[tuple[str, int]]) -> dict[str, int]:
    """Return word -> sum of what is counted by it, in the order in which the words come."""
    sums: dict[str, int] = {}
    for word, number in counts:
        sums[word] = sums.get(word, 0) + number
    return sums


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


def is_sold_standing(farm: Farm, crop: str) -> bool:
    """Say whether a crop is sold in its trays as it stands: taken out, and not touched by a knife."""
    known = farm.crops.get(crop)
    return known is not None and known.is_cut_in_trays and not known.grams


def word_of_heads(farm: Farm, crop: str) -> str:
    """Return what one of the heads of a crop is called by the crop's name; ``head`` for one not known."""
    known = farm.crops.get(crop)
    return "head" if known is None else head_word(known)


def plant_word(crop: Crop) -> str:
    """Return what one of the plants that are cut is called: ``tray`` where an open tray is cut as a whole."""
    return "tray" if crop.is_cut_in_trays and crop.finish.plants_per_unit == 1 else "plant"


def are_greens(farm: Farm, crops: Iterable[str]) -> bool:
    """Say whether microgreens are among some crops: those whose open trays are cut as a whole."""
    known = (farm.crops[crop] for crop in crops if crop in farm.crops)
    return any(plant_word(crop) == "tray" for crop in known)


def cell_word(farm: Farm, crop: str) -> str:
    """Return what one cell sown of a crop is called: ``tray`` where an open tray is all of one cell."""
    known = farm.crops.get(crop)
    return "tray" if known is not None and known.tray.plants_per_unit == 1 else "cell"


def as_heads(farm: Farm, crop: str, heads: int) -> int:
    """Return heads for sums over crops: by mass the open trays it takes, in beds kilograms, rounded."""
    known = farm.crops.get(crop)
    if known is None or not known.is_sold_by_mass:
        return heads
    each = known.grams or GRAMS_A_KILOGRAM
    return nearest(Fraction(heads, each))


def as_heads_by_day(farm: Farm, crop: str, heads: Mapping[int, int]) -> dict[int, int]:
    """Return day -> heads of one crop for sums over crops, so that the sum of any first days is rounded once.

    A week, a season and all its weeks together then tell the same.
    """
    told: dict[int, int] = {}
    total = before = 0
    for day in sorted(heads):
        total += heads[day]
        so_far = as_heads(farm, crop, total)
        told[day], before = so_far - before, so_far
    return told


def sum_nouns(farm: Farm) -> str:
    """Return what sums over the crops of a farm count: ``heads``, or ``heads, trays and kg``.

    It is as :func:`as_heads` counts: trays where greens are weighed, kilograms where beds are.
    """
    return listed([plural(word) for word in _sum_words(farm)])


def _sum_words(farm: Farm) -> list[str]:
    """Return what one of each thing is called that sums over the crops of a farm count."""
    return list(dict.fromkeys(map(_sum_word, farm.crops.values()))) or ["head"]


def _sum_word(crop: Crop) -> str:
    if crop.is_sold_by_mass:
        return "tray" if crop.grams else "kg"
    return head_word(crop)


def own_nouns(farm: Farm) -> str:
    """Return what is counted crop by crop on a farm: ``heads``, or ``heads, g and pieces``."""
    words = dict.fromkeys(head_word(crop) for crop in farm.crops.values()) or ["head"]
    return listed([plural(word) for word in words])


def done_word(farm: Farm) -> str:
    """Return what is done to the crops of a farm: ``cut``, ``picked`` in beds, ``harvested`` for both."""
    ways = {crop.picking is None for crop in farm.crops.values()}
    return "harvested" if len(ways) > 1 else "picked" if ways == {False} else "cut"


def sum_in_words(farm: Farm, number: int) -> str:
    """Say a sum over crops: ``1 head``, ``12 heads``, or ``1,204 heads, trays and kg``."""
    words = _sum_words(farm)
    return counted(number, words[0]) if len(words) == 1 else f"{number:,} {sum_nouns(farm)}"


def seed_in_words(crop: Crop, seeds: int) -> str:
    """Say how much seed: ``98 seeds``, ``340 g`` where it is weighed, or ``98 plugs`` that are bought."""
    return counted(seeds, seed_word(crop))


def seed_sum(farm: Farm, seeds: Iterable[tuple[str, int]]) -> str:
    """Say a sum of (crop, its seed): ``98 seeds and 340 g``; of a crop that is not known they are seeds."""
    known = farm.crops
    sums = by_word((seed_word(known[crop]) if crop in known else "seed", number) for crop, number in seeds)
    return listed([counted(number, word) for word, number in (sums or {"seed": 0}).items()])


def seed_word(crop: Crop) -> str:
    """Return what one piece of its seed is called: ``seed``, ``g`` or ``plug``."""
    if crop.bought:
        return "plug"
    return "g" if crop.sown_by_mass else "seed"


def most_first(counts: Mapping[str, int]) -> tuple[tuple[str, int], ...]:
    """Return names and their counts in the order in which they are listed: the most first, then by name."""
    return tuple(sorted(counts.items(), key=lambda each: (-each[1], each[0])))


def worth_listing(number: int, limit: int) -> int:
    """Return how many of ``number`` things are listed before the rest is counted.

    Never is only one left over: its line is as short as the one that would count it.
    """
    return number if number <= limit + 1 else limit
