"""What could serve a wish: which crops, from which days on, and what stands beside them."""

from collections import defaultdict

from scheduler.farm.orders.goods import crops_for
from scheduler.model.variables.box_picks import products_in
from scheduler.model.variables.decisions import Decisions


class Serving:
    """Finds what could serve the wishes of a model; made once for it."""

    def __init__(self, chosen: Decisions) -> None:
        """Read the batches of a model."""
        self._chosen = chosen
        self._products = products_in(chosen)
        self._cuts: dict[str, list[tuple[int, int, list[int]]]] = defaultdict(list)
        for out in chosen.options.tray_outs:
            if out.cuts:
                self._cuts[out.crop].append((out.sown, 1, list(out.cuts)))
        for option in chosen.options.raft_sets:
            number = min((step.number for step in option.cuttings), default=0)
            firsts = sum(1 for step in option.cuttings if step.number == number)
            self._cuts[option.crop].append((option.day, firsts, [step.day for step in option.cuttings]))
        for planting in chosen.options.bed_sets:
            picked = [pick.day for pick in planting.picks]
            self._cuts[planting.crop].append((planting.day, len(picked), picked))
        self._stay = {
            name: crop.finish.days + crop.finish.wait + (crop.cuts - 1) * crop.cut_interval
            for name, crop in chosen.farm.crops.items()
        }

    @property
    def boxes(self) -> bool:
        """Whether any wish is a place of a box."""
        return bool(self._products)

    def crops(self, index: int) -> set[str]:
        """Return all crops that may go into a wish."""
        return set(crops_for(self._chosen.farm, self._chosen.frame.wishes[index]))

    def beside(self, crop: str) -> frozenset[str]:
        """Return the crops that go into wishes which a crop goes into as well."""
        wishes = range(len(self._chosen.frame.wishes))
        return frozenset().union(*(some for some in map(self.crops, wishes) if crop in some)) - {crop}

    def choices(self, index: int) -> list[set[str]]:
        """Return the crops that fill a wish together: all of them, or those of each product of a box."""
        found = self._products.get(index)
        return [self.crops(index)] if found is None else found

    def days(self, index: int, crops: set[str], *, later: bool) -> list[int]:
        """Return the days on which batches of some crops begin that serve a wish, in order.

        By the first cut of a batch, or with ``later`` by any of them.
        """
        frame = self._chosen.frame
        wish = frame.wishes[index]
        found = {
            begun
            for crop in crops
            for begun, firsts, cuts in self._cuts[crop]
            if any(frame.serves(day, wish) for day in (cuts if later else cuts[:firsts]))
        }
        return sorted(found)

    def neighbours(self, crops: set[str]) -> list[str]:
        """Return crops that share a row or a bed with some crops, nearest stay first.

        What is cut in its trays shares the shelves with all others.
        """
        chosen = self._chosen
        places = {crop: {*chosen.bundles_of[crop], *chosen.beds_of(crop)} for crop in chosen.farm.crops}
        theirs = {name for crop in crops for name in places[crop]}
        in_trays = {crop for crop in self._cuts if chosen.farm.crops[crop].is_cut_in_trays}
        shared = {crop for crop, names in places.items() if names & theirs} | in_trays
        shared = (set(self._cuts) if crops & in_trays else shared) - crops
        stay = max(self._stay[crop] for crop in crops)
        return sorted(shared, key=lambda crop: (abs(self._stay[crop] - stay), crop))


def stretches(days: list[int], longest: int) -> list[tuple[int, int]]:
    """Part days into stretches no longer than some days, the latest first."""
    found: list[tuple[int, int]] = []
    for day in reversed(days):
        if found and found[-1][1] - day <= longest:
            found[-1] = (day, found[-1][1])
        else:
            found.append((day, day))
    return found
