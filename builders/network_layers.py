"""The network that proposes marks: a small encoder, attention over the whole film, heat maps.

PyTorch, for training alone; what a user has is its export.
"""

import torch
from torch import Tensor, nn
from torch.nn import functional

from bitewright.proposing.channels import CHANNEL_COUNT, TOOTH_COUNT
from bitewright.proposing.square import SIDE_PX

WIDTHS = (32, 64, 96, 128, 192)
SAYS = ("front is on the left", "not upright", "is a bitewing")
"""What is told of the whole film, as logits, after the presence of each channel."""


def _conv(into: int, out: int, stride: int = 1, size: int = 3) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(into, out, size, stride, size // 2, bias=False), nn.BatchNorm2d(out), nn.SiLU()
    )


class Residual(nn.Module):
    """Two convolutions beside the way through."""

    def __init__(self, width: int) -> None:
        super().__init__()
        self.first = _conv(width, width)
        self.second = nn.Sequential(
            nn.Conv2d(width, width, 3, 1, 1, bias=False), nn.BatchNorm2d(width)
        )

    def forward(self, x: Tensor) -> Tensor:
        """The same shape."""
        return functional.silu(x + self.second(self.first(x)))


class Attention(nn.Module):
    """One layer over all cells of the film: numbering needs the whole of it."""

    def __init__(self, width: int, heads: int = 6) -> None:
        super().__init__()
        self.heads = heads
        self.before, self.asked = nn.LayerNorm(width), nn.Linear(width, 3 * width)
        self.out, self.after = nn.Linear(width, width), nn.LayerNorm(width)
        self.mixed = nn.Sequential(
            nn.Linear(width, 3 * width), nn.GELU(), nn.Linear(3 * width, width)
        )

    def forward(self, x: Tensor) -> Tensor:
        """The same shape: films, cells, width."""
        films, cells, width = x.shape
        parts = self.asked(self.before(x)).view(films, cells, 3, self.heads, width // self.heads)
        query, key, value = parts.permute(2, 0, 3, 1, 4)
        mixed = functional.scaled_dot_product_attention(query, key, value)
        x = x + self.out(mixed.transpose(1, 2).reshape(films, cells, width))
        return x + self.mixed(self.after(x))


class Network(nn.Module):
    """Heat maps (films, channels, cells, cells) and logits (films, channels + 3) of films.

    ``film``: (films, 1, side, side), any grey scale. ``told``: (films, 12), +1 where a tooth is
    known to be there, -1 where it is known to be missing, 0 where nothing is known.
    """

    def __init__(self) -> None:
        super().__init__()
        w = WIDTHS
        self.stem = nn.Sequential(_conv(1, w[0], 2), Residual(w[0]))
        self.down = nn.ModuleList(
            nn.Sequential(_conv(w[i], w[i + 1], 2), *[Residual(w[i + 1]) for _ in range(count)])
            for i, count in enumerate((2, 3, 3, 3))
        )
        cells = (SIDE_PX // 32) ** 2
        self.place = nn.Parameter(torch.randn(1, cells, w[4]) * 0.02)
        self.whole = nn.Parameter(torch.randn(1, 1, w[4]) * 0.02)
        self.told = nn.Linear(TOOTH_COUNT, w[4], bias=False)
        self.attention = nn.Sequential(*[Attention(w[4]) for _ in range(3)])
        self.says = nn.Sequential(nn.LayerNorm(w[4]), nn.Linear(w[4], CHANNEL_COUNT + len(SAYS)))
        self.up = nn.ModuleList(
            nn.Sequential(_conv(w[i + 1] + w[i], max(w[i], 96), 1, 1), Residual(max(w[i], 96)))
            for i in (3, 2)
        )
        self.last = nn.Sequential(_conv(96 + w[1], 96, 1, 1), Residual(96))
        self.drop, self.heat = nn.Dropout2d(0.05), nn.Conv2d(96, CHANNEL_COUNT, 1)

    def forward(self, film: Tensor, told: Tensor) -> tuple[Tensor, Tensor]:
        """Heat maps as logits, and what is said of the whole film."""
        mean = film.mean((1, 2, 3), keepdim=True)
        spread = ((film - mean) ** 2).mean((1, 2, 3), keepdim=True)
        at = [self.stem((film - mean) / (spread + 1e-4).sqrt())]
        for layer in self.down:
            at.append(layer(at[-1]))
        films, width, rows, columns = at[4].shape
        cells = at[4].flatten(2).transpose(1, 2) + self.place
        cells = torch.cat([self.whole.expand(films, -1, -1), cells], 1)
        cells = self.attention(cells + self.told(told)[:, None])
        x = cells[:, 1:].transpose(1, 2).reshape(films, width, rows, columns)
        for layer, beside in zip((*self.up, self.last), (at[3], at[2], at[1]), strict=True):
            x = functional.interpolate(x, scale_factor=2.0, mode="nearest")
            x = layer(torch.cat([x, beside], 1))
        return self.heat(self.drop(x)), self.says(cells[:, 0])


__all__ = ["SAYS", "Network"]
