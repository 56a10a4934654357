"""Kappas and the binomial regression against a statistics library, which only the tests need."""

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa, fleiss_kappa

from bitewright.audit.agreement import cohen, fleiss
from bitewright.audit.binomial_regression import binomial_regression

seeds = st.integers(0, 10_000)


@settings(max_examples=60)
@given(seed=seeds, grades=st.integers(2, 5), weighted=st.booleans())
def test_cohens_kappa(*, seed: int, grades: int, weighted: bool) -> None:
    table = np.random.default_rng(seed).integers(1, 30, (grades, grades))
    ours = cohen(table, weighted=weighted)
    theirs = cohens_kappa(table, wt="linear" if weighted else None)
    assert ours.value == pytest.approx(theirs.kappa, rel=1e-9, abs=1e-12)
    assert ours.sd == pytest.approx(theirs.std_kappa, rel=1e-9)
    assert ours.null_sd == pytest.approx(theirs.std_kappa0, rel=1e-9)


@settings(max_examples=60)
@given(seed=seeds, grades=st.integers(2, 5), raters=st.integers(2, 9))
def test_fleiss_kappa(seed: int, grades: int, raters: int) -> None:
    rng = np.random.default_rng(seed)
    table = rng.multinomial(raters, rng.dirichlet(np.ones(grades)), size=30)
    table = np.vstack([table, np.eye(2, grades, dtype=np.int64) * raters])
    assert fleiss(table).value == pytest.approx(fleiss_kappa(table), rel=1e-9, abs=1e-12)


@settings(max_examples=60)
@given(seed=seeds, stretches=st.integers(12, 80), chance=st.floats(0.02, 0.6))
def test_binomial_regression(seed: int, stretches: int, chance: float) -> None:
    rng = np.random.default_rng(seed)
    totals = rng.integers(1, 300, stretches).astype(float)
    years = np.linspace(-1.0, 1.0, stretches)
    design = np.column_stack([np.ones(stretches), years, years > 0.1]).astype(float)
    odds = np.log(chance / (1 - chance)) + design[:, 1:] @ rng.normal(0.0, 0.5, 2)
    counts = rng.binomial(totals.astype(int), 1 / (1 + np.exp(-odds))).astype(float)
    counts[[0, -1]] = np.minimum(totals[[0, -1]], 1.0)
    ours = binomial_regression(design, counts, totals)
    outcome = np.column_stack([counts, totals - counts])
    model = sm.GLM(outcome, design, family=sm.families.Binomial())
    theirs = model.fit(tol=1e-13, tol_criterion="params")
    np.testing.assert_allclose(ours.coefficients, theirs.params, rtol=1e-9, atol=1e-11)
    np.testing.assert_allclose(ours.errors, theirs.bse, rtol=1e-9)
    np.testing.assert_allclose(ours.residuals, theirs.resid_pearson, rtol=1e-9, atol=1e-10)
