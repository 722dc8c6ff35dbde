"""The command line: ``raftway COMMAND``, its exit codes, and what happens when something goes wrong.

Commands are loaded when they are asked for, so that ``--help`` does not wait for a solver.
"""

import atexit
import os
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module

import click

from scheduler import __version__
from scheduler.cli import stopping
from scheduler.cli.exits import FAULTY_BOOK, OUR_FAULT, WHERE_TO_REPORT, WRONG_USE
from scheduler.cli.streams import outlive_readers
from scheduler.cli.telling import mend, near, outside, show_wrong_use

COMMANDS = (
    "new",
    "check",
    "plan",
    "compare",
    "limit",
    "explain",
    "offer",
    "stress",
    "sweep",
    "show",
    "water",
    "readings",
    "draw",
    "labels",
    "audit",
    "publish",
    "record",
    "status",
    "replan",
    "learn",
    "trace",
    "crops",
    "convert",
    "completion",
)
"""Each is a function of that name in ``scheduler.cli.<name>_command``."""


class _Commands(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command = getattr(import_module(f"scheduler.cli.{cmd_name}_command"), cmd_name)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command asked for, or say which one is like it."""
        if args[0] not in COMMANDS and not args[0].startswith("-") and not ctx.resilient_parsing:
            raise click.UsageError(
                f"No such command '{args[0]}'{near(args[0], COMMANDS) or '; raftway --help lists them'}", ctx
            )
        return super().resolve_command(ctx, args)


HELP = """Plan a floating-raft farm: what to sow, when each batch moves and where.

\b
Exit codes:
  0    nothing wrong; every firm delivery that can still be reached is filled
  1    the book (or the plan folder) has faults
  2    the command line is wrong, or a file cannot be read or written
  3    the plan is written, and a reachable firm delivery is short
       (audit: a rule is broken)
  4    no plan was found in time, or memory was short for one
  5    a fault of raftway itself
  130  stopped with Ctrl-C before there was anything to write
       (143, 129: by a signal to end)
"""


@click.group(
    cls=_Commands,
    help=HELP,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Example: raftway plan my-farm --out plan",
)
@click.version_option(__version__, prog_name="raftway")
def cli() -> None:
    """Take the options that stand before a command."""


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code; whatever goes wrong ends in a line on stderr."""
    stopping.begin()
    try:
        # loading these takes long enough to be stopped at it
        from scheduler.book.faults import BookFaults
        from scheduler.outputs.words import harmless

        code = cli.main(list(arguments), prog_name="raftway", standalone_mode=False)
    except (click.Abort, KeyboardInterrupt) as stopped:
        # whatever reads the command line makes an abortion of it
        return _stopped(stopped if isinstance(stopped, KeyboardInterrupt) else stopped.__cause__)
    except click.ClickException as error:
        show_wrong_use(error)
        return WRONG_USE
    except BookFaults as damaged:
        for fault in damaged.faults:
            click.echo(harmless(str(fault)), err=True)
        click.echo(mend(damaged), err=True)
        return FAULTY_BOOK
    except BrokenPipeError:
        # whoever read our output has closed it, as head does; nothing more can be said there
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123
        return 0
    except Exception as error:
        # a compiled module that is stopped while it is loaded makes a failure of it
        pressed = error.__cause__ or (error.__context__ if isinstance(error, ImportError) else None)
        return _stopped(pressed) if isinstance(pressed, stopping.Ended) else _failed(error)
    return code if isinstance(code, int) else 0


def _failed(error: Exception) -> int:
    """Tell what went wrong: outside of raftway, or a fault of its own."""
    from scheduler.outputs.words import harmless

    if told := outside(error):
        click.echo(harmless(told), err=True)
        return WRONG_USE
    if os.environ.get("RAFTWAY_DEBUG"):
        traceback.print_exc()
    told = harmless(" ".join(str(error).split()))
    click.echo(f"raftway has a fault of its own: {type(error).__name__}: {told}. {WHERE_TO_REPORT}", err=True)
    click.echo("RAFTWAY_DEBUG=1 shows where it happened.", err=True)
    return OUR_FAULT


def _stopped(pressed: BaseException | None) -> int:
    click.echo(str(pressed or "") or "Stopped.", err=True)
    return stopping.code()


def main() -> None:
    """Run the command of this process and end it with the command's exit code."""
    outlive_readers()
    try:
        stopping.listen()
        code = run(sys.argv[1:])
    except KeyboardInterrupt:
        click.echo("Stopped.", err=True)
        code = stopping.code()
    stopping.listen_no_more()
    if code == stopping.code() and stopping.asked_once():
        _end_at_once(code)
    sys.exit(code)


def _end_at_once(code: int) -> None:
    """End without waiting for a search that may still run in its thread; what it keeps on the disk goes."""
    sys.stdout.flush()
    sys.stderr.flush()
    atexit._run_exitfuncs()  # noqa: SLF001
    os._exit(code)
