"""What is left to chance when a plan is replayed, and the interval of a chance that was counted."""

from dataclasses import dataclass
from math import sqrt

from scheduler.farm.units import WHOLE_SHARE

SLOW_WEEKS = 500
"""Usual spread of slow weeks, parts of ten thousand: an estimate."""

EARLY = 500
"""Usual part of its days that a head may lack when it is cut, parts of ten thousand: an estimate."""

Z95 = 1.959963984540054
"""How many standard deviations hold 95 percent of a normal distribution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """What is left to chance.

    Attributes:
        seed: first part of what every run's random numbers are made from; the run's number is the second.
        losses: whether plants are lost one by one; without, every cut gives the heads the plan counts on.
        slow: spread of slow weeks, parts of ten thousand: in each place and week growth is slower by the
            size of a normal number with this standard deviation.
        early: part of the days from seed to cut that a head may lack when it is cut.
    """

    seed: int = 1
    losses: bool = True
    slow: int = SLOW_WEEKS
    early: int = EARLY

    def __post_init__(self) -> None:
        """Refuse what is no share.

        Raises:
            ValueError: a spread or part is below 0 or above 1.
        """
        if not (0 <= self.slow <= WHOLE_SHARE and 0 <= self.early <= WHOLE_SHARE):
            raise ValueError("spread and early part are shares from 0 to 10,000")


def wilson(hits: int, runs: int, z: float = Z95) -> tuple[float, float]:
    """Return the lowest and highest chance that fit ``hits`` of ``runs``: the score interval.

    Source: Wilson E.B., 1927: Probable inference, the law of succession, and statistical inference, Journal
    of the American Statistical Association 22(158):209-212 (from memory).

    Raises:
        ValueError: there were no runs.
    """
    if runs < 1 or not 0 <= hits <= runs:
        raise ValueError(f"{hits} of {runs} runs")
    share, part = hits / runs, z * z / runs
    middle = (share + part / 2) / (1 + part)
    reach = z * sqrt(share * (1 - share) / runs + part / (4 * runs)) / (1 + part)
    return (
        0.0 if hits == 0 else max(0.0, middle - reach),
        1.0 if hits == runs else min(1.0, middle + reach),
    )
