"""Variables of rafts that are lifted out of the middle of a row."""

from ortools.sat.python.cp_model import CpModel

from scheduler.model.variables.decisions import Decisions, Tag


def lifts(model: CpModel, chosen: Decisions) -> None:
    """Rafts that are lifted out past others that stay."""
    for queue, days in chosen.queues.items() if chosen.counts_lifts else ():
        for day, rafts in days.items():
            name = f"lifts_{queue.bundle}_{queue.entry}_{day}"
            tag = Tag("", queue.enters, True, queue.bundle, until=max(day, queue.enters))
            chosen.lifts[queue, day] = chosen.new(model, chosen.most(rafts), name, tag)
