"""Films varied far wider than likeness asks, whole batches at once, so that a real one is one more.

Grey is 0 to 1 in (films, 1, side, side); places are pixels from the square's corner. Every figure
is our choice. PyTorch, for training alone.
"""

import cv2
import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from bitewright.proposing.square import SIDE_PX

Pools = dict[str, Tensor]
TONE_STEPS = 13
BLOCK_PX = 8
"""Pictures kept with loss are kept in such blocks."""

ABOUT_PX, FRAME_PX = (21, 41, 81), (5, 9, 17)
CROPPED, CROPPED_PX = 0.2, 70.0
"""So many films are cut off, each side by up to so much."""


def pools(count: int, seed: int) -> Pools:
    """Things to lay over films: scratches, metal, text, bars and edges, drawn once."""
    own = np.random.default_rng(seed)
    found: dict[str, list[np.ndarray]] = {name: [] for name in ("scratch", "metal", "text", "bar")}
    for _ in range(count):
        found["scratch"].append(_scratches(own))
        found["metal"].append(_metal(own))
        found["text"].append(_text(own))
        found["bar"].append(_bar(own))
    return {name: torch.from_numpy(np.stack(each))[:, None] for name, each in found.items()}


def _blank() -> np.ndarray:
    return np.zeros((SIDE_PX, SIDE_PX), np.uint8)


def _scratches(own: np.random.Generator) -> np.ndarray:
    picture = _blank()
    for _ in range(own.integers(3, 25)):
        place, way = own.uniform(0, SIDE_PX, 2), own.uniform(0, 2 * np.pi)
        points, step = [place], own.uniform(1, 15)
        for _ in range(6):
            way += own.normal(0, 0.12)
            place = place + step * np.array([np.cos(way), np.sin(way)])
            points.append(place)
        line = [np.int32(np.array(points) * 8)]
        cv2.polylines(
            picture,
            line,
            isClosed=False,
            color=int(own.integers(60, 255)),
            lineType=cv2.LINE_AA,
            shift=3,
        )
    for _ in range(own.integers(0, 20)):
        place = tuple(int(v) for v in own.uniform(0, SIDE_PX, 2))
        cv2.circle(picture, place, int(own.integers(0, 3)), int(own.integers(80, 255)), -1)
    return picture


def _metal(own: np.random.Generator) -> np.ndarray:
    picture = _blank()
    for _ in range(own.integers(1, 5)):
        middle, corners = own.uniform(100, SIDE_PX - 100, 2), own.integers(5, 10)
        ways = np.sort(own.uniform(0, 2 * np.pi, corners))
        reach = own.uniform(6, 34) * own.uniform(0.4, 1.2, corners)
        outline = np.stack([np.cos(ways) * reach, np.sin(ways) * reach * own.uniform(0.5, 1.3)], 1)
        cv2.fillPoly(picture, [np.int32((middle + outline) * 8)], 255, cv2.LINE_AA, 3)
    return cv2.GaussianBlur(picture, (0, 0), float(own.uniform(0.4, 1.0)))


def _text(own: np.random.Generator) -> np.ndarray:
    picture, letters = _blank(), list("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789 ./-")
    for _ in range(own.integers(1, 4)):
        word = "".join(own.choice(letters, own.integers(1, 12)))
        high = own.choice([own.integers(60, 150), own.integers(300, 410), own.integers(60, 410)])
        place = (int(own.integers(10, SIDE_PX - 60)), int(high))
        size, font = float(own.uniform(0.3, 1.1)), int(own.integers(0, 4))
        cv2.putText(picture, word, place, font, size, 255, int(own.integers(1, 3)), cv2.LINE_AA)
    return picture


def _bar(own: np.random.Generator) -> np.ndarray:
    """A bite block's shadow."""
    picture = _blank()
    middle = own.uniform(0.35 * SIDE_PX, 0.65 * SIDE_PX, 2)
    size = (2 * float(own.uniform(30, 140)), 2 * float(own.uniform(5, 22)))
    box = cv2.boxPoints((tuple(map(float, middle)), size, float(own.normal(0, 3))))
    cv2.fillPoly(picture, [np.int32(box * 8)], 255, cv2.LINE_AA, 3)
    return cv2.GaussianBlur(picture, (0, 0), float(own.uniform(0.5, 2)))


def moved(
    film: Tensor, inside: Tensor, places: Tensor, seen: Tensor, *, flip: float = 0.5
) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
    """Turned, scaled, shifted, bent and perhaps mirrored; the last given back: 1 where mirrored."""
    films, device = len(film), film.device
    half = SIDE_PX / 2
    way = (torch.randn(films, device=device) * 4.0).clamp(-9, 9).deg2rad()
    size = torch.exp((torch.rand(films, device=device) * 2 - 1) * 0.15)
    across = size * torch.exp((torch.rand(films, device=device) * 2 - 1) * 0.03)
    sign = torch.where(torch.rand(films, device=device) < flip, -1.0, 1.0)
    cos, sin = torch.cos(way), torch.sin(way)
    turn = torch.stack(
        [torch.stack([sign * cos / across, -sin / size], -1),
         torch.stack([sign * sin / across, cos / size], -1)], -2)  # fmt: skip
    shift = (torch.randn(films, 2, device=device) * 16).clamp(-40, 40)
    bend = functional.interpolate(
        torch.randn(films, 2, 7, 7, device=device), (SIDE_PX, SIDE_PX), mode="bicubic"
    )
    bend = bend * torch.rand(films, 1, 1, 1, device=device) * 4.0 * _some(films, 0.7, device)
    line = torch.arange(SIDE_PX, device=device) + 0.5 - half
    rows, columns = torch.meshgrid(line, line, indexing="ij")
    grid = torch.stack([columns, rows], -1).view(1, -1, 2) @ turn.transpose(1, 2)
    grid = (grid + shift[:, None]).view(films, SIDE_PX, SIDE_PX, 2) + bend.permute(0, 2, 3, 1)
    both = functional.grid_sample(torch.cat([film, inside], 1), grid / half, align_corners=False)
    back = torch.linalg.inv(turn).transpose(1, 2)
    wanted = places - half - shift[:, None]
    found = wanted @ back
    for _ in range(4):
        at = (found / half).clamp(-1, 1)[:, :, None]
        bent = functional.grid_sample(bend, at, align_corners=False)[..., 0].transpose(1, 2)
        found = (wanted - bent) @ back
    found = found + half
    low, high = _kept_part(both[:, 1], device)
    seen = seen & (found > low[:, None] + 1).all(-1) & (found < high[:, None] - 1).all(-1)
    line = line + half
    within = [
        (line >= low[:, axis : axis + 1]) & (line < high[:, axis : axis + 1]) for axis in (0, 1)
    ]
    kept = (within[1][:, None, :, None] & within[0][:, None, None, :]).float()
    return both[:, :1] * kept, both[:, 1:] * kept, found, seen, (sign < 0).float()


def _kept_part(inside: Tensor, device: torch.device) -> tuple[Tensor, Tensor]:
    """What part of the square is left of each film: lowest and highest column and row. [px]"""
    films = len(inside)
    covered = [inside.amax(axis) > 0.5 for axis in (1, 2)]
    low = torch.stack([each.float().argmax(1) for each in covered], 1).float()
    high = SIDE_PX - torch.stack([each.flip(1).float().argmax(1) for each in covered], 1).float()
    cut = torch.rand(2, films, 2, device=device) ** 2 * CROPPED_PX
    cut = cut * (torch.rand(films, 1, device=device) < CROPPED)
    cropped = (cut > 0).any(0)
    low = torch.where(cropped, low + cut[0], torch.zeros_like(low))
    high = torch.where(cropped, high - cut[1], torch.full_like(high, SIDE_PX))
    return low, high


def _some(films: int, share: float, device: torch.device) -> Tensor:
    return (torch.rand(films, 1, 1, 1, device=device) < share).float()


def _between(films: int, low: float, high: float, device: torch.device) -> Tensor:
    return torch.rand(films, 1, 1, 1, device=device) * (high - low) + low


def _blurred(film: Tensor, sigma: Tensor) -> Tensor:
    films, reach = len(film), torch.arange(-6, 7, device=film.device).float()
    kernel = torch.exp(-0.5 * (reach[None] / sigma.view(films, 1).clamp_min(0.05)) ** 2)
    kernel = kernel / kernel.sum(1, keepdim=True)
    film = film.transpose(0, 1)
    film = functional.conv2d(film, kernel.view(films, 1, 1, 13), padding=(0, 6), groups=films)
    film = functional.conv2d(film, kernel.view(films, 1, 13, 1), padding=(6, 0), groups=films)
    return film.transpose(0, 1)


def _about(film: Tensor, size: int = 41) -> Tensor:
    """The mean about each place, rows first, then columns."""
    for across in (True, False):
        shape = ((1, size), 1, (0, size // 2)) if across else ((size, 1), 1, (size // 2, 0))
        film = functional.avg_pool2d(film, *shape, count_include_pad=False)
    return film


def _compressed(film: Tensor) -> Tensor:
    """Kept with loss: each block's waves rounded, the finer the coarser."""
    films, device, cells = len(film), film.device, SIDE_PX // BLOCK_PX
    step = torch.arange(BLOCK_PX, device=device).float()
    waves = torch.cos((step[None] + 0.5) * step[:, None] * torch.pi / BLOCK_PX)
    waves = waves / waves.norm(dim=1, keepdim=True)
    blocks = film.reshape(films, cells, BLOCK_PX, cells, BLOCK_PX).permute(0, 1, 3, 2, 4)
    coarse = (0.06 + 0.03 * (step[None] + step[:, None])) * _between(films, 0.05, 0.5, device)[
        ..., None
    ]
    found = waves.T @ (((waves @ blocks @ waves.T) / coarse).round() * coarse) @ waves
    return found.permute(0, 1, 3, 2, 4).reshape(films, 1, SIDE_PX, SIDE_PX)


def _striped(films: int, device: torch.device) -> Tensor:
    """Noise alike along each row or each column, as read-out leaves it."""
    rows = torch.randn(films, 1, SIDE_PX, 1, device=device)
    columns = torch.randn(films, 1, 1, SIDE_PX, device=device)
    return torch.where(_some(films, 0.5, device) > 0, rows, columns)


def _framed(film: Tensor, inside: Tensor) -> Tensor:
    """Some films in a frame of one grey, as a viewer draws it round them."""
    films, device = len(film), film.device
    size = FRAME_PX[int(torch.randint(len(FRAME_PX), (1,)))]
    frame = inside + functional.max_pool2d(-inside, size, 1, size // 2)
    grey = _between(films, 0, 1, device)
    return torch.where((_some(films, 0.1, device) * frame) > 0.5, grey, film)


def _uneven(films: int, device: torch.device) -> Tensor:
    coarse = torch.randn(films, 1, 4, 4, device=device)
    return functional.interpolate(coarse, (SIDE_PX, SIDE_PX), mode="bicubic").clamp(-2, 2)


def _picked(pool: Tensor, films: int, device: torch.device) -> Tensor:
    found = pool[torch.randint(len(pool), (films,), device=device)].float() / 255
    return torch.where(torch.rand(films, 1, 1, 1, device=device) < 0.5, found.flip(3), found)


def _toned(film: Tensor) -> Tensor:
    """A rising tone curve of its own for each film, then a gamma."""
    films, device = len(film), film.device
    steps = -(torch.rand(films, TONE_STEPS - 1, device=device) * 0.999 + 5e-4).log()
    steps = steps ** _between(films, 0.4, 1.2, device).view(films, 1)
    rising = torch.cat([torch.zeros(films, 1, device=device), steps.cumsum(1)], 1)
    rising = rising / rising[:, -1:].clamp_min(1e-6)
    share = _between(films, 0, 0.8, device).view(films, 1)
    curve = (1 - share) * torch.linspace(0, 1, TONE_STEPS, device=device) + share * rising
    at = film.clamp(0, 1) * (TONE_STEPS - 1)
    low = at.floor().clamp(0, TONE_STEPS - 2)
    index = low.long().view(films, -1)
    one, two = curve.gather(1, index).view_as(film), curve.gather(1, index + 1).view_as(film)
    chosen = _some(films, 0.75, device)
    film = chosen * (one + (two - one) * (at - low)) + (1 - chosen) * film.clamp(0, 1)
    gamma = torch.exp(torch.randn(films, 1, 1, 1, device=device) * 0.35)
    return film.clamp(1e-4, 1) ** gamma


def shown(film: Tensor, inside: Tensor, pool: Pools) -> Tensor:
    """Films as other displays, receptors and hands would show them."""
    films, device = len(film), film.device
    metal = _picked(pool["metal"], films, device)
    film = torch.where(
        (_some(films, 0.2, device) * (metal > 0.02)).bool(), metal.maximum(film), film
    )
    film = film + _some(films, 0.3, device) * _between(films, -0.1, 0.25, device) * _picked(
        pool["bar"], films, device
    )
    film = _toned(film)
    size = ABOUT_PX[int(torch.randint(len(ABOUT_PX), (1,)))]
    mean, square = _about(film, size), _about(film * film, size)
    local = (0.5 + 0.22 * (film - mean) / ((square - mean**2).clamp_min(0).sqrt() + 0.04)).clamp(
        0, 1
    )
    share = _some(films, 0.4, device) * _between(films, 0, 0.9, device)
    film = (1 - share) * film + share * local
    film = film * (1 + _between(films, 0, 0.25, device) * _uneven(films, device))
    film = film + _between(films, 0, 0.15, device) * _some(films, 0.6, device) * _uneven(
        films, device
    )
    soft = _blurred(film, _between(films, 0.3, 2.2, device))
    blur = _between(films, 0, 1, device)
    film = film + torch.where(_some(films, 0.5, device) > 0, blur, -1.5 * blur) * (soft - film)
    grain = _blurred(torch.randn_like(film), _between(films, 0.6, 2.2, device))
    grain = grain / (grain.std((1, 2, 3), keepdim=True) + 1e-4)
    noise = torch.randn_like(film) * (0.4 + film.clamp(0, 1))
    film = film + _between(films, 0, 1, device) ** 2 * 0.09 * noise
    film = film + _between(films, 0, 1, device) ** 2 * 0.07 * grain
    stripes = _some(films, 0.3, device) * _between(films, 0, 1, device) ** 2
    film = film + 0.04 * stripes * _striped(films, device)
    film = torch.where(_some(films, 0.25, device) > 0, _compressed(film), film)
    over = _picked(pool["scratch"], films, device) * _some(films, 0.4, device)
    over = over * _between(films, 0.2, 1, device)
    film = film + (_some(films, 0.85, device) - film) * over
    over = _picked(pool["text"], films, device) * _some(films, 0.2, device)
    film = film * (1 - over) + over * _between(films, 0, 1, device).round()
    dark, any_grey = _between(films, 0, 0.06, device), _between(films, 0, 1, device)
    ground = torch.where(_some(films, 0.7, device) > 0, dark, any_grey)
    film = _framed(film * inside + (1 - inside) * ground, inside)
    film = torch.where(_some(films, 0.03, device).bool(), 1 - film, film)
    return film.clamp(-0.1, 1.1)


def no_bitewings(film: Tensor, pool: Pools) -> Tensor:
    """Pictures of the same shape that are no bitewings: blank, cloudy, text, pieces enlarged."""
    films, device = len(film), film.device
    cloud = functional.interpolate(
        torch.randn(films, 1, 14, 14, device=device), (SIDE_PX, SIDE_PX), mode="bicubic"
    )
    cloud = 0.5 + 0.3 * cloud * _between(films, 0, 1, device)
    text = sum(_picked(pool["text"], films, device) for _ in range(5)).clamp(0, 1)
    page = torch.where(_some(films, 0.5, device) > 0, text, 1 - text)
    corner = torch.rand(films, 1, 1, 2, device=device) * 1.4 - 0.7
    line = torch.linspace(-0.14, 0.14, SIDE_PX, device=device)
    rows, columns = torch.meshgrid(line, line, indexing="ij")
    piece = functional.grid_sample(
        film, torch.stack([columns, rows], -1)[None] + corner, align_corners=False
    )
    blank = _between(films, 0, 1, device).expand_as(film)
    kind = torch.randint(4, (films, 1, 1, 1), device=device)
    found = torch.where(kind == 0, cloud, torch.where(kind == 1, page, blank))
    found = torch.where(kind == 2, piece, found)
    return found + torch.randn_like(film) * _between(films, 0, 0.08, device)


__all__ = ["Pools", "moved", "no_bitewings", "pools", "shown"]
