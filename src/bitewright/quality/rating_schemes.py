"""Rating schemes: how outcomes become a grade, as services and countries have them."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.nearest_name import meant

USUAL_SCHEME = "uk-2020"


class UnknownSchemeError(BitewrightError):
    """A rating scheme was named that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"Rating scheme {quoted(given)} is not known: give one of "
            f"{', '.join(rating_schemes())}."
            f"{meant(given, rating_schemes())}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingScheme:
    """How outcomes become a grade, with the shares a service aims at.

    ``name`` is what is typed and logged, ``title`` what is shown, ``says`` what the grades mean.
    """

    name: str
    title: str
    says: str = ""
    grades: MappingProxyType[str, str]
    targets_digital: MappingProxyType[str, float]
    targets_film: MappingProxyType[str, float]
    source: str
    year: int

    @property
    def in_full(self) -> str:
        """The title with what its grades mean."""
        return f"{self.title}: {self.says}" if self.says else self.title


@lru_cache(maxsize=1)
def rating_schemes() -> MappingProxyType[str, RatingScheme]:
    """All packaged schemes by name."""
    text = (files("bitewright.quality") / "tables" / "rating_schemes.toml").read_text("utf-8")
    table: dict[str, Any] = tomllib.loads(text)
    return MappingProxyType(
        {
            name: RatingScheme(
                name=name,
                title=row["title"],
                says=row["says"],
                grades=MappingProxyType(row["grades"]),
                targets_digital=MappingProxyType(row["targets_digital"]),
                targets_film=MappingProxyType(row["targets_film"]),
                source=row["source"],
                year=row["year"],
            )
            for name, row in table.items()
            if name != "format"
        }
    )


def rating_scheme(name: str) -> RatingScheme:
    """The scheme of a name.

    Raises
    ------
    UnknownSchemeError
    """
    found = rating_schemes().get(name)
    if found is None:
        raise UnknownSchemeError(name)
    return found


__all__ = [
    "USUAL_SCHEME",
    "RatingScheme",
    "UnknownSchemeError",
    "rating_scheme",
    "rating_schemes",
]
