"""One film through the trained network."""

from functools import lru_cache
from importlib import import_module
from importlib.resources import as_file, files
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import ExtraMissingError

WEIGHTS = "marks.onnx"
THREADS = 2


def heat_maps(
    grey: NDArray[np.float32], told: NDArray[np.float32]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Heat maps (channels, rows, columns) and logits of one film on its square.

    Parameters
    ----------
    grey : (side, side) float32 array
    told : (12,) float32 array
        +1 for a tooth that is known to be there, -1 for one known to be missing, else 0.

    Raises
    ------
    ExtraMissingError
    """
    heat, says = _session().run(None, {"film": grey[None, None], "told": told[None]})
    return heat[0], says[0]


@lru_cache(maxsize=1)
def _session() -> Any:  # noqa: ANN401  the library ships no types
    try:
        runtime = import_module("onnxruntime")
    except ModuleNotFoundError as error:
        raise ExtraMissingError("Proposed marks", ["onnxruntime"], extra="propose") from error
    options = runtime.SessionOptions()
    options.intra_op_num_threads = THREADS
    options.inter_op_num_threads = 1
    options.log_severity_level = 3
    with as_file(files("bitewright.network") / "weights" / WEIGHTS) as path:
        return runtime.InferenceSession(
            str(path), sess_options=options, providers=["CPUExecutionProvider"]
        )


__all__ = ["heat_maps"]
