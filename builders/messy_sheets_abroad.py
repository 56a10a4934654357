"""Messy sheets 21 to 24: text files of a Swiss, an Italian, a Portuguese and a Dutch practice."""

from datetime import date

from builders.messy_rows import (
    Film,
    Line,
    Says,
    Sheet,
    Tab,
    double,
    films,
    heading,
    kept,
    phrase,
    plain,
    remark,
    rows,
    spelt,
    spoil,
    told,
)
from builders.messy_sheets_in_text import UNGRADED

DOUBLED = "the doubled row taken as a second film, and told"
NO_SIDE = "the row without a side taken as a bitewing, the log's view for that, and told"
PASSED_OVER = "the comment passed over as no data, if it is told"


def sheets() -> list[Sheet]:
    """The four of them."""
    return [swiss_two_languages(), italian_side_apart(), portuguese_teeth(), dutch_pages()]


def paged(lines: list[Line], every: int, between: list[list[str]]) -> list[Line]:
    """The lines with the same rows between them after so many, as at the end of a printed page."""
    parts: list[Line] = []
    for at in range(0, len(lines), every):
        parts += (plain(*between) if at else []) + lines[at : at + every]
    return parts


def swiss_two_languages() -> Sheet:
    """Sheet 21."""
    people = ("Fr. Zgrundli", "Mme Favrolle", "DH Bichsler")
    shown = {
        "right-premolar": ("BW rechts PM", "BW droite PM"),
        "right-molar": ("BW rechts M", "BW droite M"),
        "left-premolar": ("BW links PM", "BW gauche PM"),
        "left-molar": ("BW links M", "BW gauche M"),
    }
    faults = {
        "overlap": ("Überlappung", "superposition"),
        "cone-cut": ("Tubus angeschnitten", "cône coupé"),
        "receptor-placement": ("Sensor verrutscht", "capteur mal placé"),
        "tilted": ("verkippt", "incliné"),
        "under-exposed": ("unterbelichtet", "sous-exposé"),
        "movement": ("verwackelt", "patient a bougé"),
    }
    grades = (("gut", "bon"), ("mittel", "moyen"), ("schlecht", "mauvais"))

    def cells(film: Film) -> list[str]:
        again = (("nein", "non"), ("ja", "oui"))[film.again][film.pick % 2]
        day = f"{film.day:%d.%m.%Y}"
        grade = grades[film.level][film.pick % 2]
        why = phrase(film, faults, " / ")
        return [day, "", film.person, film.chart, "", spelt(film, shown), grade, again, "", why]

    def says(film: Film) -> Says:
        rating = "own:" + ("good", "fair", "poor")[film.level]
        return told(film, "faults", "case", rating=rating, decision=kept(not film.again))

    lines = rows(films(21, 38, people, date(2025, 9, 15), date(2025, 12, 5)), cells, says)
    spoil(lines, 3, 0, "31.09.2025", "September has 30 days")
    spoil(lines, 12, 6, "gut/moyen", "two grades in one cell")
    spoil(lines, 20, 7, "?", "neither yes nor no under the decision")
    spoil(lines, 29, 5, "BW", "neither side nor region is told")
    head = plain(
        ["Röntgenkontrolle / Contrôle radiologique", "", "", "", "", "Herbst / automne 2025"],
        [],
        [
            *("Datum / Date", "", "Wer / Qui", "Dossier", "", "Bild / Cliché"),
            *("Qualität / Qualité", "wiederholt / refait", "", "Fehler / Défaut"),
        ],
    )
    return Sheet(
        name="21-swiss-two-languages.csv",
        says="German and French in one sheet, in its head and from row to row; semicolons, "
        "Windows-1252, empty columns between, grades and whether the film was made again.",
        encoding="cp1252",
        separator=";",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Which scheme are gut/bon, mittel/moyen, schlecht/mauvais?": (
                "a scheme of our own: good, fair, poor, the same in both languages"
            ),
            "Does wiederholt / refait mean this film was repeated?": (
                "yes: ja and oui are rejected, nein and non are accepted"
            ),
            "Which fault are Sensor verrutscht, capteur mal placé?": "a misplaced receptor",
        },
        also_right=[
            "rejected for a poor film that was not made again",
            UNGRADED,
            NO_SIDE,
        ],
    )


def italian_side_apart() -> Sheet:
    """Sheet 22."""
    people = ("Ass. Mirella", "ASO Quintavò", "Dott. Bressalini")
    sides = {"right": ("dx", "Dx", "destra"), "left": ("sx", "Sx", "sinistra")}
    regions = {"premolar": ("premolari", "PM"), "molar": ("molari", "M")}
    faults = {
        "overlap": ("sovrapposizione", "contatti chiusi {pair}"),
        "cone-cut": ("cono tagliato",),
        "receptor-placement": ("sensore mal posizionato",),
        "tilted": ("inclinata",),
        "under-exposed": ("sottoesposta", "troppo chiara"),
        "movement": ("mossa", "paziente si è mosso"),
    }

    def cells(film: Film) -> list[str]:
        side, _, region = film.view.partition("-")
        good = ("Sì", "sì", "Si")[film.pick % 3] if film.level < 2 else ("No", "NO")[film.pick % 2]
        return [
            f"{film.day.year}/{film.day.month}/{film.day.day}",
            sides[side][film.pick % 3],
            regions[region][film.pick % 2],
            film.person,
            film.chart,
            good,
            phrase(film, faults),
        ]

    def says(film: Film) -> Says:
        return told(film, "faults", "case", decision=kept(film.level < 2))

    lines = rows(films(22, 40, people, date(2025, 2, 3), date(2025, 5, 16)), cells, says)
    spoil(lines, 5, 0, "2025/2/30", "February has no 30th")
    spoil(lines, 13, 1, "", "the side is not told")
    spoil(lines, 21, 5, "boh", "neither sì nor no")
    double(lines, 31)
    films_in_all = sum(line.film is not None for line in lines)
    kept_films = sum(line.cells[5].lower() in {"sì", "si"} for line in lines)
    beside = [
        ["Totale", str(films_in_all)],
        ["Diagnostiche", str(kept_films)],
        ["", f"{100 * kept_films / films_in_all:.1f}%".replace(".", ",")],
        ["Obiettivo", "95%"],
    ]
    for line, more in zip(lines[1:], beside, strict=False):
        line.cells += ["", "", *more]
    head = heading("Data|Lato|Zona|Operatore|Scheda n.|Diagnostica?|Difetto|||Riepilogo|")
    return Sheet(
        name="22-italian-side-apart.csv",
        says="Italian, semicolons, ISO 8859-15: dates as 2025/3/12, side and region in two "
        "columns, Sì or No under Diagnostica?, totals and percentages beside the first rows.",
        encoding="iso-8859-15",
        separator=";",
        tabs=[Tab(lines=head + lines)],
        answers={
            "What do Sì and No under Diagnostica? mean?": "sì is accepted, no is rejected",
            "Which view is dx or sx with premolari or molari?": (
                "right and left bitewings of premolars and of molars"
            ),
            "What are the words under Difetto?": (
                "sovrapposizione, contatti chiusi: overlap; cono tagliato: cone cut; sensore mal "
                "posizionato: misplaced receptor; inclinata: tilted; sottoesposta, troppo "
                "chiara: underexposed; mossa, si è mosso: movement"
            ),
        },
        also_right=["Sì and No taken as UK 2020 grades A and N as well", NO_SIDE, DOUBLED],
    )


def portuguese_teeth() -> Sheet:
    """Sheet 23."""
    people = ("Téc. Lurdes", "Téc. Anselmo", "Dra. Gonçala")
    shown = {
        "right-premolar": ("14-15/44-45", "14 15 44 45"),
        "right-molar": ("16-17/46-47", "16 17 46 47"),
        "left-premolar": ("24-25/34-35", "24 25 34 35"),
        "left-molar": ("26-27/36-37", "26 27 36 37"),
    }
    faults = {
        "overlap": ("sobreposição",),
        "cone-cut": ("corte de cone", "meia-lua"),
        "receptor-placement": ("sensor mal colocado",),
        "tilted": ("inclinação",),
        "under-exposed": ("muito clara",),
        "movement": ("movimento", "tremida"),
    }

    def cells(film: Film) -> list[str]:
        good = "S" if film.level < 2 else "N"
        person, seconds = film.person, ("0,16", "0,20")[film.pick % 2]
        why, again = phrase(film, faults, " + "), "sim" if film.retake else ""
        return [
            f"{film.day:%Y%m%d}",
            film.chart,
            spelt(film, shown),
            person,
            seconds,
            good,
            why,
            again,
        ]

    def says(film: Film) -> Says:
        return told(
            film,
            "faults",
            "case",
            "kind",
            decision=kept(film.level < 2),
            exposure_time_s=("0.16", "0.2")[film.pick % 2],
        )

    lines = rows(films(23, 36, people, date(2025, 3, 3), date(2025, 6, 27)), cells, says)
    spoil(lines, 4, 0, "20250431", "April has 30 days")
    spoil(lines, 15, 2, "14-15/34-35", "the upper teeth are on the right, the lower on the left")
    spoil(lines, 22, 5, "S/N", "yes and no in one cell")
    remark(lines, 30, 6, "máquina avariada até sexta")
    head = plain(
        ["Registo de interproximais"],
        ["Data", "Processo", "Dentes", "Operador", "t (s)", "Aceitável S/N", "Motivo", "Repetição"],
    )
    return Sheet(
        name="23-portuguese-teeth.txt",
        says="Portuguese, tabs, Mac Roman as an old spreadsheet saves it: dates as 20250312, the "
        "teeth in place of a view, S or N, whether the film is itself a repeat.",
        encoding="mac_roman",
        separator="\t",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Which view is 14-15/44-45 and so on?": (
                "the bitewing of these teeth: premolars or molars of their side"
            ),
            "What do S and N mean?": "S (sim) is accepted, N (não) is rejected",
            "Does Repetição mean this film is the repeat?": "yes: sim is a retake",
            "What are the words under Motivo?": (
                "sobreposição: overlap; corte de cone, meia-lua: cone cut; sensor mal colocado: "
                "misplaced receptor; inclinação: tilted; muito clara: underexposed; movimento, "
                "tremida: movement"
            ),
        },
        also_right=["S and N taken as UK 2020 grades A and N as well", PASSED_OVER],
    )


def dutch_pages() -> Sheet:
    """Sheet 24."""
    people = ("Femke v.d. Wiel", "Joost Aalderink", "prev.ass. Noor")
    shown = {
        "right-premolar": ("BW rechts premolaren", "bw re pm"),
        "right-molar": ("BW rechts molaren", "bw re m"),
        "left-premolar": ("BW links premolaren", "bw li pm"),
        "left-molar": ("BW links molaren", "bw li m"),
    }
    names = ("jan", "feb", "mrt", "apr", "mei", "jun")
    grades = (("goed", "Goed"), ("matig", "Matig"), ("slecht", "Slecht"))

    def cells(film: Film) -> list[str]:
        day = f"{film.day.day} {names[film.day.month - 1]} {film.day.year}"
        grade = grades[film.level][film.pick % 2]
        again = "J" if film.again else "N"
        return [day, film.person, film.chart, spelt(film, shown), grade, again]

    def says(film: Film) -> Says:
        rating = "own:" + ("good", "fair", "poor")[film.level]
        return told(film, "case", rating=rating, decision=kept(not film.again))

    lines = rows(films(24, 42, people, date(2025, 3, 10), date(2025, 5, 28)), cells, says)
    spoil(lines, 6, 0, "31 apr 2025", "April has 30 days")
    spoil(lines, 16, 4, "", "no grade")
    spoil(lines, 25, 1, "", "nobody is named who took the film")
    double(lines, 34)
    head = ["datum", "gemaakt door", "patiëntnr.", "opname", "beoordeling", "opnieuw gemaakt?"]
    between = [["", "", "", "", "", "z.o.z."], [], head]
    start = plain(["Kwaliteitslijst bitewings 1e halfjaar 2025"], head)
    return Sheet(
        name="24-dutch-pages.csv",
        says="Dutch, commas, UTF-8: 12 mrt 2025 and 2 mei 2025, goed, matig and slecht, the head "
        "again at the top of each printed page, whether the film was made again.",
        tabs=[Tab(lines=start + paged(lines, 14, between))],
        answers={
            "Which scheme are goed, matig, slecht?": "a scheme of our own: good, fair, poor",
            "Does opnieuw gemaakt? mean this film was repeated?": (
                "yes: J is rejected, N is accepted"
            ),
            "Which months are mrt and mei?": "March and May",
        },
        also_right=["rejected for a poor film that was not made again", UNGRADED, DOUBLED],
    )
