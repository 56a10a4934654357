"""Options that the log's commands share."""

from dataclasses import dataclass
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.errors import BitewrightError, quoted

StoreOption = Annotated[
    str | None,
    typer.Option(
        "--store",
        help="Store: a file, or postgresql://user@host/database. Else BITEWRIGHT_STORE, else the "
        "settings file, else the platform's data folder.",
    ),
]
By = Annotated[str, typer.Option(help="Who writes or decides this, by code.")]
Why = Annotated[str, typer.Option(help="Reason, in a line; it stays in the history.")]
Exposure = Annotated[str, typer.Argument(help="Number or key of the exposure.")]
LookedAt = Annotated[
    bool,
    typer.Option(
        "--looked-at",
        help="You have looked at what in the film may say whose it is, and keep it.",
    ),
]
Setting = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        help="FIELD=VALUE; FIELD= takes the field away. May be given several times. Fields: "
        "docs/log-format.md.",
    ),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryOptions:
    """How an entry is kept, and how that is told."""

    key: Annotated[
        str | None,
        typer.Option(
            help="Key of this entry; the same again adds nothing. One is made if left out."
        ),
    ] = None
    store: StoreOption = None
    as_json: options.AsJson = False


class SettingFormError(BitewrightError):
    """A --set is not FIELD=VALUE."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"--set {quoted(given)} has no equals sign: write FIELD=VALUE, such as room=R2."
        )


def settings(given: list[str] | None) -> dict[str, str]:
    """Fields by name from several --set.

    Raises
    ------
    SettingFormError
    """
    fields: dict[str, str] = {}
    for each in given or ():
        name, equals, value = each.partition("=")
        if not equals:
            raise SettingFormError(each)
        fields[name.strip()] = value.strip()
    return fields


__all__ = [
    "By",
    "EntryOptions",
    "Exposure",
    "LookedAt",
    "Setting",
    "StoreOption",
    "Why",
    "settings",
]
