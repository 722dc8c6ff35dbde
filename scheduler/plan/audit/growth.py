"""Growth of places, added up once so that each of many thousand questions is one subtraction."""

from dataclasses import dataclass, field

from scheduler.farm.growth.pace import Pace


@dataclass(frozen=True, slots=True)
class Growth:
    """Card days grown in a place between two days, in thousandths; sums are kept as they are asked for.

    Attributes:
        pace: the farm's pace.
    """

    pace: Pace
    _sums: dict[tuple[str, int], list[int]] = field(default_factory=dict)

    def at(self, place: str, start: int, end: int) -> int:
        """Return thousandths of card days grown in a shelf or trough from ``start`` until ``end``."""
        return self._until(place, end) - self._until(place, start)

    def _until(self, place: str, day: int) -> int:
        """Growth from day 0 up to ``day``; negative before day 0."""
        step = 1 if day >= 0 else -1
        sums = self._sums.setdefault((place, step), [0])
        while len(sums) <= abs(day):
            at = len(sums) - 1 if step > 0 else -len(sums)
            sums.append(sums[-1] + step * self.pace.on(place, at))
        return sums[abs(day)]
