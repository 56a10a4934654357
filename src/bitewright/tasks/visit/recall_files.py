"""What is written of two films at recall: both side by side, and a card that repeats the first."""

from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.files.disk import write_file
from bitewright.files.images import write_picture
from bitewright.marking.marks import Mounting
from bitewright.report.card_drawing import card_drawing
from bitewright.report.card_page import ChairCard
from bitewright.report.recall_films import FilmAtScale, recall_films
from bitewright.report.svg import svg_of
from bitewright.report.typeset import picture_of
from bitewright.tasks.assess.assess_film import check_same_image
from bitewright.tasks.assess.decoded_film import DecodedFilm, read_film
from bitewright.tasks.assess.drawing_files import check_drawing_path
from bitewright.tasks.visit.compare_recall import RecallAnswer, RecallFilm
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import capital
from bitewright.words.recalls import (
    RECALL_CAUTION,
    RECALL_PICTURE,
    film_title,
    repeat_card_words,
)


class NoImageBesideError(BitewrightError):
    """The image that marks were set on does not lie beside them."""

    def __init__(self, marks: str, image: str) -> None:
        super().__init__(
            f"The image {image} of {marks} does not lie beside it, and a picture shows both films: "
            "put it there, or leave out --picture."
        )


def image_beside(path: Path, of: RecallFilm) -> DecodedFilm:
    """The image that a marks file was set on, in the same folder.

    Raises
    ------
    NoImageBesideError, OtherImageError
    """
    image = path.with_name(Path(of.marks.image_name).name)
    if not image.is_file():
        raise NoImageBesideError(path.name, image.name)
    film = read_film(image)
    check_same_image(film, of.marks)
    return film


def write_recall_picture(
    path: Path, answer: RecallAnswer, images: tuple[DecodedFilm, DecodedFilm]
) -> Path:
    """Both films at one scale with the sites measured, as PNG or SVG.

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
    """
    check_drawing_path(path)
    films = [
        FilmAtScale(
            image=image.image,
            marks=of.marks,
            title=capital(film_title(of.film.view.title, of.marks.taken_on, is_later=place == 1)),
            pixel_mm=pixel_mm_of(of),
            front_is_right=front_is_right(of),
        )
        for place, (of, image) in enumerate(zip(answer.films, images, strict=True))
    ]
    drawing = recall_films(
        films,
        {site.name: landmark_title(site.name) for site in answer.told.sites},
        (*answer.sentences, RECALL_CAUTION),
        description=RECALL_PICTURE,
    )
    if path.suffix.lower() == ".svg":
        write_file(path, svg_of(drawing).encode("utf-8"))
    else:
        write_picture(path, picture_of(drawing), description=f"Bitewright. {drawing.description}")
    return path


def repeat_card(answer: RecallAnswer) -> ChairCard:
    """The card that sets the earlier film's geometry again."""
    earlier = answer.films[0]
    view = earlier.film.view.title
    words = repeat_card_words(
        answer.told, view, film_title(view, earlier.marks.taken_on, is_later=False)
    )
    return ChairCard(words=words, drawing=card_drawing(answer.told.exposure, words.title))


def front_is_right(of: RecallFilm) -> bool:
    """Whether the front of the mouth lies to the right on a film as it is mounted."""
    is_mirrored = of.marks.mounting is Mounting.MIRRORED
    return (of.film.landmarks.front_sign > 0.0) is not is_mirrored


def pixel_mm_of(of: RecallFilm) -> float:
    """How large a pixel of a film is. [mm]"""
    landmarks = of.film.landmarks
    return 2.0 * float(landmarks.half_size_mm[0]) / of.marks.columns


__all__ = [
    "NoImageBesideError",
    "front_is_right",
    "image_beside",
    "pixel_mm_of",
    "repeat_card",
    "write_recall_picture",
]
