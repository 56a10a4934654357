"""The packaged weights read back into the network, to go on training from them.

The export worked each normalising layer into the convolution before it. They come back as layers
that add and nothing else, so they must be kept from normalising anew.
"""

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import onnx
import onnxruntime
import torch
from onnx import numpy_helper
from torch import nn

from bitewright.proposing.channels import TOOTH_COUNT
from bitewright.proposing.square import SIDE_PX
from builders.network_export import MOST_APART
from builders.network_layers import Network

Arrays = dict[str, np.ndarray[Any, np.dtype[np.float32]]]


def loaded(path: Path) -> Network:
    """The network with the weights of a file, seen to give what the file gives.

    Raises
    ------
    RuntimeError
        If it does not.
    """
    graph = onnx.load(str(path)).graph
    arrays = _arrays(graph)
    network = Network()
    _load_named(network, arrays)
    convolutions, lines = _in_order(network)
    made = [node for node in graph.node if node.op_type == "Conv"]
    for layer, node in zip(convolutions, made, strict=True):
        bias = arrays[node.input[2]] if len(node.input) > 2 else None
        _load_convolution(network, layer, arrays[node.input[1]], bias)
    made = [
        node
        for node in graph.node
        if node.op_type in {"MatMul", "Gemm"} and node.input[1] in arrays
    ]
    for line, node in zip(lines, made, strict=True):
        across = node.op_type == "MatMul" or not any(
            each.name == "transB" and each.i for each in node.attribute
        )
        weight = arrays[node.input[1]]
        _set(line.weight, weight.T if across else weight)
    _check(network, path)
    return network


def _arrays(graph: Any) -> Arrays:  # noqa: ANN401  the library ships no types
    """The graph's numbers by name, those kept in half precision by the name they are cast to."""
    kept = {each.name: numpy_helper.to_array(each) for each in graph.initializer}
    casts = {
        node.output[0]: kept[node.input[0]]
        for node in graph.node
        if node.op_type == "Cast" and node.input[0] in kept
    }
    return {name: np.array(value, np.float32) for name, value in (kept | casts).items()}


def _load_named(network: Network, arrays: Arrays) -> None:
    """Numbers that the export left under their own name."""
    for name, own in network.named_parameters():
        if name in arrays and arrays[name].shape == tuple(own.shape):
            _set(own, arrays[name])


def _in_order(network: Network) -> tuple[list[nn.Conv2d], list[nn.Linear]]:
    """Convolutions and linear layers in the order in which a film passes them."""
    convolutions: list[nn.Conv2d] = []
    lines: list[nn.Linear] = []
    handles = [
        layer.register_forward_hook(lambda one, *_: convolutions.append(one))
        for layer in network.modules()
        if isinstance(layer, nn.Conv2d)
    ] + [
        layer.register_forward_hook(lambda one, *_: lines.append(one))
        for layer in network.modules()
        if isinstance(layer, nn.Linear)
    ]
    network.eval()
    with torch.no_grad():
        network(torch.zeros(1, 1, SIDE_PX, SIDE_PX), torch.zeros(1, TOOTH_COUNT))
    network.train()
    for handle in handles:
        handle.remove()
    return convolutions, lines


def _load_convolution(
    network: Network, layer: nn.Conv2d, weight: np.ndarray, bias: np.ndarray | None
) -> None:
    _set(layer.weight, weight)
    if layer.bias is not None:
        _set(layer.bias, np.zeros(len(weight)) if bias is None else bias)
        return
    after = next(
        two
        for row in network.modules()
        if isinstance(row, nn.Sequential)
        for one, two in pairwise(row)
        if one is layer and isinstance(two, nn.BatchNorm2d)
    )
    _set(after.weight, np.ones(len(weight)))
    _set(after.bias, np.zeros(len(weight)) if bias is None else bias)
    after.running_mean = torch.zeros(len(weight))
    after.running_var = torch.full((len(weight),), 1.0 - after.eps)


def _set(own: torch.Tensor, value: np.ndarray) -> None:
    with torch.no_grad():
        own.copy_(torch.from_numpy(np.array(value, np.float32)))


def _check(network: Network, path: Path) -> None:
    film, told = torch.rand(1, 1, SIDE_PX, SIDE_PX), torch.zeros(1, TOOTH_COUNT)
    session = onnxruntime.InferenceSession(str(path), providers=["CPUExecutionProvider"])
    found = session.run(None, {"film": film.numpy(), "told": told.numpy()})
    network.eval()
    with torch.no_grad():
        wanted = network(film, told)
    network.train()
    for one, other in zip(found, wanted, strict=True):
        apart = float(np.abs(one - other.numpy()).max()) / max(float(other.std()), 1e-6)
        if not apart < MOST_APART:
            raise RuntimeError(f"the weights read back are {apart:.3f} of the spread apart")


__all__ = ["loaded"]
