"""Every address that the pages use, asked at random after its own description: never a failure."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import response_schema_conformance

from bitewright.files.images import write_image
from bitewright.tasks.assess.decoded_film import decode_film
from bitewright.tasks.light_box.kept_marks import change_marks
from bitewright.tasks.light_box.light_box import enter_film
from bitewright.web.application import LOOPBACK, ServerSettings, create_app
from bitewright.web.pages.light_box import opened_box, own_box

MARKED = {
    "view": "right-premolar",
    "receptor": "plate-2",
    "marks": {
        name: {"x_px": x_px, "y_px": y_px}
        for name, x_px, y_px in (
            ("16.mesial", 60.0, 50.0),
            ("15.distal", 61.0, 50.0),
            ("15.mesial", 95.0, 50.0),
            ("14.distal", 96.0, 50.0),
            ("14.mesial", 128.0, 50.0),
            ("45.mesial", 95.0, 110.0),
            ("44.distal", 96.0, 110.0),
        )
    },
}
OUR_OWN_PAGE = {"sec-fetch-site": "same-origin", "accept": "application/json"}
PATIENCE_S = 120
"""A mouth may have to be built first, on a busy machine."""

ON_THE_LIGHT_BOX = 3
"""Films there at the beginning of each test: what one request takes away another still finds."""

OPERATIONS = [
    (method.upper(), path)
    for path, methods in create_app().openapi()["paths"].items()
    for method in methods
]


WHOLE_FILMS = {
    "/bench/card",
    "/bench/film",
    "/bench/ladder",
    "/bench/solids",
    "/light-box/films/{number}/drawing",
    "/light-box/films/{number}/explained-film",
    "/light-box/films/{number}/explanation",
}
"""What builds a mouth or searches for an exposure: asked many times in the slow test alone."""
assert {path for _, path in OPERATIONS} >= WHOLE_FILMS
QUICK = [each for each in OPERATIONS if each[1] not in WHOLE_FILMS]


@pytest.fixture(scope="module")
def interface(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The described interface of an application that keeps its data in a folder of its own."""
    own = tmp_path_factory.mktemp("interface")
    with pytest.MonkeyPatch.context() as patched:
        for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
            patched.setenv(name, str(own / name.lower()))
        patched.delenv("BITEWRIGHT_STORE", raising=False)
        opened_box.cache_clear()
        app = create_app(ServerSettings(hosts=(*LOOPBACK, "testserver")))
        yield schemathesis.openapi.from_asgi("/api/openapi.json", app)
        opened_box.cache_clear()


@pytest.fixture
def numbers(interface: Any, tmp_path: Path) -> tuple[int, ...]:
    """Films of a visit of their own on the light box, marked alike, by number."""
    assert interface is not None
    path = tmp_path / "film.png"
    pixels = np.linspace(0, 65535, 205 * 155).astype(np.uint16).reshape(155, 205)
    write_image(path, pixels, pixel_mm=0.2, description="wedge")
    made = []
    visit = tmp_path.name[:60]  # films of one visit are explained together
    for _ in range(ON_THE_LIGHT_BOX):
        wedge = decode_film(path.read_bytes(), name="wedge")
        film = enter_film(own_box(), wedge, visit=visit, now=datetime.now(UTC))
        change_marks(own_box(), film.id, MARKED, version=0)
        made.append(film.id)
    return tuple(made)


def ask_at_random(
    interface: Any, method: str, path: str, numbers: tuple[int, ...], *, times: int
) -> None:
    count = iter(range(10 * times))

    @settings(
        max_examples=times,
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=interface[path][method].as_strategy())
    def ask(case: Any) -> None:
        turn = next(count)
        if "number" in case.path_parameters and turn % 4:
            # Reading takes nothing away: one film will do, and is explained once.
            case.path_parameters["number"] = numbers[0 if method == "GET" else turn % len(numbers)]
        checks = [not_a_server_error, response_schema_conformance]
        case.call_and_validate(headers=OUR_OWN_PAGE, checks=checks, timeout=PATIENCE_S)

    ask()


@pytest.mark.parametrize(("method", "path"), QUICK)
def test_no_request_is_a_failure_of_ours(
    interface: Any, numbers: tuple[int, ...], method: str, path: str
) -> None:
    ask_at_random(interface, method, path, numbers, times=4)


@pytest.mark.slow
@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_no_request_of_many_is_a_failure_of_ours(
    interface: Any, numbers: tuple[int, ...], method: str, path: str
) -> None:
    ask_at_random(interface, method, path, numbers, times=60)
