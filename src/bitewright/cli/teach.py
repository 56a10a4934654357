"""`bitewright teach`: sets of exercises as files, answers marked, both on paper."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options, teach_own
from bitewright.cli.log_options import StoreOption
from bitewright.cli.progress import told_on
from bitewright.cli.screen import caution, console, print_json
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import ItemKind

SET_EXAMPLE = "bitewright teach set --kind name --count 12 --seed 7 --out class-1"
MARK_EXAMPLE = "bitewright teach mark class-1/exercises.html answers.json --key class-1/key.json"
HANDOUT_EXAMPLE = "bitewright teach handout class-1/exercises.html --pdf handout.pdf"
QTI_EXAMPLE = "bitewright teach qti class-1/exercises.html set.zip --key class-1/key.json"
READERS_EXAMPLE = (
    "bitewright teach readers class-1/exercises.html answers.json --key class-1/key.json"
)
TIP_EXAMPLE = (
    "bitewright teach tip film.png --marks film.marks.json --fault overlap --consent-by T1 "
    "--consent-on 2026-01-31 --no-names-seen --out tip.pdf"
)
Page = Annotated[Path, typer.Argument(help="The set's page, as `teach set` wrote it.")]
Key = Annotated[Path, typer.Option(help="The set's key, which the teacher keeps.")]


def add_to(app: typer.Typer) -> None:
    """Register the group."""
    group = typer.Typer(
        name="teach",
        help="Make exercises with hidden answers, mark them, print them.",
        no_args_is_help=True,
    )
    group.command(name="set", epilog=f"Example:\n\n{SET_EXAMPLE}")(set_command)
    group.command(name="mark", epilog=f"Example:\n\n{MARK_EXAMPLE}")(mark_command)
    group.command(name="handout", epilog=f"Example:\n\n{HANDOUT_EXAMPLE}")(handout_command)
    group.command(name="qti", epilog=f"Example:\n\n{QTI_EXAMPLE}")(qti_command)
    group.command(name="readers", epilog=f"Example:\n\n{READERS_EXAMPLE}")(readers_command)
    group.command(name="tip", epilog=f"Example:\n\n{TIP_EXAMPLE}")(tip_command)
    teach_own.add_to(group)
    app.add_typer(group)


def set_command(
    *,
    out: Annotated[Path, typer.Option(help="Folder for exercises.html and key.json.")],
    count: Annotated[int, typer.Option(help="How many exercises.")] = 12,
    seed: Annotated[int, typer.Option(min=0, help="The same number gives the same set.")] = 1,
    kind: Annotated[
        list[ItemKind] | None, typer.Option(help="A kind of exercise; give it again for more.")
    ] = None,
    fault: Annotated[
        list[PlantedFault] | None, typer.Option(help="A fault to plant; give it again for more.")
    ] = None,
    mouth: Annotated[
        list[str] | None,
        typer.Option(help="A mouth by name, such as standard or population-7; again for more."),
    ] = None,
    of_view: Annotated[
        list[str] | None,
        typer.Option("--view", help="A bitewing view; give it again for more."),
    ] = None,
    own: Annotated[
        list[str] | None,
        typer.Option(help="A film of your own by name (`teach own list`); again for more."),
    ] = None,
) -> None:
    """Make a set: one page for students, with films and questions, and its key apart."""
    from bitewright.tasks.teach.make_items import USUAL_KINDS, VIEWS, SetRequest
    from bitewright.tasks.teach.set_files import write_set
    from bitewright.words.exercises import set_written

    request = SetRequest(
        count=count,
        seed=seed,
        kinds=tuple(kind) if kind else USUAL_KINDS,
        faults=tuple(fault) if fault else tuple(PlantedFault),
        mouths=tuple(mouth or ()),
        views=tuple(of_view) if of_view else VIEWS,
        own=tuple(dict.fromkeys(own or ())),
    )
    with told_on("the set") as (begin, _):
        written = write_set(request, out, begin=begin)
    console().print(set_written(written.title, written.page, written.key), soft_wrap=True)


def mark_command(
    page: Page,
    answers: Annotated[Path, typer.Argument(help="A student's answers, as the page saved them.")],
    *,
    key: Key,
    keep_as: Annotated[
        str | None,
        typer.Option(help="Code of the student: the answers are kept, for `competence of`."),
    ] = None,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Mark a student's answers."""
    from bitewright.tasks.teach.set_files import mark_answers
    from bitewright.words.exercises import mark_words, sure_words
    from bitewright.words.skills import KIND_TITLES

    marked = mark_answers(page, answers, key)
    kept = None
    if keep_as is not None:
        from bitewright.tasks.competence.keep_answer import keep_marked

        kept = keep_marked(keep_as, marked, store)
    if as_json:
        print_json(marked.document())
        return
    table = Table(box=None, pad_edge=False)
    for heading in ("exercise", "kind", "outcome", "how sure", "said", "why"):
        table.add_column(heading, overflow="fold")
    for each in marked.answers:
        kind = KIND_TITLES[ItemKind(each.kind)]
        row = (str(each.number), kind, each.outcome, sure_words(each.sure))
        table.add_row(*row, each.said, each.explanation[0])
    screen = console()
    screen.print(table)
    screen.print(mark_words(marked.points, len(marked.answers)))
    if kept is not None:
        from bitewright.words.competence import attempts_kept_words

        screen.print(attempts_kept_words(kept.added, kept.already_there, kept.students))
    screen.print(caution())


def handout_command(
    page: Page,
    *,
    pdf: Annotated[Path, typer.Option(help="The handout to write.")],
    key: Annotated[
        Path | None, typer.Option(help="The set's key: its answers are written instead.")
    ] = None,
) -> None:
    """Print a set: a handout, or with --key the answers on a sheet of their own."""
    from bitewright.tasks.teach.set_files import write_handout, write_key_sheet

    written = write_handout(page, pdf) if key is None else write_key_sheet(page, key, pdf)
    console().print(str(written), soft_wrap=True)


def readers_command(
    page: Page,
    answers: Annotated[
        list[Path],
        typer.Argument(
            help="Readers' answers, as the page saved them; of two with one code the first is the "
            "first reading."
        ),
    ],
    *,
    key: Key,
    as_json: options.AsJson = False,
) -> None:
    """Compare readers of one set: with themselves, with each other and with the truth.

    Kappa with its interval for each criterion, who says what more often, and who differs on what.
    """
    from bitewright.cli.shown.readers import show
    from bitewright.tasks.teach.compare_readers import compare_reader_files

    told = compare_reader_files(page, answers, key)
    if as_json:
        print_json(told.document())
        return
    show(told)
    console().print(caution())


def tip_command(
    image: Annotated[Path, typer.Argument(help="Film: PNG, TIFF, JPEG or DICOM.")],
    *,
    marks: Annotated[Path, typer.Option(help="Marks placed by a person (JSON).")],
    fault: Annotated[str, typer.Option(help="What is wrong with it by your reading, as logged.")],
    consent_by: Annotated[str, typer.Option(help="Code of who noted the consent to show it.")],
    consent_on: Annotated[str, typer.Option(help="Day on which that was noted, YYYY-MM-DD.")],
    no_names_seen: Annotated[
        bool,
        typer.Option(
            "--no-names-seen", help="You looked for names and numbers drawn into it and saw none."
        ),
    ] = False,
    out: Annotated[Path, typer.Option(help="Sheet to write (.pdf).")],
    better: Annotated[
        Path | None, typer.Option(help="The next film, taken as it should be; names as above.")
    ] = None,
    receptor: Annotated[
        str | None, typer.Option(help="Receptor by name, where the file gives no pixel size.")
    ] = None,
    holder: options.Holder = "ring-holder",
) -> None:
    """Make a tip sheet for the wall of your own film: film, move, drawing and checklist.

    It goes into no set of exercises and is kept nowhere but in the file that you name.
    """
    from datetime import date

    from bitewright.tasks.assess.assess_film import assess_film
    from bitewright.tasks.assess.decoded_film import read_film
    from bitewright.tasks.assess.explain_film import BesideTheMarks, explain_film
    from bitewright.tasks.assess.taken_film import read_taken_film
    from bitewright.tasks.catalogue.named import equipment
    from bitewright.tasks.rated_by import RatedBy
    from bitewright.tasks.teach.noted_consent import NotedConsent
    from bitewright.tasks.teach.tip_sheet import check_shown, write_tip_sheet
    from bitewright.words.written import written_to

    today = date.today()  # noqa: DTZ011 - the reader's day
    noted = NotedConsent(
        fault=fault, consent_by=consent_by, consent_on=consent_on, no_names_seen=no_names_seen
    )
    film, after = read_film(image), None if better is None else read_film(better)
    check_shown(noted, (film,) if after is None else (film, after), out, today=today)
    known = equipment(())
    taken = read_taken_film(marks, known, receptor=receptor)
    answer = assess_film(film, taken, holder=known.holder(holder), by=RatedBy())
    answer = explain_film(answer, BesideTheMarks(known=known, tube=known.tube("rectangular-300")))
    write_tip_sheet(answer, film, noted, out, better=after, today=today)
    console().print(written_to("Tip sheet", out), soft_wrap=True)


def qti_command(
    page: Page,
    out: Annotated[Path, typer.Argument(help="Package to write (.zip).")],
    *,
    key: Key,
) -> None:
    """Write a set as a QTI 3.0 package, for other programs. It holds the answers.

    Exercises answered by a movement have no form there and are left out.
    """
    from bitewright.tasks.teach.write_qti import write_qti
    from bitewright.words.competence import qti_words

    written = write_qti(page, key, out)
    said = qti_words(written.file, written.written, written.left_out)
    console().print(said, markup=False, soft_wrap=True)


__all__ = ["add_to"]
