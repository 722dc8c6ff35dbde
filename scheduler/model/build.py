"""Puts a model together: variables, then every rule."""

from dataclasses import dataclass

from ortools.sat.python.cp_model import CpModel

from scheduler.model.options.frame import Frame
from scheduler.model.options.options import OptionLister, Options, Span
from scheduler.model.options.pools import Bundle
from scheduler.model.options.thin import thinned
from scheduler.model.rules.amounts import amounts
from scheduler.model.rules.beds import bed_pickings, bed_positions
from scheduler.model.rules.boxes import boxes
from scheduler.model.rules.coolers import coolers
from scheduler.model.rules.cuts import cuts, deliveries, heads
from scheduler.model.rules.equipment import equipment
from scheduler.model.rules.hours import hours
from scheduler.model.rules.lane_order import lane_order
from scheduler.model.rules.losses import losses
from scheduler.model.rules.outlets import outlets
from scheduler.model.rules.rest import rest
from scheduler.model.rules.space import lane_slots, tier_slots, zone_slots
from scheduler.model.rules.units import queues, whole_units
from scheduler.model.variables.decide import decide
from scheduler.model.variables.decisions import Decisions, Homes, Pulse, no_pulse

RULES = (
    losses,
    cuts,
    heads,
    deliveries,
    amounts,
    boxes,
    outlets,
    whole_units,
    queues,
    tier_slots,
    zone_slots,
    lane_slots,
    lane_order,
    rest,
    equipment,
    hours,
    coolers,
    bed_positions,
    bed_pickings,
)
"""Every rule of the planner; each takes the model and the decisions and adds constraints."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """A model and its variables."""

    model: CpModel
    chosen: Decisions


def list_options(frame: Frame, pulse: Pulse = no_pulse) -> Options:
    """List every batch that could be in a frame; ``pulse`` is called on the way."""
    span = Span(
        sow_from=frame.start,
        sow_to=frame.start + frame.period - 1 if frame.period else frame.end,
        end=frame.end,
        steady=frame.period > 0,
        beds=frame.beds,
        in_every_way=frame.in_every_way,
    )
    return thinned(OptionLister(frame.farm, span, frame.useful_days()).list_all(pulse), frame)


def build(
    frame: Frame,
    bundles: tuple[Bundle, ...],
    homes: Homes | None = None,
    pulse: Pulse = no_pulse,
    options: Options | None = None,
) -> Built:
    """Build the model of a frame on some bundles of rows; crops named in ``homes`` keep to those bundles.

    ``options`` are those of the frame where they are listed already, which takes long on a large farm.

    Raises:
        Exception: whatever ``pulse`` raises to give the work up.
    """
    pulse()
    model = CpModel()
    listed = list_options(frame, pulse) if options is None else options
    chosen = Decisions(frame, listed, bundles, homes or {}, pulse)
    decide(model, chosen)
    for rule in RULES:
        pulse()
        rule(model, chosen)
    return Built(model=model, chosen=chosen)
