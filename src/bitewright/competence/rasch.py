"""How hard items are and how able the people who answered them: a small Rasch model.

The chance of a right answer is the logistic of ability less difficulty; abilities are normal among
people, and integrated out (marginal likelihood). A score between 0 and 1 enters the likelihood as
that share of a right and the rest of a wrong answer (a quasi-likelihood: its estimates are
consistent, and its intervals too wide rather than too narrow, for such a score scatters less than
right and wrong do). Difficulties have a normal prior about 0, so that an item few have answered
says little.

Sources: Rasch G, Probabilistic models for some intelligence and attainment tests, Copenhagen 1960;
Bock RD, Aitkin M, Psychometrika 1981;46:443-59 (marginal likelihood); Papke LE, Wooldridge JM,
J Appl Econometrics 1996;11:619-32 (fractional scores); all three from memory. The tests set it
against published estimates.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import expit, log_softmax, logsumexp

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NODES = 31
"""Of Gauss and Hermite's quadrature over abilities. Our choice; 61 change no figure shown."""
PRIOR_SD = 1.0
"""Of difficulties about that of a usual item. Our choice. [logits]"""
LOG_SPREAD = (-3.0, 2.0)
"""The log of the spread of abilities is looked for between these. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RaschFit:
    """What answers tell of items and people.

    Parameters
    ----------
    difficulty, difficulty_sd : (I,) float arrays
        Of each item: against 0, a usual item, where there is a prior, and against the people's
        mean ability where there is none; and its uncertainty, abilities taken as known. [logits]
    ability, ability_sd : (P,) float arrays
        Of each person, mean and spread of what is believed after the answers. [logits]
    mean, spread : float
        Of abilities among people. [logits]
    log_likelihood : float
        Marginal, without the priors.
    information : (N,) float array
        What each answer adds to what is known of its item. [1/logits^2]
    surprise : (N,) float array
        Each score less the one expected.
    """

    difficulty: Floats
    difficulty_sd: Floats
    ability: Floats
    ability_sd: Floats
    mean: float
    spread: float
    log_likelihood: float
    information: Floats
    surprise: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Answers:
    person: Ints
    item: Ints
    score: Floats
    people: int
    items: int
    prior_sd: float | None


def fit_rasch(
    person: Ints, item: Ints, score: Floats, *, prior_sd: float | None = PRIOR_SD
) -> RaschFit:
    """Fit the model to answers.

    Parameters
    ----------
    person, item : (N,) int arrays
        Numbers from 0, each used at least once.
    score : (N,) float array
        From 0 to 1.
    prior_sd : float or None
        None: no priors, and the people's mean ability is 0. [logits]
    """
    answers = _Answers(person, item, score, int(person.max()) + 1, int(item.max()) + 1, prior_sd)
    nodes, weights = np.polynomial.hermite_e.hermegauss(NODES)
    log_weights = np.log(weights / weights.sum())
    fixed_mean = (None, None) if prior_sd is not None else (0.0, 0.0)
    found = minimize(
        _cost,
        np.zeros(answers.items + 2),
        args=(answers, nodes, log_weights),
        jac=True,
        method="L-BFGS-B",
        bounds=[(None, None)] * answers.items + [fixed_mean, LOG_SPREAD],
        options={"maxiter": 500, "ftol": 1e-12, "gtol": 1e-6},
    )
    return _told(found.x, answers, nodes, log_weights)


def _posterior(
    x: Floats, of: _Answers, nodes: Floats, log_weights: Floats
) -> tuple[Floats, Floats, Floats, float]:
    """Abilities at the nodes, each person's weights there, chances of answers, log-likelihood."""
    ability = x[-2] + np.exp(x[-1]) * nodes
    logit = ability[None, :] - x[of.item, None]
    each = of.score[:, None] * logit - np.logaddexp(0.0, logit)
    joint = np.zeros((of.people, len(nodes)))
    np.add.at(joint, of.person, each)
    joint += log_weights
    return (
        ability,
        np.exp(log_softmax(joint, axis=1)),
        expit(logit),
        float(logsumexp(joint, axis=1).sum()),
    )


def _cost(x: Floats, of: _Answers, nodes: Floats, log_weights: Floats) -> tuple[float, Floats]:
    _, weight, chance, log_likelihood = _posterior(x, of, nodes, log_weights)
    pull = weight[of.person] * (of.score[:, None] - chance)
    gradient = np.zeros_like(x)
    np.add.at(gradient, of.item, -pull.sum(axis=1))
    gradient[-2] = pull.sum()
    gradient[-1] = float((pull @ nodes).sum()) * np.exp(x[-1])
    if of.prior_sd is not None:
        difficulty = x[: of.items]
        log_likelihood -= float((difficulty**2).sum()) / (2.0 * of.prior_sd**2) + x[-1] ** 2 / 2.0
        gradient[: of.items] -= difficulty / of.prior_sd**2
        gradient[-1] -= x[-1]
    return -log_likelihood, -gradient


def _told(x: Floats, of: _Answers, nodes: Floats, log_weights: Floats) -> RaschFit:
    ability, weight, chance, log_likelihood = _posterior(x, of, nodes, log_weights)
    each = weight[of.person]
    information = (each * chance * (1.0 - chance)).sum(axis=1)
    of_prior = 0.0 if of.prior_sd is None else 1.0 / of.prior_sd**2
    known = np.bincount(of.item, information, minlength=of.items) + of_prior
    mean = weight @ ability
    return RaschFit(
        difficulty=x[: of.items],
        difficulty_sd=1.0 / np.sqrt(known),
        ability=mean,
        ability_sd=np.sqrt(np.maximum(weight @ ability**2 - mean**2, 0.0)),
        mean=float(x[-2]),
        spread=float(np.exp(x[-1])),
        log_likelihood=log_likelihood,
        information=information,
        surprise=of.score - (each * chance).sum(axis=1),
    )


def without_own(fit: RaschFit, item: Ints, *, own: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Difficulties as they would be without some answers, and their uncertainties, (I,) each.

    A person is judged by difficulties that others' answers tell: the own answer would count twice.
    One step of Newton's method from the fit.

    Parameters
    ----------
    fit : RaschFit
        With a prior.
    item : (N,) int array
        The items of the answers that it was made from.
    own : (N,) bool array
        Which answers to leave out.
    """
    count = len(fit.difficulty)
    left = np.bincount(item[own], fit.information[own], minlength=count)
    pulled = np.bincount(item[own], fit.surprise[own], minlength=count)
    known = np.maximum(1.0 / fit.difficulty_sd**2 - left, 1e-6)
    return fit.difficulty + pulled / known, 1.0 / np.sqrt(known)


__all__ = ["PRIOR_SD", "RaschFit", "fit_rasch", "without_own"]
