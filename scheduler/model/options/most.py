"""The most plants that a batch can be of use for."""

from collections import defaultdict

from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.model.options.frame import Frame
from scheduler.model.options.options import RaftSet, TrayOut


class MostPlants:
    """Upper limits: no batch need be larger than what could be sold of it at one cut, and one raft more."""

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self._memo: dict[tuple[str, int, int], int] = {}
        self._wanted: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        for wish in frame.wishes:
            most: dict[str, int] = {}
            for name in wish.products:
                for crop, per_unit in frame.farm.products[name].sources.items():
                    most[crop] = max(most.get(crop, 0), per_unit)
            for crop, per_unit in most.items():
                heads = ceil_div(wish.amount * per_unit, MILLI)
                self._wanted[crop].append((wish.first - wish.age, wish.last, heads))

    def plants(self, option: RaftSet) -> int:
        """Return the upper limit of the plants of one option."""
        farm = self._frame.farm
        if option.source is None:
            return farm.growing[option.growing].plants
        crop = farm.crops[option.crop]
        spans: dict[int, tuple[int, int]] = {}
        for step in option.cuttings:
            first, last = spans.get(step.number, (step.day, step.day))
            spans[step.number] = (min(first, step.day), max(last, step.day))
        heads = max(self._heads(option.crop, first, last) for first, last in spans.values())
        per_unit = crop.finish.plants_per_unit
        return (ceil_div(heads * WHOLE_SHARE, crop.heads_share * per_unit) + 1) * per_unit

    def cells(self, out: TrayOut) -> int:
        """Return the upper limit of the cells of an option that is cut in its trays."""
        farm = self._frame.farm
        crop = farm.crops[out.crop]
        heads = max(self._heads(out.crop, day, day) for day in out.cuts)
        per_unit = crop.tray.plants_per_unit
        return (ceil_div(heads * WHOLE_SHARE, crop.heads_share * per_unit) + 1) * per_unit

    def _heads(self, crop: str, first: int, last: int) -> int:
        """Return the heads wanted of a crop by demands that a cut from first through last could serve."""
        key = (crop, first, last)
        if key not in self._memo:
            period = self._frame.period
            self._memo[key] = sum(
                heads
                for opens, closes, heads in self._wanted[crop]
                if (opens <= last and closes >= first)
                or (period and (opens - first) % period <= last - first)
                or (period and (first - opens) % period <= closes - opens)
            )
        return self._memo[key]
