"""``raftway completion``: what a shell needs to complete commands, options, files and names."""

import click

SHELLS = ("bash", "zsh", "fish")


HELP = """Print the lines that let SHELL complete commands, options, files and names with the Tab key.

\b
Take them up at each start of the shell with one line in its own file:
  ~/.bashrc  eval "$(raftway completion bash)"  (bash 4.4 or newer)
  ~/.zshrc   eval "$(raftway completion zsh)"   (below compinit)
  ~/.config/fish/config.fish  raftway completion fish | source

Names come from the book or plan that stands before them on the line: crops, customers, lots, places.
"""


@click.command(
    help=HELP,
    short_help="Print what a shell needs to complete with Tab.",
    epilog="Example: raftway completion bash",
)
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion(ctx: click.Context, shell: str) -> None:
    """Print the lines a shell completes with."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    assert kind is not None
    made = kind(ctx.find_root().command, {}, "raftway", "_RAFTWAY_COMPLETE")
    # not source(): it would start bash to ask its version, which the help tells
    click.echo(made.source_template % made.source_vars())
