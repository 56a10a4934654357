"""How an audit was worked out and what it cannot tell, in plain words, with its own figures."""

from dataclasses import dataclass

from bitewright.audit.operator_aim import FEWEST_ASSESSED
from bitewright.audit.pooled_means import WORTH_SAYING
from bitewright.audit.proportions import FEWEST
from bitewright.audit.sample_size import survey_power
from bitewright.audit.whole_audit import FAMILY_CHANCE, Audit
from bitewright.exposing.scatter import AimPart
from bitewright.words.audit_figures import usual_words, work_alike
from bitewright.words.cannot_tell import allowed_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading with the paragraphs under it."""

    title: str
    paragraphs: tuple[str, ...]


def method_words(told: Audit, *, seed: int) -> tuple[Heading, ...]:
    """Method and limits of one audit."""
    return (
        _rates(told),
        _chance(told, seed),
        _people(told),
        _limits(told),
    )


def _rates(told: Audit) -> Heading:
    clustering = told.periods.clustering
    expected: tuple[str, ...] = ()
    if told.expected is not None:
        rate = f"{told.expected.rate:.2%} of {told.expected.kind}"
        expected = (f"Expected reject rate: {rate}. {told.expected.source}.",)
    return Heading(
        title="Rates",
        paragraphs=(
            (
                "Reject rate: exposures not kept for assessment, whether made again or not, over "
                "all exposures. Retake rate: further exposures for the same purpose because of a "
                "fault over all exposures; an extra view or a planned stage is none. The interval "
                "after a rate (Wilson 1927) holds the true rate in 19 cases of 20. Exposures of "
                "one case (one patient's visit) are alike: the same design effect widens rates, "
                f"targets, changes, charts and comparisons ({clustering:.2f} for the whole "
                f"record). With fewer than {FEWEST} exposures a group is called too few to tell."
            ),
            *expected,
            f"Targets: {told.settings.scheme.source} ({told.settings.scheme.year}).",
        ),
    )


def _chance(told: Audit, seed: int) -> Heading:
    drift = ""
    if told.drift is not None:
        drift = f" Variation between weeks: {told.drift.spread:.2f} times what chance alone makes."
    return Heading(
        title="Change, and chance",
        paragraphs=(
            (
                "The page of answers asks several questions. Together they say 'found' about "
                f"something that is not there in at most {FAMILY_CHANCE:.0%} of records; each has "
                f"its share, {told.each_chance:.2%}."
            ),
            (
                "Before and after: the difference of both rates (Newcombe 1998, method 10), from "
                "the change before to the change after, widened for variation between weeks. An "
                "interrupted series (a binomial regression of the weeks with a trend and a step) "
                "tells whether a steady trend explains the difference as well. A change on "
                "another day: the record is split where both parts differ most, and so large a "
                f"difference must be rare in simulated records without a change (seed {seed}). "
                "Drift: a cumulative sum against the first quarter of the record (Steiner 2000), "
                f"its limit simulated likewise.{drift}"
            ),
            *allowed_words(told),
        ),
    )


def _people(told: Audit) -> Heading:
    say = WORTH_SAYING
    return Heading(
        title="People",
        paragraphs=(
            (
                "Each operator's rejects are set against those of all together "
                f"({work_alike(told.funnel)}). Limits allow for chance, for films of one case "
                "being alike, and for how much operators usually differ (variance "
                f"{told.funnel.spread:.2f} times the former two alone; Spiegelhalter 2005)."
                f"{usual_words(told.funnel)} Rates given for persons are drawn towards the common "
                "one, the more the fewer exposures they rest on; neither that rate nor how much "
                "people differ is taken as known. Nobody is ranked."
            ),
            (
                "Aim: means and scatter of assessed exposures, each operator's drawn towards the "
                "others' as far as their own are few, the assessment's own uncertainty taken "
                f"out. A remark is made from {say[AimPart.CONTACT_ERROR]:g} degrees of contact "
                f"error, {say[AimPart.VERTICAL_ERROR]:g} degrees of vertical error, "
                f"{say[AimPart.FORWARD]:g} mm forwards or {say[AimPart.HEIGHT]:g} mm in height "
                f"on, if that is sure, and never on fewer than {FEWEST_ASSESSED} assessed "
                "exposures."
            ),
        ),
    )


def _limits(told: Audit) -> Heading:
    survey = survey_power(4, 20, 0.1638)
    return Heading(
        title="What this cannot tell",
        paragraphs=(
            (
                "Why a rate changed: what else changed that day changes it too. Whether rejects "
                "were right: a rate may fall because worse films are kept; look at the grades "
                "beside it. Anything about exposures that were not logged, or whose group was "
                f"not given ({told.tables[0].not_given} without a {told.tables[0].name})."
            ),
            (
                "A small survey says little: somebody whose true retake rate is "
                f"{survey.rate:.1%} has at most {survey.most} retakes in {survey.images} in "
                f"{survey.passes:.0%} of cases."
            ),
            "Choices marked 'our choice' and all sources: docs/audit-methods.md of the program.",
        ),
    )


__all__ = ["Heading", "method_words"]
