"""Small linear programs, some of whose variables are whole numbers: HiGHS by its own binding.

SciPy's `milp` asks the same solver, but checks, converts and looks for starts at a cost of several times the work: of
programs of a dozen variables it took a millisecond, with whole numbers among them seven; this takes a sixth of it.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass

import highspy
import numpy as np

from worker.strands.roots import Array

OPTIONS: dict[str, bool | int | float | str] = {
    "output_flag": False,
    # No others are begun in a process that may yet fork.
    "threads": 1,
    # Of so few variables the simplex method is done before there would be anything to take away.
    "presolve": "off",
    # Searches for a whole-numbered start, each of which takes longer than all of the branches of so few.
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_detect_symmetry": False,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 0.0,
}
"""See the list of options in HiGHS' documentation."""


@dataclass(frozen=True)
class LinearProgram:
    """The least `cost` x with `rows` x >= `least` and `low` <= x <= `high`; x is whole where `whole` says so.

    Shapes (n,), and (m, n) and (m,) of the rows, of which there may be none.
    """

    cost: Array
    rows: Array
    least: Array
    low: Array
    high: Array
    whole: Array

    def solved(self) -> Array | None:
        """The x of the least cost, (n,); None where there is none."""
        solver = _solver()
        solver.passModel(self._model())  # what was solved before is forgotten by it
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        return np.array(solver.getSolution().col_value)

    def _model(self) -> highspy.HighsLp:
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.cost), len(self.least)
        model.col_cost_, model.col_lower_, model.col_upper_ = self.cost, self.low, self.high
        model.row_lower_, model.row_upper_ = self.least, np.full(len(self.least), np.inf)
        there = self.rows != 0
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(there.sum(axis=1))]).astype(np.int32)
        model.a_matrix_.index_ = there.nonzero()[1].astype(np.int32)
        model.a_matrix_.value_ = self.rows[there]
        if self.whole.any():
            kinds = highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger
            model.integrality_ = [kinds[bool(whole)] for whole in self.whole]
        return model


class _Quiet(highspy.Highs):
    """One that calls nothing back: to say that it may prints a line, before any option can forbid it."""

    def enableCallbacks(self) -> None:
        """Left out."""


_KEPT = threading.local()


def _solver() -> highspy.Highs:
    """This thread's own: a new one takes longer to begin with than most programs take."""
    kept: _Quiet | None = getattr(_KEPT, "solver", None)
    if kept is None:
        kept = _KEPT.solver = _Quiet()  # type: ignore[no-untyped-call]
        for name, value in OPTIONS.items():
            kept.setOptionValue(name, value)
    return kept
