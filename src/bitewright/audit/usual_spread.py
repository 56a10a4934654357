"""How far people usually differ, for records of too few people to learn it from."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualSpread:
    """How far people usually differ in their rates.

    Parameters
    ----------
    log_odds_sd : float
        Standard deviation between people of the log odds of a reject.
    log_odds_sd_scale : float
        Scale of the half normal distribution of that spread where a record's own people speak too.
    source : str
        Where the first comes from.
    """

    log_odds_sd: float
    log_odds_sd_scale: float
    source: str


@lru_cache(maxsize=1)
def usual_spread() -> UsualSpread:
    """The packaged figures. Source: `tables/usual_spread.toml`, our choice."""
    text = (files("bitewright.audit") / "tables" / "usual_spread.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return UsualSpread(
        log_odds_sd=table["rates"]["value"],
        log_odds_sd_scale=table["rates_reach"]["value"],
        source=table["rates"]["source"],
    )


__all__ = ["UsualSpread", "usual_spread"]
