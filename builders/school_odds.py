"""Write the odds the planner gives an invented school's student, from which its rejects follow.

Run ``python -m builders.school_odds`` in the top folder of the project, a minute or two. It plans
both bitewings of the textbook's mouth with a plate and with a sensor, adds the usual errors of a
student of the invented school, and writes how often some criterion fails: for a student whose aim
is unbiased, and for students who aim off to the front or the back. A test works one out again.
"""

from pathlib import Path

import numpy as np
import tomli_w

from bitewright.audit.simulated_school import SCATTER_SD
from bitewright.exposing.scatter import AimPart, Scatter
from bitewright.mouth.mouth import textbook_mouth
from bitewright.planning.best_aim import best_aim
from bitewright.planning.first_time import first_time
from bitewright.quality.criteria import Question
from bitewright.quality.views import view
from tests.scenes import station_in

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "audit" / "tables" / "school_odds.toml"
HEAD = """\
# Chance that some criterion fails at the first exposure, as the planner gives it (grade N of UK
# 2020), for a student of the invented school by mean contact error: the textbook's mouth, its best
# plan, the school's usual errors. Written by builders/school_odds.py: not to be edited by hand.

"""
VIEWS = ("right-premolar", "right-molar")
RECEPTORS = ("plate-2", "sensor-2")
MEANS_DEG = (-8.0, -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0, 8.0)
SEED = 1


def main() -> None:
    """Work the odds out, telling each, and write the table."""
    rows: dict[str, dict[str, list[float]]] = {}
    for receptor in RECEPTORS:
        for name in VIEWS:
            found = failing(receptor, name, MEANS_DEG)
            rows.setdefault(receptor, {})[name] = [round(share, 4) for share in found]
            print(receptor, name, rows[receptor][name], flush=True)
    document = {"means_deg": list(MEANS_DEG), **rows}
    TABLE.write_text(HEAD + tomli_w.dumps(document), encoding="utf-8")
    print(f"wrote {TABLE}")


def failing(
    receptor: str,
    view_name: str,
    means_deg: tuple[float, ...],
    question: Question = Question.BOTH,
) -> list[float]:
    """Chance that a criterion fails at each mean contact error; caries and bone, if left out.

    The school judges its films for both.
    """
    at = station_in(textbook_mouth(), view_name, receptor)
    plan = best_aim(view(view_name), at, question=question)
    spread = np.diag([SCATTER_SD[part.value] ** 2 for part in AimPart])
    return [
        1.0
        - first_time(
            plan,
            _student(mean, spread),
            np.random.default_rng(SEED),
            question=question,
        ).none_failed
        for mean in means_deg
    ]


def _student(mean_deg: float, covariance: np.ndarray) -> Scatter:
    return Scatter(
        contact_error_deg=mean_deg,
        vertical_error_deg=0.0,
        forward_mm=0.0,
        height_mm=0.0,
        covariance=covariance,
    )


if __name__ == "__main__":
    main()
