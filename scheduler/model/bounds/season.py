"""What the parts of the relaxation share: the program, the room, the days' work and the money."""

from collections import defaultdict
from fractions import Fraction
from math import floor

from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import HOUR, MILLI
from scheduler.model.bounds.lanes import LaneRooms
from scheduler.model.bounds.program import Program
from scheduler.model.bounds.room import Room, of_domes, of_kind, of_places
from scheduler.model.variables.decisions import PULSE_EVERY, Pulse, no_pulse


class Season:
    """A farm's season while its relaxation is being written.

    Attributes:
        farm: the farm. program: what is written.
        first, last: first and last day on which anything may be done.
        tiers, zones, lanes, kinds, domes: the room there is.
        cost: column -> thousandths of a hundredth of money. given: what is spent whatever is planned.
    """

    def __init__(self, farm: Farm, first: int, last: int, pulse: Pulse = no_pulse) -> None:
        """Start a relaxation without any column; ``pulse`` is called on the way and may raise to end it."""
        self.farm, self._pulse = farm, pulse
        self.first, self.last = first, last
        self.program = Program()
        self.tiers = of_places(farm.places_of(PlaceKind.TIER))
        self.zones = of_places(farm.places_of(PlaceKind.ZONE))
        self.lanes = LaneRooms(farm)
        self.kinds: dict[str, Room] = {name: of_kind(kind) for name, kind in farm.equipment.items()}
        self.domes = of_domes(farm)
        self.cost: dict[int, Fraction] = defaultdict(Fraction)
        self.given = 0
        self._minutes: dict[int, list[tuple[int, int]]] = defaultdict(list)

    def open_days(self, work: Work, first: int, last: int) -> list[int]:
        """Return the days of a kind of work from ``first`` through ``last`` within the season."""
        return self.farm.calendar.open_days(work, max(first, self.first), min(last, self.last))

    def column(self, most: int) -> int:
        """Add a column to the program."""
        if not len(self.program.most) % PULSE_EVERY:
            self._pulse()
        return self.program.column(most)

    def work(self, day: int | None, minutes: int, column: int, parts: int = 1) -> None:
        """Count hundredths of a minute for ``parts`` of a column; without a day they only cost money."""
        if day is not None and minutes:
            self._minutes[day].append((column, minutes))
        hour = self.farm.cost("hour")
        self.pay(minutes * parts * hour * MILLI // HOUR, column, parts)

    def pay(self, money: int, column: int, parts: int = 1) -> None:
        """Let ``parts`` of a column cost thousandths of a hundredth of money."""
        if money:
            self.cost[column] += Fraction(money, parts)

    def price(self, name: str) -> int:
        """Return a price of the book in thousandths of a hundredth of money."""
        return self.farm.cost(name) * MILLI

    def whole_cost(self) -> dict[int, int]:
        """Return what columns cost, rounded down to whole thousandths of a hundredth."""
        return {column: floor(money) for column, money in self.cost.items()}

    def keep_limits(self) -> None:
        """Add the rows of all room and of each day's work."""
        for room in (self.tiers, self.zones, *self.lanes.rooms):
            self._pulse()
            room.keep(self.program, self.first, self.last)
        # What is owned and who works counts on the days that are planned, slots as long as anything stands.
        planned = min(self.last, self.farm.calendar.span - 1)
        for room in (*self.kinds.values(), *([self.domes] if self.domes else [])):
            self._pulse()
            room.keep(self.program, self.first, planned)
        hands = self.farm.hands
        if hands is not None:
            for day, parts in sorted(self._minutes.items()):
                if day <= planned:
                    self.program.keep(parts, hands.on(day))
