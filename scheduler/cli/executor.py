"""Who does the work of a command that shares it out: what its options name, and what is told of trouble."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from scheduler.cli.telling import as_wrong_use

if TYPE_CHECKING:
    from scheduler.sweep.executors import MakeExecutor


def executor_of(cluster_at: str | None, processes: int) -> "MakeExecutor":
    """Return what gives the workers of a cluster, or so many processes of this machine without one.

    Raises:
        NoCluster: the package for clusters is not installed.
    """
    from scheduler.sweep.executors import cluster, local

    return cluster(cluster_at) if cluster_at else local(processes)


@contextmanager
def trouble_told() -> Iterator[None]:
    """Tell what keeps work from being shared out as a wrong use.

    Raises:
        click.UsageError: workers were lost again and again, no cluster answers, or a file holds no answers.
    """
    from scheduler.sweep.executors import NoCluster
    from scheduler.sweep.results import Damaged
    from scheduler.sweep.run import Lost

    with as_wrong_use(Damaged, NoCluster, Lost):
        yield
