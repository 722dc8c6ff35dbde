"""Farms of some weeks with steady orders, and the first steps of the search for a large book on them."""

import random
from dataclasses import dataclass, replace

from farms import EVER, delivery, growing, make_crop, make_farm, target

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.growth.pace import Pace
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.model.answers.solution import decided
from scheduler.model.build import build
from scheduler.model.first.convoys import Cycle
from scheduler.model.first.laying import laid
from scheduler.model.first.start import homes_of, idle, nothing, steady_week
from scheduler.model.goals import blend
from scheduler.model.options.frame import Frame, season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.layout import lay_out

WEEKS = 9


@dataclass(frozen=True, kw_only=True)
class Started:
    """A search after its first steps."""

    engine: Engine
    frame: Frame
    cycle: Cycle
    best: Incumbent


def any_crop(draw, name, **changes):
    share = lambda: draw.choice((10_000, 9_500, 9_000))  # noqa: E731
    cuts = draw.choice((1, 1, 1, 3))
    return make_crop(
        name,
        **{
            "tray": (draw.randint(4, 8), draw.randint(2, 4), share()),
            "board": (draw.randint(4, 6), draw.randint(2, 4), share()) if draw.random() < 0.6 else None,
            "raft": (draw.randint(5, 10), draw.randint(3, 5), share()),
            "cuts": cuts,
            "interval": 7 if cuts > 1 else 0,
            "saleable": share(),
        }
        | changes,
    )


def any_steps(draw, most):
    """Slots that may change for a fortnight, open late or close early."""
    day = draw.randint(14, 35)
    steps = [((EVER, most),)] * 4
    steps += [((EVER, most), (day, draw.randint(0, most)), (day + 14, most))]
    steps += [((EVER, 0), (day, most)), ((EVER, most), (day, 0))]
    return draw.choice(steps)


def any_steady_farm(seed):
    """Two or three crops, one with a variety for the other half of the season, and whatever may go wrong."""
    draw = random.Random(seed)
    summer = any_crop(draw, "Summer")
    middle = draw.randint(20, 40)
    crops = [
        replace(summer, sowing=((0, middle),)),
        replace(any_crop(draw, "Winter"), route=summer.route, sowing=((middle + 1, 400),)),
        *(any_crop(draw, name) for name in ("Kale", "Basil")[: draw.randint(0, 2)]),
    ]
    crops = [replace(crop, cuts=1, cut_interval=0) if crop.name == "Winter" else crop for crop in crops]
    products = dict.fromkeys(("Head", "Summer", "Winter"), {"Summer": 1000, "Winter": 1000})
    wanted = ["Head", *(crop.name for crop in crops[2:])]
    demands = [
        delivery(name, day, draw.randint(3, 20), max_age=draw.randint(0, 3), priority=draw.choice((2, 3)))
        for name in wanted
        for day in range(draw.randint(0, 6), 7 * WEEKS, 7)
        if draw.random() < 0.9
    ]
    if draw.random() < 0.3:
        demands = [target(name, day, 12) for name in wanted for day in range(0, 7 * (WEEKS - 1), 7)]
    rows = [
        growing("Summer", StageKind.RAFT, -draw.randint(0, 6), draw.randint(2, 12), 2, lot=f"G{n}", order=n)
        for n in range(1, draw.choice((1, 1, 3)))
    ]
    made = make_farm(
        days=7 * WEEKS,
        crops=crops,
        products=products,
        demands=demands,
        growing=rows,
        closed={work: draw.sample(range(7 * WEEKS), draw.choice((0, 3))) for work in Work},
        work_days={work: draw.choice((range(7), range(7), {0, 3}, {1, 2, 4})) for work in Work},
        tier_slots=any_steps(draw, draw.randint(3, 8)),
        zone_slots=any_steps(draw, draw.randint(3, 8)),
        lanes=draw.randint(1, 3),
        lane_slots=10 if rows else any_steps(draw, draw.randint(3, 10)),
        trays=draw.randint(4, 30),
        rafts=draw.randint(8, 40),
        wash_days=draw.choice((0, 0, 1)),
        crew=draw.choice((None, None, 60_00)),
        rules={
            name: draw.random() < 0.3
            for name in ("share_trays", "share_boards", "share_rafts", "lift_out", "all_or_nothing")
        },
    )
    return with_second_trough(made, draw.choice((800, 1100))) if draw.random() < 0.4 else made


def with_second_trough(farm, pace, slots=5):
    """The farm with a row in a trough of another pace, for every crop."""
    row = Place(name="Slow 1", belongs_to="Slow", kind=PlaceKind.LANE, slots=Steps(((EVER, slots),)))
    months = dict(farm.pace.months) | {"Slow": dict.fromkeys(range(1, 13), pace)}
    return replace(
        farm,
        places=(*farm.places, row),
        crops={name: replace(crop, lanes=crop.lanes | {row.name}) for name, crop in farm.crops.items()},
        pace=Pace(first_day=farm.calendar.first_day, months=months),
    )


def started(farm, seconds=0.5, **settings):
    """Find a farm's steady week, and the model of its season in which nothing is sown."""
    engine = Engine(SolveSettings(**({"seconds": 20.0, "deterministic": True} | settings)))
    frame = replace(season(farm), sources=1)
    bundles = bundles_of(farm)
    week = steady_week(frame, bundles)
    found = week.solve(engine, seconds)
    assert found is not None
    homes = homes_of(week.strict, found, frame, bundles)
    cycle = Cycle(built=week.strict, values=found, homes=homes)
    built = built_of(frame, bundles, cycle.homes)
    parts = Parts(built.model)
    values = idle(engine, built, parts, 1.0)
    assert values is not None
    return Started(engine=engine, frame=frame, cycle=cycle, best=Incumbent(built, parts, values))


def built_of(frame, bundles, homes=None):
    """The model of a frame with the goal of the search."""
    built = build(frame, bundles, homes)
    built.model.minimize(blend(built.chosen))
    return built


def laid_over(farm, **settings):
    """The same with the week laid over the season, as the best answer so far."""
    start = started(farm, **settings)
    start.best.take(laid(start.engine, start.best, start.cycle))
    return start


def faults_of(farm, best):
    """What the audit says of an answer that is laid out as a plan."""
    plan = lay_out(farm, decided(best.built.chosen, best.values), (), {})
    return fault_lines(audit(farm, plan))


def units_short(best):
    """Units of any demand that an answer leaves short."""
    return sum(best.values[short.index] for short in best.built.chosen.short.values())


def engine_of(stop=None, **settings):
    return Engine(SolveSettings(**({"seconds": 10.0, "deterministic": True} | settings)), stop)


def idle_plan(farm, engine=None):
    """The answer that sows nothing, as the best so far."""
    built = built_of(season(farm), bundles_of(farm))
    parts = Parts(built.model, engine.check) if engine else Parts(built.model)
    return Incumbent(built, parts, nothing(built))
