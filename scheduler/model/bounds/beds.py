"""Beds in the relaxation: on which days something could be picked at all, however little room there is.

How much a bed gives is left open, so a limit never counts a delivery as short that a bed can reach in time.
"""

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.orders.reach import earliest_cut


def picking_reach(farm: Farm, crop: Crop, last: int) -> list[int]:
    """Return the picking days of a crop, through ``last``, by which something of it can bear.

    What grows in a bed may bear from the first day on, a new sowing from the day the fastest one does.
    """
    if crop.picking is None:
        return []
    grows = any(row.crop == crop.name for row in farm.growing)
    first = farm.today if grows else earliest_cut(farm, crop)
    return [] if first is None else crop.picking.days_within(first, last)
