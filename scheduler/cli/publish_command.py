"""``raftway publish``: the files of a saved plan once more, without planning again."""

from pathlib import Path

import click

from scheduler.cli.exits import BREAKS_A_RULE
from scheduler.cli.judging import faults_told
from scheduler.cli.telling import as_wrong_use
from scheduler.cli.values import PLAN
from scheduler.outputs.words import counted


@click.command(
    short_help="Write the pages and calendars of a saved plan again.", epilog="Example: raftway publish plan"
)
@click.argument("plan", type=PLAN)
@click.pass_context
def publish(ctx: click.Context, plan: Path) -> None:
    """Write every file of PLAN, a folder that raftway plan wrote, again from its tables and its book.

    For a folder of an older raftway, or one whose tables were edited by hand. Nothing is planned anew, and
    a plan that was not changed gives the same files. A plan that breaks a rule is left as it is: what it
    breaks goes to stderr and the exit code is 3.
    """
    from scheduler.outputs.everything import Edition, Way, write_plan
    from scheduler.outputs.folder import FolderRefused, check_target
    from scheduler.outputs.saved import open_saved

    with as_wrong_use(FolderRefused):
        saved = open_saved(plan)
        check_target(plan)
        faults = faults_told(saved.farm, saved.plan)
        if faults:
            told = f"{counted(faults, 'fault')} in the plan; mend its tables, or plan again"
            click.echo(f"{told}; nothing was written", err=True)
            ctx.exit(BREAKS_A_RULE)
        write_plan(plan, saved.farm, saved.plan, saved.book, Edition.of_note(saved.note), Way(in_part=False))
    click.echo(f"Written to {plan}")
