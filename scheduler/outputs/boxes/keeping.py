"""Plain hints how to keep what is in a box: from the crop cards, as far as they say."""

from crops.library import card, card_names
from scheduler.book.words import counted
from scheduler.farm.farm import Farm

WARM = 8.0
"""Degrees C from which a crop is told to be kept out of a refrigerator (common practice, no source)."""

CAUTION = (
    "Keep leaves and herbs clean, and cold unless it says otherwise. Wash your hands, and rinse what you eat "
    "raw under running water. Do not eat what is slimy or smells off. Local rules decide."
)
"""Common practice, no source."""


def hint(farm: Farm, crop: str) -> str:
    """Return how long a crop keeps and where, in one sentence; empty where neither book nor card says it."""
    found = farm.crops[crop]
    days = found.handling.keeping_days
    own = any(name == "keeping_days" for name, _ in found.own_figures)
    library = card(found.card) if found.card in card_names() else None
    if library is None:
        return f"Keeps about {counted(days, 'day')}." if own and days else ""
    degrees = library.value("keeping_temperature")
    cold = library.value("keeping_days_at_0_5C") is not None or (degrees is not None and degrees >= WARM)
    at_five = library.value("keeping_days_at_5C")
    if cold:
        where = f" at about {degrees:g}\N{NO-BREAK SPACE}°C" if degrees is not None else ""
        return (
            f"Keeps about {counted(days, 'day')}{where}; the cold of a refrigerator harms it." if days else ""
        )
    if at_five and not own:
        return f"Keeps about {counted(round(at_five), 'day')} in a refrigerator at 5\N{NO-BREAK SPACE}°C."
    if not days:
        return ""
    where = f" at {degrees:g}\N{NO-BREAK SPACE}°C and in moist air" if degrees is not None else ""
    return f"Keeps about {counted(days, 'day')}{where}."
