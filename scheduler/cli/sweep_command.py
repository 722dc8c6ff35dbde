"""``raftway sweep``: many scenarios, each planned and replayed, by many processes or machines."""

from collections.abc import Sequence
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.book.words import listed
from scheduler.cli.exits import DONE, NO_PLAN, OUR_FAULT
from scheduler.cli.opening import book_argument
from scheduler.cli.values import DAY, NEW, SCENARIO, Number
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.cli.candidates import Candidate
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.sweep import Line
    from scheduler.stress.chances import Chances
    from scheduler.sweep.results import Answer
    from scheduler.sweep.run import Item

HELP = """Plan BOOK and many scenarios of it, replay each plan, and list what they come to.

Each farm is planned once for each seed, by processes of this machine (--workers) or by a cluster of
dask.distributed (--cluster), and its plan is replayed as raftway stress does. Answers are kept in
--results as they come: the same command goes on from there, and does nothing twice.

Farms are planned each alone, so a small difference may be luck: compare the few best with raftway compare.
"""


@click.command(
    help=HELP,
    short_help="Plan and replay many scenarios, side by side.",
    epilog="Example: raftway sweep my-farm --with east.toml --results sweep.jsonl",
)
@book_argument
@click.option(
    "--with",
    "files",
    multiple=True,
    required=True,
    type=SCENARIO,
    metavar="FILE",
    help="A scenario, as for compare; any number of them.",
)
@click.option(
    "--seconds",
    type=Number(1, 86_400),
    default=60.0,
    show_default=True,
    help="Time to plan each farm with each seed.",
)
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="The first.")
@click.option(
    "--seeds", type=click.IntRange(1, 100), default=1, show_default=True, help="Seeds; the best plan is told."
)
@click.option("--deterministic", is_flag=True, help="Same books and versions, same answers.")
@click.option(
    "--runs",
    type=click.IntRange(0, 1_000_000),
    default=500,
    show_default=True,
    help="Times to replay each plan; 0 for not at all.",
)
@click.option(
    "--workers", type=click.IntRange(1, 256), default=2, show_default=True, help="Processes of this machine."
)
@click.option("--cluster", metavar="ADDRESS", help="A dask scheduler, such as tcp://10.0.0.5:8786, instead.")
@click.option(
    "--results",
    type=NEW,
    metavar="FILE",
    help="Keep answers here, a line of JSON each, and go on from what is there.",
)
@click.option("--today", type=DAY, metavar="DATE", help="Nothing new is done before it.")
@click.option("--out", type=NEW, metavar="FILE", help="New table (CSV) of the answers.")
@click.pass_context
def sweep(ctx: click.Context, /, book: Path, files: tuple[Path, ...], out: Path | None, **rest: Any) -> None:
    """Plan and replay a book and its scenarios, and list what they come to."""
    from rich.console import Console

    from scheduler.book.book import read_raw
    from scheduler.cli.candidates import candidates, read_scenarios
    from scheduler.cli.placing import check_apart, check_free_file, place_file
    from scheduler.cli.searching import tell
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.sweep import NO_PLAN as WITHOUT
    from scheduler.outputs.sweep import UNSOUND, best_of_seeds, print_sweep, sweep_csv
    from scheduler.stress.chances import Chances

    check_apart(out, rest["results"])
    if out is not None:
        if out.suffix.lower() != ".csv":
            raise click.UsageError(f"{out}: name a file that ends in .csv for the table")
        check_free_file(out)
    if rest["results"] is not None and not rest["results"].is_file():
        check_free_file(rest["results"])
    scenarios = read_scenarios(files, (), all_at_once=False, most=None)
    found = candidates(read_raw(book), scenarios, rest["today"])
    settings = SolveSettings(
        seconds=rest["seconds"], workers=1, seed=rest["seed"], deterministic=rest["deterministic"]
    )
    items = _items(found, (settings, rest["seeds"]), Chances(seed=rest["seed"]), rest["runs"])
    answers = _run([item for each in items for item in each], rest, tell)
    lines: list[Line] = best_of_seeds(
        [(each.name, [answers[item.key] for item in own]) for each, own in zip(found, items, strict=True)]
    )
    print_sweep(Console(), found[0].farm, lines)
    if out is not None:
        place_file(out, sweep_csv(lines))
        click.echo(f"Written to {out}")
    _say_why_none([line for line in lines if line.state == WITHOUT], rest)
    states = {line.state for line in lines}
    ctx.exit(OUR_FAULT if UNSOUND in states else NO_PLAN if WITHOUT in states else DONE)


def _say_why_none(lines: "Sequence[Line]", rest: dict[str, Any]) -> None:
    """Say on stderr what would bring a plan to farms that have none."""
    from scheduler.cli.judging import no_plan_told

    fewer = "--workers" if rest["workers"] > 1 and not rest["cluster"] else ""
    for without_memory in (False, True):
        names = [line.name for line in lines if line.without_memory is without_memory]
        if names:
            told = no_plan_told(without_memory=without_memory, fewer=fewer)
            click.echo(plain(f"{listed(names)}: {told}"), err=True)


def _items(
    found: Sequence["Candidate"], effort: "tuple[SolveSettings, int]", chances: "Chances", runs: int
) -> "list[list[Item]]":
    """Return the items of each farm, one for each seed; equal work has equal keys."""
    from dataclasses import replace

    from scheduler.cli.sweeping import Task, planned_and_replayed
    from scheduler.sweep.run import Item

    settings, seeds = effort
    made = []
    for each in found:
        own = []
        for seed in range(settings.seed, settings.seed + seeds):
            task = Task(farm=each.farm, settings=replace(settings, seed=seed), chances=chances, runs=runs)
            name = each.name if seeds == 1 else f"{each.name}, seed {seed}"
            own.append(Item(key=_key(each, task), name=name, work=planned_and_replayed, given=(task,)))
        made.append(own)
    return made


def _key(each: "Candidate", task: Any) -> str:
    """Return a digest of all that an answer depends on: book with its changes, settings, version."""
    import json

    from scheduler import __version__
    from scheduler.book.plain_copy import book_copy, book_digest

    told = {
        "book": book_digest(book_copy(each.raw)),
        "today": each.farm.today,
        "settings": asdict(task.settings),
        "chances": asdict(task.chances),
        "runs": task.runs,
        "version": __version__,
    }
    return sha256(json.dumps(told, sort_keys=True, default=str).encode()).hexdigest()


def _run(items: "Sequence[Item]", rest: dict[str, Any], tell: Any) -> "dict[str, Answer]":
    """Run items, and end with a message where there is nobody to do so."""
    from scheduler.cli.executor import executor_of, trouble_told
    from scheduler.outputs.sweep import NO_PLAN as WITHOUT
    from scheduler.sweep.results import Results
    from scheduler.sweep.run import run_all

    try:
        with trouble_told():
            results = Results(rest["results"])
            # with the same seconds a quieter machine may well find a plan
            for key in [key for key, told in results.found.items() if told.get("state") == WITHOUT]:
                del results.found[key]
            return run_all(items, executor_of(rest["cluster"], rest["workers"]), results, tell)
    except KeyboardInterrupt:
        if rest["results"] and rest["results"].exists():
            click.echo(f"What was done stands in {rest['results']}; the same command goes on.", err=True)
        raise
