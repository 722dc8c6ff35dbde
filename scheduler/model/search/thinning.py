"""Which parts thin out the beds: fewer plants may give the same, and what grows elsewhere may stand in."""

from collections.abc import Iterator

from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.selection import Part
from scheduler.model.search.serving import Serving


def bed_parts(best: Incumbent, serving: Serving) -> Iterator[Part]:
    """Yield a part for each crop that stands in beds: all of it, for the whole season.

    What is cut of the crops beside it in its deliveries is shared out anew, so that one plant in fifty is not
    kept for the one unit that there is enough of something else for.
    """
    chosen = best.built.chosen
    planted = {option.crop for option, plants in chosen.bed_plants.items() if best.values[plants.index]}
    frame = chosen.frame
    first = min([frame.start, *(row.since for row in frame.farm.growing)])
    for crop in sorted(planted):
        beside = serving.beside(crop)
        yield Part(
            crops=frozenset({crop}), first=first, last=frame.end, swap=beside, since=first, until=frame.end
        )
