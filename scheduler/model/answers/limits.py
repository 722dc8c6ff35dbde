"""What a plan reaches beside what is proven: the goals with their limits."""

from collections.abc import Set
from dataclasses import dataclass, replace

from scheduler.farm.units import CENT, MILLI
from scheduler.model.answers.reached import SHORTAGES, reached
from scheduler.model.bounds.proof import Proof
from scheduler.model.options.frame import Frame
from scheduler.model.search.incumbent import Incumbent
from scheduler.plan.rows import GoalRow, Plan
from scheduler.plan.worth import COST


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits of a search.

    Attributes:
        proof: what is proven.
        frame: the season.
        lost: wishes that neither a sowing nor anything growing can reach; they are left out everywhere.
        together: whether the plan was proven to be the best for all goals as one.
    """

    proof: Proof
    frame: Frame
    lost: Set[int]
    together: bool

    def goals(self, best: Incumbent, plan: Plan) -> tuple[GoalRow, ...]:
        """Return the goals with what the plan's own rows reach and the proven limits."""
        lost = {self.frame.wishes[index].name for index in self.lost}
        money = self.proof.least_cost(best.score)
        least = {level: float(self.least(level, best)) for level in SHORTAGES}
        if money is not None:
            least[COST] = money / MILLI / CENT

        def told(row: GoalRow) -> GoalRow:
            bound = least.get(row.level)
            # A limit that the plan itself passes is wrong: then nothing is known.
            if bound is None or bound > row.value:
                return replace(row, status=self._status(row, None))
            return replace(row, bound=self._limit(row.level, bound), status=self._status(row, bound))

        return tuple(told(row) for row in reached(best, plan, lambda row: row.demand not in lost))

    def least(self, level: int, best: Incumbent) -> int:
        """Return the least shortage of a level that is proven, without what is out of reach anyway."""
        return max(0, self.proof.least(level, best.score) - self.lost_of(level))

    def lost_of(self, level: int) -> int:
        """Return the shortage of a level that is out of reach."""
        wishes = (self.frame.wishes[index] for index in self.lost)
        return sum(wish.weight * wish.amount for wish in wishes if wish.level == level)

    def _status(self, row: GoalRow, bound: float | None) -> str:
        if bound is not None and row.value <= self._limit(row.level, bound):
            return "proven"
        return "proven together" if self.together and row.level not in SHORTAGES else row.status

    def _limit(self, level: int, bound: float) -> float:
        """Return a limit as it is told: only outlets bring money, so that nothing else is below nothing."""
        return float(bound) if level not in SHORTAGES and self.frame.farm.outlets else max(0.0, float(bound))
