"""Which store is meant: flag over environment over settings file over the platform's folder."""

import os
from datetime import UTC, date, datetime

from bitewright.files.settings_file import read_settings
from bitewright.store.location import StoreLocation, default_location, store_location

ENVIRONMENT = "BITEWRIGHT_STORE"


def store_place(given: str | None) -> StoreLocation:
    """The store's location.

    Raises
    ------
    StoreLocationError, SettingsError
    """
    named = given or os.environ.get(ENVIRONMENT) or read_settings().get("store")
    return store_location(named or default_location())


def now_utc() -> str:
    """This moment, as entries say it."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def today_number() -> int:
    """Days since 1970-01-01, where the sun has risen furthest: no clinic's today is later."""
    return (datetime.now(UTC).date() - date(1970, 1, 1)).days + 1


def today_text() -> str:
    """Today here, as a date."""
    return datetime.now().astimezone().date().isoformat()


__all__ = ["ENVIRONMENT", "now_utc", "store_place", "today_number", "today_text"]
