"""The blind look counts guesses honestly and shows no label."""

import numpy as np

from builders.blind_look import LABEL_PX, crops, score, treated

KEY = [
    {"number": str(n), "kind": "septum" if n % 2 else "molar", "truth": truth}
    for n, truth in enumerate(["real", "rendered"] * 10, start=1)
]


def test_all_right_and_all_wrong_are_told_with_exact_intervals() -> None:
    """20 of 20: exact 95 % interval from 0.025^(1/20), Clopper and Pearson 1934, by arithmetic."""
    right = {row["number"]: row["truth"] for row in KEY}
    told = score(KEY, right)
    assert told[0].startswith("all      20 of 20 right, 100 %")
    assert f"({100 * 0.025 ** (1 / 20):.0f} to 100)" in told[0]
    assert len(told) == 3
    other = {"real": "rendered", "rendered": "real"}
    wrong = {row["number"]: other[row["truth"]] for row in KEY}
    assert "0 of 20 right" in score(KEY, wrong)[0]


def test_a_missing_guess_counts_neither_way() -> None:
    assert "1 of 1 right" in score(KEY, {"1": "real"})[0]


def test_crops_leave_out_the_label_and_are_treated_alike() -> None:
    pixels = np.tile(np.linspace(0, 65535, 1356).astype(np.uint16), (1030, 1))
    pixels[-LABEL_PX:] = 12345
    places = {"15.distal": (700.0, 400.0), "16.mesial": (690.0, 402.0)}
    found = crops(pixels, places, is_real=True)
    assert [crop.kind for crop in found] == ["whole", "contact"]
    assert found[0].grey.shape[0] == 1030 - LABEL_PX
    for crop in found:
        grey = np.asarray(treated(crop))
        assert grey.min() == 0
        assert grey.max() == 255
