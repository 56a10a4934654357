"""Learn how operators aim from a record, and write one's Scatter file."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.audit.operator_aim import OperatorAim, operator_aims
from bitewright.errors import BitewrightError, quoted
from bitewright.files.scatter_file import write_scatter
from bitewright.tasks.audit.audit_documents import aim_document
from bitewright.tasks.audit.audit_request import AuditRequest, filter_of
from bitewright.words.aim import advice

AIMS_FORMAT = "bitewright.aims/1"


class NoAssessedAimError(BitewrightError):
    """An operator, or everybody, has no exposure with an assessed aim."""

    def __init__(self, operator: str | None, known: tuple[str, ...]) -> None:
        subject = "This record" if operator is None else f"The operator {quoted(operator)}"
        to_do = (
            f"name one of {', '.join(known[:12])}"
            if known
            else "log films with what was measured on them, from the light box or with `bitewright "
            "log add --assessment`"
        )
        super().__init__(f"{subject} has no exposure with an assessed aim: {to_do}.")


class WhoseScatterError(BitewrightError):
    """A Scatter file was asked for without saying whose."""

    def __init__(self) -> None:
        super().__init__("A Scatter file is one operator's: name whose with --operator.")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AimsLearned:
    """Operators' aims with a sentence each, and the Scatter file if one was written."""

    aims: tuple[OperatorAim, ...]
    advice: tuple[str, ...]
    written: Path | None

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": AIMS_FORMAT,
            "version": __version__,
            "aims": [aim_document(aim) for aim in self.aims],
        }


def learn_operator_aim(
    request: AuditRequest, *, operator: str | None, scatter_file: Path | None
) -> AimsLearned:
    """Aims of all operators, learned together; of one alone if named.

    Raises
    ------
    WhoseScatterError, NoAssessedAimError, UnknownLabelError, FileUnwritableError
    """
    if scatter_file is not None and operator is None:
        raise WhoseScatterError
    everybody = operator_aims(request.source().taken(filter_of(request)))
    aims = tuple(aim for aim in everybody if operator in {None, aim.label})
    if not aims:
        raise NoAssessedAimError(operator, tuple(aim.label for aim in everybody))
    if scatter_file is not None:
        write_scatter(
            scatter_file, aims[0].scatter, operator=aims[0].label, assessed=aims[0].assessed
        )
    return AimsLearned(aims=aims, advice=tuple(advice(aim) for aim in aims), written=scatter_file)


__all__ = ["AimsLearned", "NoAssessedAimError", "WhoseScatterError", "learn_operator_aim"]
