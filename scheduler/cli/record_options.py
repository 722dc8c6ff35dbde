"""The options of ``raftway record`` that tell an entry."""

from collections.abc import Mapping
from typing import Any

import click

from scheduler.cli.values import DAY

OPTIONS: tuple[tuple[str, Any, str], ...] = (
    ("--lot", str, "Lot code; of sown it is made from crop and day where it is left out."),
    ("--crop", str, "Crop that was sown."),
    ("--place", str, 'Where it stood, such as "North trough 1" or "Shelf A 1 slots 1-2".'),
    ("--to", str, "Where it came: a tier, a board zone, or a row of rafts."),
    ("--units", click.IntRange(0), "Trays, boards or rafts it came into, or that changed their place."),
    ("--plants", click.IntRange(0), "Plants; sown: cells; germinated, thinned: seedlings; delivered: units."),
    ("--left", click.IntRange(0), "Plants that stayed where they were; cut: that stay to grow again."),
    ("--heads", click.IntRange(0), "Heads that can be sold."),
    ("--seed-lot", str, "Lot of the seed; several with ; between."),
    ("--product", str, "What was delivered, or what was applied."),
    ("--customer", str, "Who got it."),
    ("--delivery", str, 'Which delivery, such as "HT-1 2026-04-21".'),
    ("--days", click.IntRange(0, 366), "Days after a treatment before it may be cut, as the label says."),
    ("--until", DAY, "Last day of a closure, a quarantine or a treatment's interval."),
    ("--who", str, "Who did it.  [also from RAFTWAY_WHO]"),
    ("--note", str, "Anything else."),
    ("--counted", click.IntRange(0), "What was counted of a task that is done, or of one that is corrected."),
)


NAMES = tuple(name.removeprefix("--").replace("-", "_") for name, _, _ in OPTIONS if name != "--counted")
"""Fields of an entry that an option tells."""


def given_by(said: Mapping[str, Any]) -> dict[str, Any]:
    """Return the options that make an entry, those left out aside."""
    given = {name: said[name] for name in NAMES if said[name] is not None}
    return given | ({"lifted": True} if said["lifted"] else {})
