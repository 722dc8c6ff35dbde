"""Plans for several farms under the same effort, each farm starting from the best plan known for it.

Half of the time each farm is searched from nothing, or all of it where half is not enough for any plan; then
every plan is held against every farm, and the other half goes on from the best one. So what one farm's search
found helps all that can do the same.

The searches go through an executor, as those of a sweep do: this process does one after the other, so that
each has all of its cores and may be watched; processes or a cluster do several at once.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.exits import OWN_FAULT
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.cli.candidates import Candidate
    from scheduler.cli.farm_search import Search
    from scheduler.model.settings import SolveSettings
    from scheduler.plan.carried import Kept
    from scheduler.plan.rows import Plan
    from scheduler.sweep.executors import MakeExecutor

Work = Callable[["Search"], dict[str, Any]]


class NoPlan(Exception):  # the word is the message
    """There is a farm for which no plan was found, its own or another's.

    Attributes:
        without_memory: whether that was for want of memory, not of time.
    """

    def __init__(self, *, without_memory: bool = False) -> None:
        """Say what it was for want of."""
        super().__init__()
        self.without_memory = without_memory


class Unsound(Exception):  # the word is the message
    """A plan breaks a rule: a fault of raftway itself; what it breaks was told on stderr."""


def best_plans(
    found: Sequence["Candidate"], settings: "SolveSettings", make: "MakeExecutor | None" = None
) -> dict[str, "Kept"]:
    """Return the best plan found for each farm, by name.

    Args:
        found: the farms.
        settings: the effort of each farm.
        make: gives who does the searches; None for this process, one farm after the other.

    Raises:
        NoPlan: there is none for one of them.
        Unsound: a plan breaks a rule.
        Lost: workers were lost again and again.
        NoCluster: the cluster does not answer.
        KeyboardInterrupt: Ctrl-C was pressed twice.
    """
    from scheduler.cli import farm_search
    from scheduler.plan.carried import best_of_all, least_short

    anew = farm_search.watched_anew if make is None else farm_search.searched_anew
    answers = _answers(found, _anew(found, settings), anew, make)
    plans = _plans_of(answers)
    farms = {each.name: each.farm for each in found}
    least = {name: least_short(farms[name], plan) for name, plan in plans.items()}
    kept = best_of_all(farms, plans)
    if len(kept) < len(found):
        none = [answers[each.name] for each in found if each.name not in kept]
        raise NoPlan(without_memory=any(answer[farm_search.WITHOUT_MEMORY] for answer in none))
    left = [each for each in found if kept[each.name].of != each.name or not _is_proven(plans[each.name])]
    on = _on(left, settings, kept)
    further = farm_search.watched_on if make is None else farm_search.gone_on
    plans |= _plans_of(_answers(left, on, further, make))
    found_last = best_of_all(farms, plans)
    return {name: replace(each, least=least.get(name)) for name, each in found_last.items()}


def _anew(found: Sequence["Candidate"], settings: "SolveSettings") -> list["Search"]:
    """Return a search from nothing for each farm: half of the time, or all where that finds no plan."""
    from scheduler.cli.farm_search import Search

    half = replace(settings, seconds=settings.seconds / 2)
    return [
        Search(
            told=f"Planning {each.name} ({number} of {len(found)})",
            farm=each.farm,
            settings=half,
            longer=settings,
        )
        for number, each in enumerate(found, start=1)
    ]


def _on(left: Sequence["Candidate"], settings: "SolveSettings", kept: Mapping[str, "Kept"]) -> list["Search"]:
    """Return a search for each farm that goes on, in the other half, from the best plan known for it."""
    from scheduler.cli.farm_search import Search

    half = replace(settings, seconds=settings.seconds / 2)
    return [
        Search(
            told=f"Going on with {each.name} ({number} of {len(left)})",
            farm=each.farm,
            settings=half,
            begun=kept[each.name].plan,
        )
        for number, each in enumerate(left, start=1)
    ]


def _answers(
    found: Sequence["Candidate"], searches: Sequence["Search"], work: Work, make: "MakeExecutor | None"
) -> dict[str, Mapping[str, Any]]:
    """Return what each farm's search came to, by name.

    Raises:
        Unsound: a plan breaks a rule.
    """
    from scheduler.cli.searching import tell
    from scheduler.model.settings import silent
    from scheduler.sweep.executors import here
    from scheduler.sweep.results import Results
    from scheduler.sweep.run import Item, run_all

    items = [
        Item(key=each.name, name=search.told, work=work, given=(search,))
        for each, search in zip(found, searches, strict=True)
    ]
    # this process says by itself what it begins
    answers = run_all(items, make or here(), Results(None), silent if make is None else tell)
    for answer in answers.values():
        _refuse_unsound(answer)
    return answers


def _plans_of(answers: Mapping[str, Mapping[str, Any]]) -> dict[str, "Plan"]:
    """Return the plans that were found; farms without one are left out."""
    from scheduler.cli.farm_search import PLAN

    return {name: answer[PLAN] for name, answer in answers.items() if answer[PLAN] is not None}


def _refuse_unsound(answer: Mapping[str, Any]) -> None:
    from scheduler.cli.farm_search import FAULTS

    for line in answer[FAULTS]:
        click.echo(plain(line), err=True)
    if answer[FAULTS]:
        click.echo(OWN_FAULT, err=True)
        raise Unsound


def _is_proven(plan: "Plan") -> bool:
    """Say whether no plan of the same farm can be better."""
    return bool(plan.goals) and all(goal.status.startswith("proven") for goal in plan.goals)
