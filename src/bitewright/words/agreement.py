"""How far people who grade the same images agree, in words."""

from bitewright.audit.agreement import Kappa
from bitewright.audit.proportions import Share
from bitewright.words.phrases import counted

NOT_BY_PATIENT = (
    "Images are taken to be each of another patient. Those of one patient are graded alike, so the "
    "intervals would be wider: give whose each is in a column named patient."
)
HOW_TO_READ = (
    "Kappa falls when nearly all images have one grade: read it beside the share alike. Agreement "
    "is not correctness."
)


def kappa_words(kappa: Kappa) -> str:
    """How such a value is usually called.

    Source: Landis JR, Koch GG, Biometrics 1977;33:159-74, from memory.
    """
    if kappa.value < 0.0:
        return "poor"
    limits = ((0.2, "slight"), (0.4, "fair"), (0.6, "moderate"), (0.8, "substantial"))
    return next((word for limit, word in limits if kappa.value <= limit), "almost perfect")


def alike_words(share: Share) -> str:
    """The share of images graded alike, with its interval."""
    return f"{share.share:.0%} ({100 * share.low:.0f} to {share.high:.0%})"


def kappa_figures(kappa: Kappa) -> str:
    """A kappa with its interval."""
    return f"{kappa.value:.2f} ({kappa.low:.2f} to {kappa.high:.2f})"


def table_heading(rows: str, columns: str) -> str:
    """Whose grades stand in the rows of a table, and whose in its columns."""
    return f"Grades of {rows} (rows) and {columns} (columns)"


def together_words(kappa: Kappa, images: int) -> str:
    """All raters at once, on the images that all of them graded."""
    return (
        f"All together on {counted(images, 'image')}: Fleiss' kappa {kappa_figures(kappa)}, "
        f"{kappa_words(kappa)}."
    )


__all__ = [
    "HOW_TO_READ",
    "NOT_BY_PATIENT",
    "alike_words",
    "kappa_figures",
    "kappa_words",
    "table_heading",
    "together_words",
]
