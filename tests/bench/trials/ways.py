"""Every way a batch can go from sowing to its first cut, and the days of later cuts."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.growth.stages import PLACE_OF, stage_days
from scheduler.farm.places import Place, PlaceKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Days of one batch: sown, set on boards (None without), set on rafts, and days it may be cut first."""

    crop: str
    sown: int
    board_day: int | None
    raft_day: int
    cut_days: tuple[int, ...]

    @property
    def before_raft(self) -> int:
        """The day it entered the stage before the raft."""
        return self.sown if self.board_day is None else self.board_day


class Ways:
    """Ways of all crops of a farm by the day of the first cut, latest sowing first."""

    def __init__(
        self,
        farm: Farm,
        allowed: Callable[[Way], Way | None] = lambda way: way,
        recut: Callable[[str, int, int], bool] = lambda _crop, _after, _day: True,
    ) -> None:
        """List what work days and stage days allow.

        ``allowed`` may leave ways out or take days to cut from them; ``recut`` says which later cuts may be.
        """
        self._farm, self._recut = farm, recut
        self._owner = {kind: self._one_pace(kind) for kind in PLACE_OF if farm.places_of(PLACE_OF[kind])}
        self._by_cut: dict[tuple[str, int], list[Way]] = defaultdict(list)
        self._recuts: dict[tuple[str, int], list[int]] = {}
        for crop in farm.crops.values():
            for listed in self._list(crop):
                way = allowed(listed)
                for day in way.cut_days if way else ():
                    self._by_cut[crop.name, day].append(way)
        for ways in self._by_cut.values():
            ways.sort(key=lambda way: (-way.sown, -way.raft_day, -(way.board_day or 0)))

    def _one_pace(self, kind: StageKind) -> str:
        places = self._farm.places_of(PLACE_OF[kind])
        if len({self._farm.pace.signature(place.belongs_to) for place in places}) > 1:
            raise ValueError("the hand rule knows one pace for all places of a kind")
        return places[0].belongs_to

    def _list(self, crop: Crop) -> list[Way]:
        farm, found = self._farm, []
        rafts: dict[int, tuple[int, ...]] = {}
        for sown in farm.calendar.open_days(Work.SOW, farm.today, farm.calendar.span):
            if not crop.may_sow(sown):
                continue
            for out in stage_days(farm, crop, StageKind.TRAY, self._owner[StageKind.TRAY], sown):
                onward = (
                    stage_days(farm, crop, StageKind.BOARD, self._owner[StageKind.BOARD], out)
                    if crop.board
                    else [out]
                )
                for day in onward:
                    if day not in rafts:
                        days = stage_days(farm, crop, StageKind.RAFT, self._owner[StageKind.RAFT], day)
                        rafts[day] = tuple(cut for cut in days if cut <= farm.calendar.span)
                    found.append(
                        Way(
                            crop=crop.name,
                            sown=sown,
                            board_day=out if crop.board else None,
                            raft_day=day,
                            cut_days=rafts[day],
                        )
                    )
        return found

    def to_cut_on(self, crop: str, day: int) -> list[Way]:
        """Return the ways whose first cut may be on a day, latest sowing first."""
        return self._by_cut.get((crop, day), [])

    def recuts(self, crop: Crop, after: int) -> list[int]:
        """Return the days of the next cut of plants cut on a day."""
        key = (crop.name, after)
        if key not in self._recuts:
            pace, owner = self._farm.pace, self._owner[StageKind.RAFT]
            first = pace.first_day_reached(owner, after, crop.cut_interval)
            last = pace.last_day_within(owner, after, crop.cut_interval + crop.finish.wait)
            days = self._farm.calendar.open_days(Work.HARVEST, first, last)
            self._recuts[key] = [
                day for day in days if day <= self._farm.calendar.span and self._recut(crop.name, after, day)
            ]
        return self._recuts[key]


def rows_alone(farm: Farm) -> list[tuple[Place, ...]]:
    """Return every row of rafts as a queue of its own."""
    return [(lane,) for lane in farm.places_of(PlaceKind.LANE)]
