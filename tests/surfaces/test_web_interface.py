"""Every address that the pages use, asked at random after its own description: never a failure."""

from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error

from bitewright.web.application import LOOPBACK, ServerSettings, create_app

OUR_OWN_PAGE = {"sec-fetch-site": "same-origin", "accept": "application/json"}
OPERATIONS = [
    (method.upper(), path)
    for path, methods in create_app().openapi()["paths"].items()
    for method in methods
]


@pytest.fixture(scope="module")
def interface(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The described interface of an application that keeps its data in a folder of its own."""
    own = tmp_path_factory.mktemp("interface")
    with pytest.MonkeyPatch.context() as patched:
        for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
            patched.setenv(name, str(own / name.lower()))
        patched.delenv("BITEWRIGHT_STORE", raising=False)
        app = create_app(ServerSettings(hosts=(*LOOPBACK, "testserver")))
        yield schemathesis.openapi.from_asgi("/api/openapi.json", app)


def ask_at_random(interface: Any, method: str, path: str, *, times: int) -> None:
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
        case.call_and_validate(headers=OUR_OWN_PAGE, checks=[not_a_server_error])

    ask()


@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_no_request_is_a_failure_of_ours(interface: Any, method: str, path: str) -> None:
    ask_at_random(interface, method, path, times=4)


@pytest.mark.slow
@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_no_request_of_many_is_a_failure_of_ours(interface: Any, method: str, path: str) -> None:
    ask_at_random(interface, method, path, times=60)
