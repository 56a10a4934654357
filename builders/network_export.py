"""A trained network as one small file that needs no PyTorch: ONNX, weights in half the bytes."""

import copy
from pathlib import Path

import numpy as np
import onnx
import onnxruntime
import torch
from onnx import TensorProto, helper, numpy_helper
from torch import nn

from bitewright.proposing.channels import TOOTH_COUNT
from bitewright.proposing.square import SIDE_PX

OPSET = 18
LEAST_HALVED = 64
"""Arrays of fewer numbers stay as they are."""

MOST_APART = 0.05
"""The export may differ from the network by so much of its outputs' spread."""


def export(network: nn.Module, path: Path) -> None:
    """Write it, and see that the file gives what the network gives.

    Raises
    ------
    RuntimeError
        If it does not.
    """
    network = copy.deepcopy(network).float().cpu().eval()
    film = torch.rand(1, 1, SIDE_PX, SIDE_PX)
    told = torch.zeros(1, TOOTH_COUNT)
    torch.onnx.export(
        network,
        (film, told),
        str(path),
        input_names=["film", "told"],
        output_names=["heat", "says"],
        opset_version=OPSET,
        dynamo=False,
    )
    halved(path)
    session = onnxruntime.InferenceSession(str(path), providers=["CPUExecutionProvider"])
    found = session.run(None, {"film": film.numpy(), "told": told.numpy()})
    with torch.no_grad():
        wanted = network(film, told)
    for one, other in zip(found, wanted, strict=True):
        apart = np.abs(one - other.numpy()).max() / max(float(other.std()), 1e-6)
        print(f"export: {apart:.4f} of the spread apart, {path.stat().st_size / 1e6:.1f} MB")
        if not apart < MOST_APART:
            raise RuntimeError(f"the export is {apart:.3f} of the outputs' spread apart")


def halved(path: Path) -> None:
    """Keep a file's larger weights in half precision, cast back when it is opened."""
    model = onnx.load(str(path))
    graph, casts, kept = model.graph, [], []
    for each in graph.initializer:
        values = numpy_helper.to_array(each)
        if each.data_type != TensorProto.FLOAT or values.size < LEAST_HALVED:
            kept.append(each)
            continue
        kept.append(numpy_helper.from_array(values.astype(np.float16), f"{each.name}_half"))
        casts.append(
            helper.make_node("Cast", [f"{each.name}_half"], [each.name], to=TensorProto.FLOAT)
        )
    del graph.initializer[:]
    graph.initializer.extend(kept)
    nodes = [*casts, *graph.node]
    del graph.node[:]
    graph.node.extend(nodes)
    onnx.checker.check_model(model)
    onnx.save(model, str(path))


__all__ = ["export", "halved"]
