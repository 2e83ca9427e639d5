"""Styles with one straight trunk: what is the same for all of them, its dress and its tails.

A style gives the trunk that its own parameters make, and the faults that they have by themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from worker.errors import Fault
from worker.strands.attach import RootOutside
from worker.strands.strand import Strand
from worker.styles.dress import dressed, hollows_of, is_undressed
from worker.styles.dress_feasible import dress_faults, worn_faults
from worker.styles.flat_belly import belly_faults
from worker.styles.style import Params
from worker.styles.tail_feasible import rooted_faults, tail_faults
from worker.styles.tails import tail_strands, with_trunk_length


@dataclass(frozen=True)
class OneTrunk:
    """`trunk` and `faults` see the length that the tails leave the trunk as `length`; the rest as it was asked.

    Where the style has no tails or does not take all of the dress, its parameters need not have them. A style with
    limbs of its own in place of tails gives them as `limbs`, with their faults and the parameter to blame where they
    do not grow out of the trunk; `behind`: they take up the trunk's rear end.
    """

    trunk: Callable[[Params], Strand]
    faults: Callable[[Params], Iterable[Fault]]
    limbs: Callable[[Strand, Params], tuple[Strand, ...]] = tail_strands
    limb_faults: Callable[[Params, Strand, tuple[Strand, ...]], Iterable[Fault]] = rooted_faults
    root: str = "tail"
    behind: bool = False

    def strands(self, params: Params) -> tuple[Strand, ...]:
        """The dressed trunk and its tails."""
        return _strands(self.trunk, self.limbs, tuple(params.items()))

    def hollows(self, params: Params) -> tuple[Strand, ...]:
        """What is taken out of the trunk."""
        return hollows_of(self.strands(params)[0], params)

    def infeasible(self, params: Params) -> Iterator[Fault]:
        """Every fault that can be told from the numbers; where there is none, those of the strands themselves."""
        found = [*dress_faults({**params, "tail": "own"} if self.behind else params), *tail_faults(params)]
        found = found or list(self.faults(with_trunk_length(params)))
        yield from found
        bare = self.limbs is tail_strands and str(params.get("tail", "none")) == "none"
        if found or (bare and is_undressed(params)):
            return
        try:
            trunk, *others = self.strands(params)
        except RootOutside as error:
            yield Fault(
                f"/params/{self.root}", "root-outside", f"{str(error).capitalize()}; give the body a fuller end.", None
            )
            return
        yield from worn_faults(trunk, params)
        yield from belly_faults(trunk, tuple(others), params)
        yield from self.limb_faults(params, trunk, tuple(others))


@lru_cache(maxsize=8)  # strands, hollows and faults of one bait are asked for one after the other
def _strands(
    make: Callable[[Params], Strand],
    limbs: Callable[[Strand, Params], tuple[Strand, ...]],
    items: tuple[tuple[str, object], ...],
) -> tuple[Strand, ...]:
    params = dict(items)
    trunk = dressed(make(with_trunk_length(params)), params)
    return trunk, *limbs(trunk, params)
