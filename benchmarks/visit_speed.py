"""How soon a visit of four films is told, beside the estimate of one of its films.

    python -m benchmarks.visit_speed
    python -m benchmarks.visit_speed --rounds 7

The ledger of four marked films from their marks; then what stands before another exposure, with
its odds; then both as the page draws them. Each is done several times in turn with the estimate of
one film alone; the quickest of each counts, for a busy machine only ever adds. Prints figures and
judges nothing. Aims on a quiet machine of two cores: the ledger 2 s, the gate 6 s.
"""

import argparse
import time
from collections.abc import Callable

from bitewright.files.marks_file import marks_from_document, marks_to_document
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import Question
from bitewright.steps import unwatched
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.visit_films import further_film
from bitewright.tasks.catalogue.named import equipment, named_equipment
from bitewright.tasks.visit.gate_visit import Hand, gate_of
from bitewright.tasks.visit.read_visit import VisitAnswer, answers_of, film_of_visit
from bitewright.tasks.visit.visit_picture import visit_svg
from bitewright.tasks.visit.visit_tables import visit_table
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.gate import Stated
from tests.unit.visit.marked import film, mirrored

ROUNDS = 5
STATED = Stated(purpose="pain at 45", cause="tube too far forward", change="tube back")


def main() -> None:
    """Time each in turn, and tell the quickest of each."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    rounds = asked.parse_args().rounds
    works = all_works()
    for work in works.values():
        work()  # what is compiled or kept once is no part of it
    taken = {name: [timed(work) for _ in range(rounds)] for name, work in works.items()}
    best = {
        name: (min(clock for clock, _ in each), min(own for _, own in each))
        for name, each in taken.items()
    }
    reference = best["estimate of one film"][0]
    print(f"The quickest of {rounds}: seconds by the clock, of processor time, as a ratio")
    for name, (clock, own) in best.items():
        print(f"{name:<40} {clock:6.2f} s {own:6.2f} s {clock / reference:6.2f}")


def all_works() -> dict[str, Callable[[], object]]:
    """What is timed, by name."""
    known = equipment()
    by = named_equipment(known, receptor="sensor-2", holder="ring-holder", tube="rectangular-300")
    stated = stated_hands()[MIDDLING]
    hand = Hand(title=stated.title, scatter=stated.scatter)
    documents = [marks_to_document(each.marks) for each in visit_films()]

    def told() -> VisitAnswer:
        films = [
            film_of_visit(f"film {number}", marks_from_document(each), known)
            for number, each in enumerate(documents)
        ]
        return answers_of(films, [], Question.ENAMEL).one(0)

    def page() -> tuple[object, ...]:
        answer = told()
        return visit_svg(answer), visit_table(answer), gate_of(answer, STATED, by=by, hand=hand)

    read = told()
    first = read.ledger.films[0]
    one = further_film(
        TakenFilm(marks=first.marks, view=first.view, receptor=by.receptor), by.receptor
    )
    return {
        "estimate of one film": lambda: estimate_learned(
            [one], None, by.holder, by.tube, begin=unwatched
        ),
        "ledger of four films": told,
        "gate with odds": lambda: gate_of(read, STATED, by=by, hand=hand),
        "page: ledger, chart, table and gate": page,
    }


def visit_films() -> tuple[FilmOfVisit, ...]:
    """Four films of one day; on the first 44-45 is closed."""
    premolar, molar = film("right-premolar", {"44-45": 1.2}), film("right-molar")
    return premolar, molar, mirrored(film("right-premolar")), mirrored(film("right-molar"))


def timed(work: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the clock and of processor time."""
    clock, own = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - clock, time.process_time() - own


if __name__ == "__main__":
    main()
