"""HiGHS, a solver of another kind, as the benchmark and the tests ask it."""

import highspy


def new_solver(threads: int = 1) -> highspy.Highs:
    """Return a silent solver that works with so many threads, whatever was solved in the process before.

    HiGHS keeps the first number of threads of a process: a solver that is given another one answers with an
    error and the goal 0, unless the threads are given up first.
    """
    highspy.Highs.resetGlobalScheduler(True)
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("threads", threads)
    return solver
