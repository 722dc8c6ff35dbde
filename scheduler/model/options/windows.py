"""Days on which a crop may be cut, by the pace of where it stands."""

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm


class Windows:
    """First and last good days for the cuts of one crop at one pace."""

    def __init__(self, crop: Crop, farm: Farm, pace_of: str) -> None:
        self._crop, self._pace, self._place = crop, farm.pace, pace_of

    def first_cut(self, since: int) -> tuple[int, int]:
        """Return the days of the first cut of what was set out, or sown, on a day."""
        raft = self._crop.finish
        return (
            self._pace.first_day_reached(self._place, since, raft.days),
            self._pace.last_day_within(self._place, since, raft.days + raft.wait),
        )

    def next_cut(self, cut: int) -> tuple[int, int]:
        """Return the days of the cut after one on a day."""
        raft, interval = self._crop.finish, self._crop.cut_interval
        return (
            self._pace.first_day_reached(self._place, cut, interval),
            self._pace.last_day_within(self._place, cut, interval + raft.wait),
        )
