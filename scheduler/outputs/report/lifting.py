"""What a wet raft weighs, on paper: an estimate with the figures behind it, and how many should lift it."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from crops.published import reference_sources, table
from scheduler.book.words import as_read
from scheduler.farm.farm import Farm
from scheduler.outputs.report.say import own
from scheduler.plan.views.weights import (
    Estimate,
    Lift,
    RaftWeight,
    lift_shares,
    raft_lift,
    raft_limit,
    raft_weights,
    tenths,
)

TEN = 10

CALLED = {
    "board_thickness": "thickness of the board",
    "board_density": "weight of its foam",
    "water_film": "water that clings to the raft",
    "roots_and_water": "roots and the water between them",
    "kept_after_cut": "what stays of a plant that is cut again",
    "plant_mass": "a plant whose card has no weight",
}
"""Quantity of the estimate -> its words."""

LIFTERS = {1: "under the limit of one; two are safer", 2: "two"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Raft:
    """One raft of one crop; weights as text in the farm's unit of mass."""

    crop: Markup
    raft: Markup
    plants: str
    leaves: str
    roots: str
    board: str
    film: str
    whole: str
    bounds: str
    lifters: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """One figure of the estimate and where it comes from."""

    name: str
    value: str
    conditions: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifting:
    """Weights of rafts, the limit for one person and how it comes about."""

    unit: str
    rafts: tuple[Raft, ...]
    figures: tuple[Used, ...]
    limit: str
    shares: tuple[tuple[str, str], ...]
    source: str


def lifting(farm: Farm) -> Lifting:
    """Return what is to be said on lifting; without rafts where no size of a raft is known."""
    unit = farm.mass_unit
    return Lifting(
        unit=unit,
        rafts=tuple(_raft(each, unit) for each in raft_weights(farm)),
        figures=tuple(_figures()),
        limit=_weight(raft_limit(), unit, up=False),
        shares=tuple(_shares(raft_lift())),
        source=reference_sources()["niosh_94_110"].on_paper,
    )


def _raft(each: RaftWeight, unit: str) -> Raft:
    return Raft(
        crop=own(each.crop),
        raft=own(each.raft),
        plants=f"{each.plants:,}" + ("" if each.from_card else "*"),
        leaves=_typical(each.leaves, unit),
        roots=_typical(each.roots, unit),
        board=_typical(each.board, unit),
        film=_typical(each.film, unit),
        whole=_typical(each.whole, unit),
        bounds=f"{_weight(each.whole.low, unit)} to {_weight(each.whole.high, unit)}",
        lifters=LIFTERS.get(each.lifters, "more than two, or cut it empty first"),
    )


def _typical(estimate: Estimate, unit: str) -> str:
    return _weight(estimate.typical, unit)


def _weight(grams: int, unit: str, *, up: bool = True) -> str:
    whole, part = divmod(tenths(grams, unit, up=up), TEN)
    return f"{whole:,}.{part}"


def _figures() -> Iterable[Used]:
    for row in table("raft_weight"):
        yield Used(
            name=CALLED[row["quantity"]],
            value=f"{row['value']} ({row['low']} to {row['high']}) {as_read(row['unit'])}",
            conditions=row["conditions"],
            mark=row["evidence"],
        )


def _shares(lift: Lift) -> Iterable[tuple[str, str]]:
    """Say how much of the limit each part of the lift leaves."""
    said = {
        "reach": f"hands {float(lift.reach):g} cm out",
        "height": f"hands {float(lift.height):g} cm up",
        "travel": f"lifted by {float(lift.travel):g} cm",
        "turn": "no twist",
        "hold": "wet, without handles",
        "rhythm": "now and then",
    }
    for name, share in lift_shares(lift).items():
        yield said[name], f"{float(share):.2f}"
