"""Train the network that proposes marks from films of `training_films`, judge it, export it.

On a GPU where there is one; `--seconds` is the training itself. Mouths, look and receptor held out
are never learnt from. With several GPUs, `torchrun --nproc_per_node=4` goes in place of `python`:

    python -m builders.train_network --films FOLDER --out FOLDER --seconds 420
"""

import argparse
import copy
import json
import os
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, distributed, nn
from torch.nn import functional

from bitewright.proposing.channels import CHANNEL_COUNT, KINDS, SORTS, TOOTH_COUNT
from bitewright.proposing.heat_maps import STRIDE_PX, WINDOW
from bitewright.proposing.square import PIXEL_MM, SIDE_PX
from builders.kept_films import KeptFilms, kept_films
from builders.network_export import export
from builders.network_layers import Network
from builders.network_loading import loaded
from builders.training_looks import Pools, moved, no_bitewings, pools, shown

SIGMA_PX = 0.85 * STRIDE_PX
NO_BITEWING, NOT_UPRIGHT = 0.05, 0.1
WEIGHT_DECAY, WARM_UP, LEAST_RATE = 0.02, 300, 0.02


class OnDevice:
    """All films on the device, to be drawn from."""

    def __init__(self, films: KeptFilms, device: torch.device) -> None:
        self.device = device
        self.grey = torch.from_numpy(films.grey).to(device)
        self.size = torch.from_numpy(films.size_px).to(device)
        self.places = torch.from_numpy(films.places_px).to(device)
        self.seen = torch.from_numpy(films.seen).to(device)
        self.sure = torch.from_numpy(films.sure).to(device)
        self.told = torch.from_numpy(films.told).to(device)
        line = torch.arange(SIDE_PX, device=device)
        self.rows, self.columns = torch.meshgrid(line, line, indexing="ij")

    def batch(self, index: Tensor) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
        """Films, what of the square they cover, places, what is seen, and teeth told."""
        film = self.grey[index][:, None].float() / 255
        first = ((SIDE_PX - self.size[index]) // 2)[:, :, None, None]
        last = first + self.size[index][:, :, None, None]
        inside = (self.rows >= first[:, 0]) & (self.rows < last[:, 0])
        inside &= (self.columns >= first[:, 1]) & (self.columns < last[:, 1])
        places, seen = self.places[index], self.seen[index]
        return film, inside[:, None].float(), places, seen, self.told[index]


def decoded(heat: Tensor) -> tuple[Tensor, Tensor, Tensor]:
    """Places (films, channels, 2), their spread, and how much of the map lies about each. [px]"""
    films, channels, rows, columns = heat.shape
    share = heat.float().flatten(2).softmax(-1)
    highest = share.argmax(-1)
    row, column = highest // columns, highest % columns
    reach = WINDOW // 2
    wide = functional.pad(share.view(films, channels, rows, columns), (reach,) * 4).flatten(2)
    line = torch.arange(WINDOW, device=heat.device)
    at = (row[..., None, None] + line.view(1, 1, -1, 1)) * (columns + 2 * reach)
    at = (at + column[..., None, None] + line.view(1, 1, 1, -1)).flatten(2)
    window = wide.gather(2, at).view(films, channels, WINDOW, WINDOW)
    mass = window.sum((2, 3))
    off = (line - reach).float()
    across = (window.sum(2) * off).sum(-1) / mass
    down = (window.sum(3) * off).sum(-1) / mass
    square = (window * (off.view(1, 1, -1, 1) ** 2 + off.view(1, 1, 1, -1) ** 2)).sum((2, 3)) / mass
    spread = (0.5 * (square - across**2 - down**2)).clamp_min(1e-6).sqrt() * STRIDE_PX
    places = torch.stack([column + across + 0.5, row + down + 0.5], -1) * STRIDE_PX
    return places, spread, mass


def found_on(
    network: nn.Module, films: OnDevice, index: np.ndarray, pool: Pools | None
) -> dict[str, np.ndarray]:
    """What a network finds on films, varied as in training where a pool is given."""
    parts: dict[str, list[np.ndarray]] = {}
    for start in range(0, len(index), 64):
        at = torch.from_numpy(index[start : start + 64]).to(films.device)
        film, inside, places, seen, told = films.batch(at)
        front = torch.zeros(len(film), device=films.device)
        if pool is not None:
            film, inside, places, seen, front = moved(film, inside, places, seen)
            film = shown(film, inside, pool)
        with torch.no_grad(), torch.autocast(films.device.type, torch.bfloat16):
            heat, says = network(film, torch.zeros_like(told))
        place, spread, mass = decoded(heat)
        for name, value in (
            ("place", place),
            ("spread", spread),
            ("mass", mass),
            ("says", says.float().sigmoid()),
            ("true", places),
            ("seen", seen),
            ("front", front),
        ):
            parts.setdefault(name, []).append(value.cpu().numpy())
    return {name: np.concatenate(each) for name, each in parts.items()}


def figures(found: dict[str, np.ndarray]) -> dict[str, object]:
    """Errors by sort of landmark, and how often what is told of whole films is right."""
    error = PIXEL_MM * np.linalg.norm(found["place"] - found["true"], axis=-1)
    along = PIXEL_MM * np.abs(found["place"] - found["true"])[..., 0]
    there = found["says"][:, :CHANNEL_COUNT] > 0.5
    said: dict[str, object] = {"films": len(error)}
    for sort in dict.fromkeys(SORTS):
        own = np.array([SORTS[n % len(KINDS)] == sort for n in range(CHANNEL_COUNT)])
        own = own[None] & found["seen"] & there
        if own.any():
            quantiles = np.quantile(error[own], (0.5, 0.95))
            said[sort] = [round(float(v), 3) for v in (*quantiles, (error[own] > 1).mean())]
            said[f"{sort} along"] = round(float(np.median(along[own])), 3)
    said["presence"] = round(float((there == found["seen"]).mean()), 4)
    front = found["says"][:, CHANNEL_COUNT] > 0.5
    said["front"] = round(float((front == (found["front"] > 0.5)).mean()), 4)
    return said


def loss_of(network: nn.Module, films: OnDevice, index: Tensor, pool: Pools) -> Tensor:
    """What is to be made small, of one batch."""
    device, count = films.device, len(index)
    with torch.no_grad():
        film, inside, places, seen, told = films.batch(index)
        film, inside, places, seen, front = moved(film, inside, places, seen)
        film = shown(film, inside, pool).contiguous(memory_format=torch.channels_last)
        kind = torch.rand(count, device=device)
        none = kind < NO_BITEWING
        upside = (kind >= NO_BITEWING) & (kind < NO_BITEWING + NOT_UPRIGHT)
        if none.any():
            film[none] = no_bitewings(film[none], pool)
        turned = upside & (torch.rand(count, device=device) < 0.5)
        film[turned] = film[turned].transpose(2, 3)
        film[upside & ~turned] = film[upside & ~turned].flip(2)
        seen = seen & ~none[:, None]
        asked = seen & films.sure[index] & ~upside[:, None]
        known = torch.rand(count, 1, device=device) < 0.5
        told = told * (known & (torch.rand(count, TOOTH_COUNT, device=device) < 0.8)).float()
        line = (torch.arange(SIDE_PX // STRIDE_PX, device=device) + 0.5) * STRIDE_PX
        across = torch.exp(-((line - places[..., :1]) ** 2) / (2 * SIGMA_PX**2))
        down = torch.exp(-((line - places[..., 1:]) ** 2) / (2 * SIGMA_PX**2))
        across = across / across.sum(-1, keepdim=True).clamp_min(1e-6)
        down = down / down.sum(-1, keepdim=True).clamp_min(1e-6)
        wanted = (down[..., :, None] * across[..., None, :]).flatten(2)
    with torch.autocast(device.type, torch.bfloat16):
        heat, says = network(film, told)
    logs = functional.log_softmax(heat.float().flatten(2), -1)
    apart = -(wanted * logs).sum(-1)
    weight = asked.float()
    loss = (apart * weight).sum() / weight.sum().clamp_min(1)
    says = says.float()
    presence = functional.binary_cross_entropy_with_logits(
        says[:, :CHANNEL_COUNT], seen.float(), reduction="none"
    ).mean(1)
    loss = loss + 2 * (presence * (~upside).float()).mean()
    whole = torch.stack([front, upside.float(), (~none).float()], 1)
    binary = functional.binary_cross_entropy_with_logits(
        says[:, CHANNEL_COUNT:], whole, reduction="none"
    )
    held = torch.ones_like(whole)
    held[:, 0] = (~none & ~upside).float()
    held[:, 1] = (~none).float()
    return loss + 0.5 * (binary * held).mean()


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """The processes that train together, one a GPU; usually one alone."""

    rank: int
    count: int
    device: torch.device

    @classmethod
    def here(cls) -> "Crew":
        """As `torchrun` started this process."""
        rank, count = int(os.environ.get("RANK", "0")), int(os.environ.get("WORLD_SIZE", "1"))
        gpu = torch.cuda.is_available()
        device = torch.device(f"cuda:{os.environ.get('LOCAL_RANK', '0')}" if gpu else "cpu")
        if gpu:
            torch.cuda.set_device(device)
        if count > 1:
            distributed.init_process_group("nccl" if gpu else "gloo")
        return cls(rank=rank, count=count, device=device)

    def agreed(self, value: float) -> float:
        """What the first process says."""
        if self.count == 1:
            return value
        said = torch.tensor([value], device=self.device)
        distributed.broadcast(said, 0)
        return float(said)


def trained(
    films: OnDevice,
    learnt: Tensor,
    judged: np.ndarray,
    pool: Pools,
    given: argparse.Namespace,
    crew: Crew,
) -> nn.Module:
    """The running mean of a network that learns for so many seconds."""
    started_from = Network() if given.start is None else loaded(given.start)
    network: nn.Module = started_from.to(films.device, memory_format=torch.channels_last)
    mean = copy.deepcopy(network).eval().requires_grad_(requires_grad=False)
    size = sum(each.numel() for each in network.parameters())
    own = network
    if given.start is not None:  # what is loaded has its normalising layers worked in
        for layer in own.modules():
            if isinstance(layer, nn.BatchNorm2d):
                layer.eval()
    if crew.count > 1:
        network = nn.parallel.DistributedDataParallel(network)
    print(f"{size / 1e6:.2f} M parameters, {len(learnt)} films to learn from", flush=True)
    steps = torch.optim.AdamW(own.parameters(), lr=given.rate, weight_decay=WEIGHT_DECAY)
    started, step, told = time.monotonic(), 0, time.monotonic()
    while (gone := crew.agreed((time.monotonic() - started) / given.seconds)) < 1:
        falling = LEAST_RATE + (1 - LEAST_RATE) * 0.5 * (1 + np.cos(np.pi * gone))
        for group in steps.param_groups:
            group["lr"] = given.rate * min(1, (step + 1) / WARM_UP) * falling
        index = learnt[torch.randint(len(learnt), (given.batch,), device=films.device)]
        loss = loss_of(network, films, index, pool)
        steps.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(own.parameters(), 2.0)
        steps.step()
        step += 1
        _follow(mean, own, min(0.998, (1 + step) / (20 + step)))
        if crew.rank == 0 and time.monotonic() - told > given.tell:
            told = time.monotonic()
            if not torch.isfinite(loss):
                raise SystemExit(f"step {step}: the loss is {loss.item()}")
            said = figures(found_on(mean, films, judged[:300], None))
            rate = step * given.batch * crew.count / (told - started)
            print(
                f"{told - started:.0f} s, step {step}, {rate:.0f} films/s, {loss.item():.3f}, "
                f"{json.dumps(said)}",
                flush=True,
            )
    return mean


def _follow(mean: nn.Module, own: nn.Module, keep: float) -> None:
    """Move the running mean a little towards the network."""
    with torch.no_grad():
        for kept, new in zip(mean.state_dict().values(), own.state_dict().values(), strict=True):
            if kept.is_floating_point():
                kept.lerp_(new, 1 - keep)
            else:
                kept.copy_(new)


def main() -> None:
    """Read, train, judge, export."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--films", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--name", default="network")
    parser.add_argument("--start", type=Path, help="weights to go on from, as the package has them")
    parser.add_argument("--seconds", type=float, default=420)
    parser.add_argument("--batch", type=int, default=96)
    parser.add_argument("--rate", type=float, default=1.5e-3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--most", type=int, help="take no more mouths than so many")
    parser.add_argument("--overlays", type=int, default=256, help="things drawn to lay over films")
    parser.add_argument("--tell", type=float, default=60, help="say how it stands, every so often")
    given = parser.parse_args()
    torch.backends.cudnn.benchmark = True
    torch.set_float32_matmul_precision("high")
    crew = Crew.here()
    device = crew.device
    torch.manual_seed(given.seed + 1000 * crew.rank)
    started = time.monotonic()
    kept = kept_films(given.films, most=given.most)
    pool = {name: each.to(device) for name, each in pools(given.overlays, given.seed).items()}
    films = OnDevice(kept, device)
    print(f"{len(kept.grey)} films of {len(set(kept.seeds))} mouths, read in "
          f"{time.monotonic() - started:.0f} s", flush=True)  # fmt: skip
    learnt = torch.from_numpy(np.flatnonzero(~kept.is_held_out & ~kept.is_other)).to(device)
    judged = np.flatnonzero(kept.is_held_out & ~kept.is_other)
    mean = trained(films, learnt, judged, pool, given, crew)
    if crew.rank:
        return
    given.out.mkdir(parents=True, exist_ok=True)
    export(mean, given.out / f"{given.name}.onnx")
    some = np.random.default_rng(1).permutation(judged)[:1200]
    varied = found_on(mean, films, some, pool)
    said = {
        "mouths learnt from": len(set(kept.seeds[~kept.is_held_out])),
        "films learnt from": len(learnt),
        "mouths held out": len(set(kept.seeds[kept.is_held_out])),
        "processes, one a GPU": crew.count,
        "seconds": given.seconds,
        "batch": given.batch,
        "rate": given.rate,
        "seed": given.seed,
        "went on from earlier weights": given.start is not None,
        "held out": figures(found_on(mean, films, some, None)),
        "held out, varied": figures(varied),
        "other look and receptor": figures(
            found_on(mean, films, np.flatnonzero(kept.is_other)[:1200], None)
        ),
        "learnt from": figures(found_on(mean, films, learnt[::40].cpu().numpy(), None)),
    }
    print(json.dumps(said, indent=1), flush=True)
    (given.out / f"{given.name}.json").write_text(json.dumps(said, indent=1) + "\n")
    np.savez_compressed(
        given.out / f"{given.name}-varied.npz",
        allow_pickle=False,
        **{name: value.astype(np.float32) for name, value in varied.items() if name != "seen"},
        seen=varied["seen"],
    )


if __name__ == "__main__":
    main()
