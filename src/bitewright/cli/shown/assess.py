"""An assessment for people: whether it serves, what to move, and then what that rests on."""

from bitewright.cli.screen import caution, console
from bitewright.cli.shown.answer import show_answer
from bitewright.cli.shown.explanation import show_correction
from bitewright.cli.shown.tables import contacts_table, findings_table
from bitewright.explanation.correction import Verdict
from bitewright.marking.marks import CONE_CUT
from bitewright.tasks.assess.assessment_files import AssessmentFiles
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.words.contacts import CHANCES, chance_words
from bitewright.words.observations import remark_words
from bitewright.words.pixel_sizes import pixel_words
from bitewright.words.ratings import rating_words
from bitewright.words.seen_faults import SEEN_FAULTS, fault_sentence
from bitewright.words.written import written_to


def show(answer: FilmAssessment, written: AssessmentFiles) -> None:
    """Print an assessment for people, and what was written of it."""
    out = console()
    result = answer.as_told
    out.print(f"[bold]{answer.name}[/bold], {result.view.title}")
    show_answer(out, answer.answer, answer.asks)
    out.print(
        f"{rating_words(answer.grade, answer.scheme.in_full)} "
        f"{pixel_words(answer.pixel_mm, answer.pixel_from)}"
    )
    for sentence in (answer.openness, answer.doubt):
        if sentence is not None:
            out.print(sentence)
    out.print()
    said = answer.explained
    chances = {
        contact.name: chance_words(chance)
        for contact, chance in zip(result.contacts, answer.chances, strict=True)
    }
    out.print(contacts_table(result.contacts, {CHANCES: chances}))
    out.print()
    out.print(findings_table(result.findings))
    for remark in answer.film.marks.observations:
        out.print(remark_words(remark))
        # Of a cone cut with its edge marked the answer has the remedy, which may be another one.
        if remark.name in SEEN_FAULTS and not (remark.name == CONE_CUT and answer.cone_cut_mm):
            out.print(fault_sentence(remark.name))
    for caveat in answer.caveats:
        out.print(f"Note: {caveat}", style="dim")
    if written.overlay is not None:
        out.print(written_to("Overlay", written.overlay))
    out.print()
    if said is None or said.explanation is None or said.words is None:
        out.print(caution())
        return
    correction = said.explanation.correction
    cannot_tell = correction.verdict is Verdict.CANNOT_TELL
    show_correction(
        out, said.words, correction, lead=cannot_tell, receptor_turned=answer.receptor_turned
    )
    for what, path in (("Drawing", written.drawing), ("Belief", written.belief)):
        if path is not None:
            out.print(written_to(what, path))


__all__ = ["show"]
