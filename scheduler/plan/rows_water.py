"""One row of the table of fish feed and plants."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterRow:
    """One loop of water in one week: feed that fish eat a day against what the plants ask, in grams.

    Areas are hundredths of a square metre, means of the days; ``off`` and ``area_off`` are what lies between
    feed and the middle of the band, and what that is in square metres: too little or too much by ``state``.
    """

    loop: str
    day: int
    last: int
    leafy: int
    fruiting: int
    asked_low: int
    asked_high: int
    eaten: int
    state: str
    off: int
    area_off: int
    fish: int
    remark: str
