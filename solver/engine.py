"""CP-SAT as all our searches use it."""

from __future__ import annotations

from ortools.sat.python import cp_model


def engine(workers: int = 1) -> cp_model.CpSolver:
    """A solver with the parameters that our searches share; time and seed are theirs."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_presolve_iterations = 1
    # Its own handler would swallow Ctrl-C for one tier; ``stop`` ends the whole search.
    solver.parameters.catch_sigint_signal = False
    # OR-Tools 9.15 writes to nowhere in these two when presolve has left a reservoir without an open event
    # (CompiledReservoirConstraint::InitializeDenseIndexToEvents), and the process ends: one mend in thirty.
    solver.parameters.use_feasibility_jump = False
    solver.parameters.num_violation_ls = 0
    return solver
