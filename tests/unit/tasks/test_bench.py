"""A bench is made once, its exposures too, and tells what the command's task tells."""

from dataclasses import replace

import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.views import view
from bitewright.tasks.bench import bench as benches
from bitewright.tasks.bench.bench import Bench, bench_for
from bitewright.tasks.bench.bench_documents import moving_document
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.plan.predict_exposure import predict_exposure
from bitewright.tasks.plan.set_exposure import HandSetting
from bitewright.tasks.plan.wanted_setting import WantedSetting
from bitewright.tasks.rated_by import RatedBy
from tests.scenes import station_of
from tests.unit.tasks.test_made_once import together

EQUIPMENT = named_equipment(
    packaged_catalogue(), receptor="plate-2", holder="ring-holder", tube="round-200"
)
VIEW = view("left-premolar")


def test_four_threads_get_one_bench_with_one_mouth_to_build() -> None:
    mouth = replace(standard_mouth(), name="nobody asked for this one before")
    got = together(lambda: bench_for(VIEW, mouth, EQUIPMENT))
    assert len({id(bench) for bench in got}) == 1
    assert len({id(bench.films.build) for bench in got}) == 1


def test_another_mouth_or_receptor_of_the_same_name_is_another_bench() -> None:
    first = bench_for(VIEW, standard_mouth(), EQUIPMENT)
    assert bench_for(VIEW, standard_mouth(), EQUIPMENT) is first
    other_mouth = replace(drawn_mouth(3), name=standard_mouth().name)
    assert bench_for(VIEW, other_mouth, EQUIPMENT) is not first
    thicker = replace(EQUIPMENT.receptor, thickness_mm=EQUIPMENT.receptor.thickness_mm + 1.0)
    changed = bench_for(VIEW, standard_mouth(), replace(EQUIPMENT, receptor=thicker))
    assert changed.station.receptor.thickness_mm == thicker.thickness_mm


def test_both_lines_of_a_page_share_one_exposure(monkeypatch: pytest.MonkeyPatch) -> None:
    bench = Bench(VIEW, station_of("left-premolar"))
    aimed: list[object] = []
    original = benches.aim_at

    def counted(*given: object) -> object:
        aimed.append(given)
        return original(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(benches, "aim_at", counted)
    setting = HandSetting(ring_offset_deg=3.0)
    together(lambda: moving_document(bench, setting))
    exposure = bench.exposure(setting).exposure
    assert len(aimed) == 1
    swung = bench.exposure(HandSetting(ring_offset_deg=4.0)).exposure
    assert len(aimed) == 2
    assert swung.seat is exposure.seat, "only the tube moved"


@pytest.mark.parametrize(
    "numbers",
    [
        {},
        {"ring_offset_deg": 6.5, "vertical_deg": -4.0, "tube_up_mm": 3.0},
        {"forward_mm": 2.5, "lingual_mm": 4.0, "turn_deg": 5.0, "tilt_deg": -2.0, "roll_deg": 1.0},
    ],
)
def test_a_bench_predicts_what_the_command_predicts(numbers: dict[str, float]) -> None:
    at = station_of("left-premolar")
    told = Bench(VIEW, at).predicted(HandSetting(**numbers)).document()
    wanted = WantedSetting(**numbers)  # type: ignore[arg-type]
    assert told == predict_exposure(VIEW, at, wanted, by=RatedBy()).document()
