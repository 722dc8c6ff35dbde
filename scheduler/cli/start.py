"""Where the program ``raftway`` begins: nothing is loaded here but what Ctrl-C may interrupt in words."""

import sys


def main() -> None:
    """Run the command of this process and end it with the command's exit code."""
    try:
        from scheduler.cli.main import main as command
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        sys.exit(130)
    command()
