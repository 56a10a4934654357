"""By what a request wants a film rated: question and scheme in its query, the usual ones if not."""

from typing import Annotated

from fastapi import Depends

from bitewright.tasks.rated_by import RatedBy, rated_by_name

AskedRating = Annotated[RatedBy, Depends(rated_by_name)]

__all__ = ["AskedRating"]
