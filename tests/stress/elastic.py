"""Small-strain elasticity on hexahedra: scikit-fem assembles, pyamg solves."""

from __future__ import annotations

from functools import cached_property

import numpy as np
import pyamg
from numpy.typing import NDArray
from scipy import ndimage
from skfem import Basis, ElementHex1, ElementVector, MeshHex, asm
from skfem.models.elasticity import lame_parameters, linear_elasticity
from skfem.refdom import RefHex

from tests.stress.voxels import Cells

POISSON = 0.45
"""Plastisol hardly changes its volume (near 0.5); plain hexahedra lock from about 0.48 up."""
TOLERANCE = 1e-6


class Elastic:
    """A solid of cubic cells with modulus 1, held where `held` (n,) says so. Stresses in 1/mm2 for a pull of 1."""

    def __init__(self, cells: Cells, held: NDArray[np.bool_]) -> None:
        self.cells, self.held = cells, held
        corners = cells.index[:, None, :] + RefHex.p.T[None].astype(int)
        shape = tuple(np.array(cells.inside.shape) + 1)
        flat = np.ravel_multi_index(tuple(corners.reshape(-1, 3).T), shape)
        used, nodes = np.unique(flat, return_inverse=True)
        points = cells.begin[:, None] + np.array(np.unravel_index(used, shape)) * cells.size
        self.mesh = MeshHex(points, nodes.reshape(-1, 8).T.copy())
        self.basis = Basis(self.mesh, ElementVector(ElementHex1()), intorder=2)
        self.lame = lame_parameters(1.0, POISSON)
        self.stiffness = asm(linear_elasticity(*self.lame), self.basis)
        fixed = np.unique(self.basis.element_dofs[:, held])
        self.free = np.setdiff1d(np.arange(self.stiffness.shape[0]), fixed)

    @cached_property
    def solver(self) -> pyamg.MultilevelSolver:
        """Algebraic multigrid that knows how a body moves without strain: along three axes and about them."""
        x, y, z = self.mesh.p - self.mesh.p.mean(axis=1, keepdims=True)
        along, left, back = self.basis.nodal_dofs
        modes = np.zeros((self.stiffness.shape[0], 6))
        modes[along, 0] = modes[left, 1] = modes[back, 2] = 1
        modes[along, 3], modes[left, 3] = -y, x
        modes[left, 4], modes[back, 4] = -z, y
        modes[back, 5], modes[along, 5] = -x, z
        inner = self.stiffness[self.free][:, self.free].tocsr()
        return pyamg.smoothed_aggregation_solver(inner, B=modes[self.free], max_coarse=500)

    def highest_principal(self, pulled: NDArray[np.bool_], direction: NDArray[np.float64]) -> NDArray[np.float64]:
        """Highest principal stress of each cell, (n,), with a pull of 1 spread over the cells that are `pulled`.

        Each is the mean over the cell and those around it: the steps of a cubic surface make peaks that are not there.
        """
        load = np.bincount(self.mesh.t[:, pulled].ravel(), minlength=self.mesh.p.shape[1]).astype(float)
        load /= load.sum()
        force = np.zeros(self.stiffness.shape[0])
        for axis in range(3):
            force[self.basis.nodal_dofs[axis]] = load * direction[axis]
        moved = np.zeros_like(force)
        residuals: list[float] = []
        moved[self.free] = self.solver.solve(
            force[self.free], tol=TOLERANCE, accel="cg", maxiter=400, residuals=residuals
        )
        assert residuals[-1] <= TOLERANCE * residuals[0], "the solver did not come to an end"
        middle = Basis(self.mesh, ElementVector(ElementHex1()), intorder=0)
        gradient = middle.interpolate(moved).grad[:, :, :, 0]
        strain = (gradient + gradient.transpose(1, 0, 2)) / 2
        first, second = self.lame
        stress = 2 * second * strain + first * np.trace(strain)[None, None] * np.eye(3)[:, :, None]
        field = np.zeros(self.cells.inside.shape)
        field[self.cells.inside] = np.linalg.eigvalsh(stress.transpose(2, 0, 1))[:, -1]
        around = ndimage.uniform_filter(self.cells.inside.astype(float), 3, mode="constant")
        return (ndimage.uniform_filter(field, 3, mode="constant") / np.maximum(around, 1e-9))[self.cells.inside]

    def beside(self, some: NDArray[np.bool_], steps: int) -> NDArray[np.bool_]:
        """The cells that are at most `steps` cells away from some of them, (n,)."""
        grid = np.zeros(self.cells.inside.shape, dtype=bool)
        grid[tuple(self.cells.index[some].T)] = True
        return ndimage.binary_dilation(grid, iterations=steps)[self.cells.inside]
