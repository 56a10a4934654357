"""A population of real crowns: mean shapes, the ways in which they differ, and how they stand.

Statistics of some 130 people's scans (`shared/real/crown_population_mit`), read where they lie.
"""

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bitewright.errors import BitewrightError
from bitewright.mouth.arches import arch_curve
from bitewright.mouth.mouth import ArchForm, CurveKind
from bitewright.mouth.open_direction import box_middle
from bitewright.mouth.tooth_forms import is_right, is_upper

Floats = NDArray[np.float64]

FOLDER = "real/crown_population_mit"
PLACES = range(1, 8)
LEFT_BACK_UP = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
"""Rows: the mouth's left, back and up in the source's frame (x left, y up, z forward)."""

SAMPLED_MM = np.linspace(-60.0, 60.0, 6001)


class PopulationMissingError(BitewrightError):
    """The folder with the population of crowns is not there."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"The folder {folder} holds no crown_shapes.npz and crown_poses.npz: name the folder "
            "of shared data in BITEWRIGHT_SHARED."
        )


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class CrownPopulation:
    """Mean crowns at their mean places, how shapes differ and how teeth stand.

    Parameters
    ----------
    codes : tuple of 28 ISO 3950 codes
    mean_mouth : (28, P, 3) float array
        Points of the mean crowns, each arch on an origin of its own. [mm]
    ways_mouth : (28, W, P, 3) float array
        How points move for one standard deviation of each way of its shape. [mm]
    poses : (28, 6, 6) float array
        Covariance of movement and turn about x, y, z of the mouth frame. [mm, rad]
    sizes : (28, 28) float array
        Covariance of the teeth's sizes, as shares.
    """

    codes: tuple[int, ...]
    mean_mouth: Floats
    ways_mouth: NDArray[np.float32]
    poses: Floats
    sizes: Floats

    @cached_property
    def arches(self) -> dict[bool, "MeanArch"]:
        """The mean arches, by whether upper."""
        return {upper: MeanArch.through(self.middles(upper=upper)) for upper in (True, False)}

    def middles(self, *, upper: bool) -> Floats:
        """Mean middles (7, 2) of a left half arch, both sides' mean. [mm]"""
        right, left = (1, 2) if upper else (4, 3)
        halves = []
        for quadrant, sign in ((right, -1.0), (left, 1.0)):
            rows = [self.codes.index(10 * quadrant + place) for place in PLACES]
            halves.append([box_middle(self.mean_mouth[row][:, :2]) * [sign, 1.0] for row in rows])
        return np.asarray(np.mean(halves, axis=0))

    def stands(self, code: int) -> "Stand":
        """Where and how the mean tooth of a code stands on its mean arch."""
        arch = self.arches[is_upper(code)]
        middle = self.middles(upper=is_upper(code))[code % 10 - 1].copy()
        middle[0] *= -1.0 if is_right(code) else 1.0
        return arch.stand(middle, right=is_right(code), upper=is_upper(code))

    def crowns_tooth(self, code: int, scores: Floats) -> Floats:
        """Crowns (N, P, 3) by their scores (N, W) in standard deviations, in the tooth's axes. [mm]

        Mesial and buccal along and across the mean arch, occlusal; zero in the mean crown's middle.
        """
        row = self.codes.index(code)
        moved = np.tensordot(scores.astype(np.float32), self.ways_mouth[row], axes=1)
        points = self.mean_mouth[row] + moved.astype(np.float64)
        low, high = self.mean_mouth[row].min(axis=0), self.mean_mouth[row].max(axis=0)
        return np.asarray((points - 0.5 * (low + high)) @ self.stands(code).axes_mouth.T)

    def place_deviations(self, code: int) -> dict[str, float]:
        """Standard deviations of how a tooth stands: turn, tip, torque, offset and height."""
        pose, axes = self.poses[self.codes.index(code)], self.stands(code).axes_mouth
        moved, turned = (np.sqrt(np.diag(axes @ part @ axes.T)) for part in _blocks(pose))
        return {
            "turn_deg": float(np.rad2deg(turned[2])),
            "tip_deg": float(np.rad2deg(turned[1])),
            "torque_deg": float(np.rad2deg(turned[0])),
            "offset_mm": float(moved[1]),
            "height_mm": float(moved[2]),
        }


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """How a mean tooth stands: axes (3, 3), and how far buccally of its arch's line. [mm]"""

    axes_mouth: Floats
    out_of_line_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeanArch:
    """The arch form nearest the mean crowns' middles; its front lies at a place back. [mm]"""

    form: ArchForm
    front_mm: float

    @classmethod
    def through(cls, middles: Floats) -> "MeanArch":
        """The polynomial arch with the least squared distances from middles (7, 2). [mm]

        Its molar point lies beside the second molar's middle, its canine point beside the canine's.
        """

        def made(values: Floats) -> "MeanArch":
            half_width, canine_back, front = values.tolist()
            form = ArchForm(
                width_mm=2.0 * half_width,
                depth_mm=float(middles[-1, 1]) - front,
                curve=CurveKind.POLYNOMIAL,
                canine_width_mm=2.0 * float(middles[2, 0]),
                canine_depth_mm=canine_back - front,
            )
            return cls(form=form, front_mm=front)

        def apart(values: Floats) -> Floats:
            arch = made(values)
            return np.array(
                [arch.stand(m, right=False, upper=True).out_of_line_mm for m in middles]
            )

        start = [middles[-1, 0], middles[2, 1], float(middles[0, 1]) - 0.5]
        return made(least_squares(apart, start, diff_step=1e-3).x)

    def stand(self, middle: Floats, *, right: bool, upper: bool) -> Stand:
        """How a tooth with its middle (2,) at a place stands on this arch. [mm]"""
        curve = arch_curve(self.form)
        places = curve.at(SAMPLED_MM)
        away = middle - [0.0, self.front_mm] - places
        near = int(np.hypot(away[:, 0], away[:, 1]).argmin())
        left = curve.tangents(SAMPLED_MM[near : near + 1])[0]
        mesial = left if right else -left
        buccal = np.array([left[1], -left[0]])
        axes = np.zeros((3, 3))
        axes[0, :2], axes[1, :2], axes[2, 2] = mesial, buccal, -1.0 if upper else 1.0
        return Stand(axes_mouth=axes, out_of_line_mm=float(away[near] @ buccal))


def read_population(folder: Path) -> CrownPopulation:
    """Read the population's arrays from the folder they lie in.

    Raises
    ------
    PopulationMissingError
    """
    files = [Path(folder) / name for name in ("crown_shapes.npz", "crown_poses.npz")]
    if not all(file.exists() for file in files):
        raise PopulationMissingError(Path(folder))
    shapes, poses = (np.load(file) for file in files)
    mean = shapes["mean_points"].astype(np.float64) @ LEFT_BACK_UP.T
    count, points = mean.shape[:2]
    deviations = np.sqrt(shapes["shape_variances"].astype(np.float32))
    ways = shapes["shape_vectors"].astype(np.float32) * deviations[:, None]
    ways = np.moveaxis(ways.reshape(count, points, 3, -1), 3, 1) @ LEFT_BACK_UP.T.astype(np.float32)
    turn = np.kron(np.eye(2), LEFT_BACK_UP)
    return CrownPopulation(
        codes=tuple(shapes["codes"].tolist()),
        mean_mouth=mean,
        ways_mouth=ways,
        poses=turn @ poses["pose_covariances"] @ turn.T,
        sizes=poses["scale_covariance"],
    )


def _blocks(pose: Floats) -> tuple[Floats, Floats]:
    return pose[:3, :3], pose[3:, 3:]


__all__ = ["FOLDER", "CrownPopulation", "MeanArch", "PopulationMissingError", "read_population"]
