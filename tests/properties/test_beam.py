"""What must hold of beams and of what passes through matter."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from bitewright.film.shells import Shell, ShellGroup, mouth_shells
from bitewright.film.transmission import transmission
from bitewright.physics.detector import detector, packaged_detectors
from bitewright.physics.inverse_square import intensity_ratio, time_ratio_for_same_density
from bitewright.physics.materials import material, packaged_materials
from bitewright.physics.spectrum import tube_spectrum
from trials.beam_quality import air_kerma_ugy_per_mas, half_value_layer_mm_al

voltages_kv = st.sampled_from([60.0, 65.0, 70.0])
thicknesses_mm = st.floats(0.0, 8.0)
tissues = st.sampled_from(["enamel", "dentine", "soft_tissue", "cortical_bone", "pmma"])
lengths_mm = st.floats(0.0, 30.0)


@given(voltage_kv=voltages_kv, thickness_mm=thicknesses_mm)
def test_more_filtration_never_lowers_the_half_value_layer(
    voltage_kv: float, thickness_mm: float
) -> None:
    beam = tube_spectrum(voltage_kv, filtration_mm_al=1.5)
    harder = beam.filtered(material("aluminium"), thickness_mm)
    assert half_value_layer_mm_al(harder) >= half_value_layer_mm_al(beam) - 1e-12
    assert air_kerma_ugy_per_mas(harder) <= air_kerma_ugy_per_mas(beam)


@given(name=tissues, voltage_kv=voltages_kv, thickness_mm=thicknesses_mm)
def test_tissue_hardens_the_beam(name: str, voltage_kv: float, thickness_mm: float) -> None:
    beam = tube_spectrum(voltage_kv)
    assert (
        beam.filtered(material(name), thickness_mm).mean_energy_kev >= beam.mean_energy_kev - 1e-9
    )


@settings(max_examples=30)
@given(name=st.sampled_from(sorted(packaged_materials())), seen_mm=lengths_mm)
def test_an_absent_material_attenuates_nothing(name: str, seen_mm: float) -> None:
    """A shell no ray enters changes no bit, whatever it is filled with."""
    beam, plate = tube_spectrum(65.0), detector("phosphor_plate")
    shells = [Shell(filled_with=material("dentine")), Shell(filled_with=material(name))]
    lengths = np.zeros((2, 3, 5), np.float32)
    lengths[0] = seen_mm
    with_it = transmission(lengths, shells, beam, plate)
    without_it = transmission(lengths[:1], shells[:1], beam, plate)
    assert np.array_equal(with_it, without_it)


@settings(max_examples=40)
@given(
    lengths=st.lists(st.floats(0.0, 3.0), min_size=14, max_size=14),
    receptor=st.sampled_from(sorted(packaged_detectors())),
)
def test_more_matter_never_brightens_the_beam(lengths: list[float], receptor: str) -> None:
    """Nested so that every material's own length is positive: outer surfaces hold inner ones."""
    enamel, dentine, pulp, soft, cortex, marrow, amalgam, composite = lengths[:8]
    inner, carious, deeper, calculus, sealed, block = lengths[8:]
    inner = min(inner, amalgam + composite)
    inside = dentine + pulp + sealed + deeper
    by_group = {
        ShellGroup.TOOTH: enamel + inside + amalgam + composite + carious,
        ShellGroup.DENTINE: inside + inner,
        ShellGroup.PULP: pulp + sealed,
        ShellGroup.SOFT_TISSUE: soft + cortex + marrow,
        ShellGroup.BONE: cortex + marrow,
        ShellGroup.SPONGIOSA: marrow,
        ShellGroup.FILLING: amalgam,
        ShellGroup.FILLING_IN_DENTINE: inner,
        ShellGroup.COMPOSITE: composite,
        ShellGroup.CARIOUS_ENAMEL: carious,
        ShellGroup.CARIOUS_DENTINE: deeper,
        ShellGroup.CALCULUS: calculus,
        ShellGroup.ROOT_FILLING: sealed,
        ShellGroup.BITE_BLOCK: block,
    }
    row = np.zeros((len(ShellGroup), 1, 2), np.float32)
    for group in ShellGroup:
        row[group] = by_group[group]
    row[ShellGroup.SOFT_TISSUE, 0, 1] += 1.0
    shares = transmission(row, mouth_shells(), tube_spectrum(70.0), detector(receptor))[0]
    assert 0.0 < shares[1] < shares[0] <= 1.0 + 1e-6


@given(from_mm=st.floats(50.0, 900.0), to_mm=st.floats(50.0, 900.0))
def test_time_makes_up_for_distance(from_mm: float, to_mm: float) -> None:
    kept = intensity_ratio(from_mm=from_mm, to_mm=to_mm) * time_ratio_for_same_density(
        from_mm=from_mm, to_mm=to_mm
    )
    assert np.isclose(kept, 1.0)
