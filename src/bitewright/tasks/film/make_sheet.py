"""A contact sheet: drawn mouths, receptor kinds, exposures, faults, fillings and lesions."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import Exposures
from bitewright.files.images import UnknownImageFormatError, write_picture
from bitewright.film.film_faults import FaultName, FilmFault
from bitewright.film.film_kinds import USUAL, Handling, look_names
from bitewright.film.predicted_film import film_lengths, predicted_film
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.keeping.whole_files import check_place
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.population_mouth import population_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import CARIES_DEPTHS, FILLING_SURFACES, MATERIALS, ToothPart
from bitewright.planning.best_aim import best_aim
from bitewright.quality.views import view
from bitewright.report.contact_sheet import Tile, contact_sheet
from bitewright.report.shapes import Drawing
from bitewright.report.typeset import picture_of
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.catalogue.named import named_equipment, station_for
from bitewright.tasks.film.film_mouths import station_film_mouth
from bitewright.words import contact_sheet as words
from bitewright.words.teeth import part_words

MOUTHS = 10
PIXEL_MM = 0.08
KINDS = ("film-2", "plate-2", "sensor-2")
VIEWS = ("right-premolar", "left-molar", "right-molar", "left-premolar")
TOOTH, BESIDE = 46, 15


class UnclosedSheetError(AssertionError):
    """A surface of the sheet's mouths is not closed: a mistake of ours, not of the user's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMade:
    """The sheet drawn, how many films it holds and how many surfaces were checked."""

    drawing: Drawing
    films: int
    surfaces: int


def make_sheet(*, told: Callable[[str], None] = lambda _: None) -> SheetMade:
    """Film everything there is on one sheet; every surface closed, every film's signs balanced.

    ``told`` hears of each film as it is made.
    """
    darkroom = _Darkroom(told)
    groups = [
        (words.MOUTHS, list(darkroom.mouths())),
        (words.KINDS, list(darkroom.kinds())),
        (words.LOOKS, list(darkroom.looks())),
        (words.FAULTS, list(darkroom.faults())),
        (words.LESIONS, list(darkroom.lesions())),
        (words.FILLINGS, list(darkroom.fillings())),
    ]
    count = sum(len(tiles) for _, tiles in groups)
    foot = words.sheet_foot(count, darkroom.surfaces)
    sheet = contact_sheet(groups, foot=foot, description=words.sheet_note(count))
    return SheetMade(drawing=sheet, films=count, surfaces=darkroom.surfaces)


def check_sheet(path: Path) -> None:
    """Refuse a place at which no sheet can be written, before it is filmed.

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
    """
    if path.suffix.lower() != ".png":
        raise UnknownImageFormatError(str(path), "end its name in .png")
    check_place(path)


def write_sheet(path: Path, made: SheetMade) -> None:
    """Write a sheet (.png).

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
    """
    write_picture(path, picture_of(made.drawing), description=made.drawing.description)


class _Darkroom:
    """Makes the sheet's films and counts what it checked."""

    def __init__(self, told: Callable[[str], None]) -> None:
        self.told = told
        self.surfaces = 0
        self._checked: set[tuple[str, str]] = set()
        self._exposures: dict[tuple[str, str, str], Exposures] = {}

    def mouths(self) -> Iterator[Tile]:
        for seed in range(1, MOUTHS + 1):
            name = VIEWS[seed % len(VIEWS)]
            yield self._tile(population_mouth(seed), name, f"mouth {seed}, {view(name).title}")

    def kinds(self) -> Iterator[Tile]:
        for receptor in KINDS:
            for mas, said in ((0.25, "0.25 mAs"), (None, "right"), (6.0, "6 mAs")):
                yield self._tile(
                    standard_mouth(),
                    "right-premolar",
                    f"{packaged_catalogue().receptor(receptor).title}, {said}",
                    receptor=receptor,
                    handling=Handling(mas=mas),
                )

    def looks(self) -> Iterator[Tile]:
        for look in look_names():
            yield self._tile(
                standard_mouth(),
                "right-molar",
                f"{packaged_catalogue().receptor('sensor-2').title}, {look}",
                receptor="sensor-2",
                handling=Handling(look=look),
            )

    def faults(self) -> Iterator[Tile]:
        for name in FaultName:
            yield self._tile(
                standard_mouth(),
                "right-premolar",
                words.film_fault_title(name),
                handling=Handling(faults=(FilmFault(name=name),)),
            )

    def lesions(self) -> Iterator[Tile]:
        for depth in CARIES_DEPTHS:
            part = ToothPart(kind="caries", surface="distal", depth=depth)
            yield self._part(BESIDE, part, "right-premolar")
        yield self._part(
            TOOTH, ToothPart(kind="calculus", surface="mesial", size=1.4), "right-premolar"
        )

    def fillings(self) -> Iterator[Tile]:
        for number, surface in enumerate(FILLING_SURFACES):
            material = MATERIALS[number % len(MATERIALS)]
            part = ToothPart(kind="filling", surface=surface, material=material)
            yield self._part(TOOTH, part, "right-molar")
        for kind in ("crown", "root-filling"):
            yield self._part(TOOTH, ToothPart(kind=kind), "right-molar")

    def _part(self, code: int, part: ToothPart, view_name: str) -> Tile:
        return self._tile(_with(code, part), view_name, f"{code}: {part_words(part)}")

    def _tile(
        self,
        mouth: Mouth,
        view_name: str,
        caption: str,
        *,
        receptor: str = "plate-2",
        handling: Handling = USUAL,
    ) -> Tile:
        self.told(caption)
        known = packaged_catalogue()
        of_view = view(view_name)
        by = named_equipment(known, receptor=receptor, holder="ring-holder", tube="rectangular-300")
        at = station_for(of_view, mouth, by)
        solids = station_film_mouth(at)
        with all_cores() as threads:
            asked = (str(mouth), view_name, receptor)
            if asked not in self._exposures:
                self._exposures[asked] = best_aim(of_view, at, threads=threads).exposure
                self._check(self._exposures[asked], (str(mouth), view_name))
            exposure = self._exposures[asked]
            film = predicted_film(
                exposure,
                solids,
                pixel_mm=PIXEL_MM,
                handling=handling,
                generator=np.random.default_rng(1),
                threads=threads,
            )
        return Tile(pixels=film.pixels, caption=caption)

    def _check(self, exposure: Exposures, mouth: tuple[str, str]) -> None:
        """Every surface of a mouth not seen before, and the signs of this exposure's rays."""
        at = exposure.station
        solids = station_film_mouth(at)
        if mouth not in self._checked:
            self._checked.add(mouth)
            for part in solids.parts:
                if part.mesh.unmatched_edge_count() or part.mesh.volume_mm3 <= 0.0:
                    raise UnclosedSheetError(part.group.name)
            self.surfaces += len(solids.parts)
        grid = ReceptorGrid.covering(
            width_mm=2.0 * at.half_width_mm, height_mm=2.0 * at.half_height_mm, pixel_mm=PIXEL_MM
        )
        film_lengths(exposure, solids, grid)  # raises where signs do not balance


def _with(code: int, *parts: ToothPart) -> Mouth:
    base = standard_mouth()
    return replace(base, teeth={**base.teeth, code: replace(base.teeth[code], parts=parts)})


__all__ = ["SheetMade", "check_sheet", "make_sheet", "write_sheet"]
