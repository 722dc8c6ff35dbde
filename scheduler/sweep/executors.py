"""Who does the work: this process, processes of this machine, or the workers of a cluster."""

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from typing import Any, ParamSpec, TypeVar

Given = ParamSpec("Given")
Found = TypeVar("Found")

MakeExecutor = Callable[[], AbstractContextManager[Executor]]
"""Gives an executor for a while; asked again when one has broken."""

CONNECT_SECONDS = 15
"""Time in which a cluster has to answer."""


class NoCluster(Exception):  # the word is the message
    """There is no cluster to work with; the message says why."""


class _Here(Executor):
    """Does each piece of work as it is handed in, before the next one is."""

    def submit(
        self, fn: Callable[Given, Found], /, *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Found]:
        """Return what is done already; Ctrl-C is raised at once, as it is no answer."""
        future: Future[Found] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future


def here() -> MakeExecutor:
    """Return what does one thing after another in this process, where progress can be watched."""
    return _Here


class _Processes(ProcessPoolExecutor):
    """Processes of this machine that end with this one, however it ends."""

    def __init__(self, workers: int) -> None:
        # begun anew, so that no search is split in two
        context = multiprocessing.get_context("spawn")
        super().__init__(workers, mp_context=context, initializer=_end_with_parent)

    def submit(
        self, fn: Callable[Given, Found], /, *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Found]:
        """Hand work in; a process that is begun for it does not hear Ctrl-C, which is this one's to hear."""
        with _ctrl_c_kept():
            return super().submit(fn, *args, **kwargs)

    def end(self) -> None:
        """End the processes now, whatever they do."""
        self.shutdown(wait=False, cancel_futures=True)
        for child in multiprocessing.active_children():
            child.terminate()


@contextmanager
def _ctrl_c_kept() -> Iterator[None]:
    """Keep Ctrl-C waiting for a moment, and for good from processes that are begun then."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _end_with_parent() -> None:
    """Watch, as one of those processes, for the end of the one that began it: then nobody waits."""
    parent = multiprocessing.parent_process()
    assert parent is not None

    def watch() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watch, name="parent", daemon=True).start()


def local(workers: int) -> MakeExecutor:
    """Return what gives processes of this machine."""

    @contextmanager
    def made() -> Iterator[Executor]:
        with _Processes(workers) as executor:
            try:
                yield executor
            except BaseException:
                executor.end()
                raise

    return made


def cluster(address: str) -> MakeExecutor:
    """Return what gives the workers of a dask.distributed scheduler, such as ``tcp://10.0.0.5:8786``.

    Its workers need this version of raftway. What a lost worker had is given to another by the scheduler.

    Raises:
        NoCluster: the package is not installed.
    """
    try:
        import distributed
    except ModuleNotFoundError:
        raise NoCluster("a cluster needs the package distributed: pip install 'raftway[sweep]'") from None

    # the package has no types
    connect: Any = distributed.Client

    @contextmanager
    def made() -> Iterator[Executor]:
        try:
            client = connect(address, timeout=CONNECT_SECONDS, set_as_default=False)
        except (OSError, ValueError) as error:
            raise NoCluster(f"no cluster answers at {address}: {error}") from None
        try:
            yield client.get_executor(pure=False)
        finally:
            client.close()

    return made
