"""The one place that turns a Python function into machine code.

Rules for functions marked here:

- They take numbers and arrays only, release the interpreter lock and share no state, so several
  threads may run them on disjoint rows. Threads are Python's own (`Threads`): numba's parallel
  loops need a thread layer, and none is both safe to fork and safe to call from two threads.
- Machine code is kept on disk beside the source or, where that cannot be written, in the user's
  cache folder (NUMBA_CACHE_DIR overrides); with neither, it is made anew in each process.
- The cache watches only the file a function stands in: a compiled function may call compiled
  functions of its own file, never of another, and a figure from a table comes to it as an argument,
  never as a name of its module, which would be the figure of yesterday.
"""

from collections.abc import Callable
from functools import partial
from typing import ParamSpec, TypeVar, cast

import numba

Arguments = ParamSpec("Arguments")
Result = TypeVar("Result")


def compiled(function: Callable[Arguments, Result]) -> Callable[Arguments, Result]:
    """Compile with strict IEEE arithmetic: the same expression gives the same bits everywhere."""
    return _compiled(function, fastmath=False)


def compiled_loosely(function: Callable[Arguments, Result]) -> Callable[Arguments, Result]:
    """Compile letting the compiler reorder and fuse arithmetic: for sums where that is harmless."""
    return _compiled(function, fastmath=True)


def _compiled(
    function: Callable[Arguments, Result], *, fastmath: bool
) -> Callable[Arguments, Result]:
    make = partial(numba.njit, nogil=True, error_model="numpy", fastmath=fastmath)
    try:
        made = make(cache=True)(function)
    except RuntimeError:  # no folder for the cache can be written
        made = make()(function)
    return cast("Callable[Arguments, Result]", made)


__all__ = ["compiled", "compiled_loosely"]
