"""Write the light box's sample film and its marks: simulated, the tube too far forward.

Run ``python -m builders.sample_film`` in the top folder of the project.
"""

from pathlib import Path

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.placement import Placement
from bitewright.files.marks_file import write_marks
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.mouth import textbook_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.tasks.assess.usual_equipment import USUAL_TUBE
from bitewright.tasks.film.film_files import write_film

FOLDER = Path(__file__).resolve().parents[1] / "src/bitewright/web/static/light_box"
VIEW, RECEPTOR, HOLDER = "right-premolar", "plate-2", "ring-holder"
PIXEL_MM = 0.06
SEED = 8


def main() -> None:
    """Write both files and say where."""
    of, known = view(VIEW), packaged_catalogue()
    outlines = build_outlines(textbook_mouth())
    receptor, holder = known.receptor(RECEPTOR), known.holder(HOLDER)
    at = station(outlines, of.region, receptor, holder, known.tube(USUAL_TUBE))
    exposure = expose(at, Placement(lingual_mm=3.0), Aim(ring_offset_deg=11.0, vertical_deg=5.0))
    film, marks = FOLDER / "sample.png", FOLDER / "sample.marks"
    write_film(film, exposure, of_view=of, pixel_mm=PIXEL_MM, seed=SEED)
    marked = marked_by_simulation(
        predict(exposure, asked(of, at)).landmarks,
        of,
        pixel_mm=PIXEL_MM,
        image_name=film.name,
        receptor=RECEPTOR,
        sd_mm=0.1,
        generator=np.random.default_rng(SEED),
    )
    write_marks(marks, marked)
    print(f"wrote {film} and {marks}")


if __name__ == "__main__":
    main()
