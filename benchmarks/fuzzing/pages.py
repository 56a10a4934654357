"""The pages' interface as it describes itself, and the bench's websocket, given odd requests."""

import json
from pathlib import Path
from random import Random
from typing import Any
from urllib.parse import quote

from fastapi.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from benchmarks.fuzzing.formats import FuzzFaultError, Trial
from benchmarks.fuzzing.mutations import (
    document_text,
    mutated_bytes,
    mutated_document,
    mutated_text,
    odd_text,
    odd_value,
)
from benchmarks.fuzzing.sound import MARKS, Sound
from bitewright.tasks.light_box.light_box import open_own_light_box
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import own_box

HOME = "http://127.0.0.1:8642"
SOCKETS = ("ws://127.0.0.1:8642/bench/moving/state",)
SLOW = {"/bench/film", "/bench/solids", "/bench/plan"} | {
    "/light-box/films/{number}/explained-film"
}
"""What makes whole films is asked with wrong names and settings only."""

NAMES = {
    "view": ("right-premolar", "left-molar", "right-molar-vertical"),
    "mouth": ("standard",),
    "receptor": ("sensor-2", "plate-2", "film-0"),
    "holder": ("ring-holder", "tab"),
    "tube": ("rectangular-300",),
    "section": ("receptors", "holders", "tubes", "mouths"),
    "name": ("ours", "14.mesial", "our-sensor"),
    "number": ("1", "2", "3"),
    "together": ("true", "false"),
    "settings": ("{}", '{"ring_offset_deg": 4}', '{"lingual_mm": null}'),
    "x_px": ("10", "142.5"),
    "y_px": ("60",),
}
MOST_FILMS = 12
MOST_OF_AN_ADDRESS = 1000


class Pages:
    """An application of our own with its client, and what its interface says of itself."""

    def __init__(self, sound: Sound, folder: Path) -> None:
        self.sound = sound
        application = create_app()
        self.box = open_own_light_box(folder / "box.sqlite")
        application.dependency_overrides[own_box] = lambda: self.box
        self.client = TestClient(
            application, base_url=HOME, headers={"origin": HOME}, raise_server_exceptions=True
        )
        self.client.__enter__()
        told = self.client.get("/api/openapi.json").json()
        self.schemas = told["components"]["schemas"]
        self.operations = [
            (path, method, operation)
            for path, methods in told["paths"].items()
            for method, operation in methods.items()
        ]
        self._stock()

    def _stock(self) -> None:
        for number in range(1, 4):
            if len(self.box.films()) < number:
                self.client.put("/light-box/films?label=a", content=self.sound.films["png8"])

    def trial(self, random: Random, _folder: Path) -> str:
        """One request; a refusal must be a sentence."""
        path, method, operation = random.choice(self.operations)
        address = self._address(random, path, operation)
        options = self._body(random, path, operation)
        answer = self.client.request(method.upper(), address, **options)
        if answer.status_code >= 500:
            raise FuzzFaultError(f"{method} {address!r:.300} {options!r:.500}: {answer.text[:300]}")
        self._still_there(random)
        if answer.status_code < 400:
            return "taken"
        said = answer.json()["error"]
        if not said.isprintable() or len(said) > 2000:
            raise FuzzFaultError(f"{method} {address!r:.300}: {said!r:.300}")
        return "refused"

    def _still_there(self, random: Random) -> None:
        """The list of films can always be read; it is kept short."""
        if random.random() > 0.1:
            return
        films = self.client.get("/light-box/films")
        if films.status_code != 200:
            raise FuzzFaultError(f"the light box's list: {films.text[:300]}")
        for film in films.json()[MOST_FILMS:]:
            self.client.delete(f"/light-box/films/{film['id']}")
        self._stock()

    def _address(self, random: Random, path: str, operation: dict[str, Any]) -> str:
        query = []
        for parameter in operation.get("parameters", []):
            value = self._parameter(random, parameter["name"], slow=path in SLOW)
            if parameter["in"] == "path":
                path = path.replace(f"{{{parameter['name']}}}", quote(value, safe="") or "x")
            elif parameter["required"] or random.random() < 0.6:
                query.append(f"{parameter['name']}={quote(value, safe='')}")
        return f"{path}?{'&'.join(query)}"[:60_000]

    def _parameter(self, random: Random, name: str, *, slow: bool) -> str:
        known = NAMES.get(name, ())
        if known and not slow and random.random() < 0.7:
            return random.choice(known)
        if random.random() < 0.4:
            try:
                return str(odd_value(random)).encode("utf-8", "replace").decode()
            except ValueError:
                return "9" * 5000
        return odd_text(random).encode("utf-8", "replace").decode()

    def _body(self, random: Random, path: str, operation: dict[str, Any]) -> dict[str, Any]:
        described = operation.get("requestBody")
        if described is None:
            return {"content": self._file(random, path)} if "film" in path or "file" in path else {}
        shape = described["content"]["application/json"]["schema"]
        made = mutated_document(random, self._sound_body(path, shape))
        if random.random() < 0.3:
            made = self._sound_body(path, shape)
        headers = {"content-type": "application/json"}
        return {"content": document_text(random, made), "headers": headers}

    def _file(self, random: Random, path: str) -> bytes:
        if path == "/light-box/films":
            content = random.choice(list(self.sound.films.values()))
            return mutated_bytes(random, content) if random.random() < 0.9 else content
        if path.endswith("equipment-file"):
            return mutated_text(random, self.sound.texts["equipment"])
        return mutated_text(random, self.sound.texts["mouth"])

    def _sound_body(self, path: str, shape: dict[str, Any]) -> Any:  # noqa: ANN401  JSON
        if path.endswith("/marks"):
            kept = {name: MARKS[name] for name in MARKS if name not in {"format", "image"}}
            return {"version": 0, "marks": kept | {"holder": "ring-holder"}}
        if path.endswith("/decision"):
            return {"decision": "accepted", "by": "R1", "note": "seen"}
        if "catalogue" in path:
            return {"thickness_mm": 6.5, "source": "us", "confidence": "measured", "kind": "sensor"}
        return dict.fromkeys(self._resolved(shape).get("properties", {"label": 0}), "a")

    def _resolved(self, shape: dict[str, Any]) -> dict[str, Any]:
        named = shape.get("$ref", "").rpartition("/")[2]
        return self.schemas[named] if named else shape


def socket_trial(pages: Pages) -> Trial:
    """Odd messages to the bench, then a sound wish, which must be answered."""

    def trial(random: Random, _folder: Path) -> str:
        address = random.choice(SOCKETS)
        if random.random() < 0.3:
            odd = odd_text(random)[:MOST_OF_AN_ADDRESS]  # the client sends no longer ones
            address += f"?view={quote(odd.encode('utf-8', 'replace'))}"
        last = random.randrange(1, 2**32)
        with pages.client.websocket_connect(address, headers={"origin": HOME}) as socket:
            try:
                for _ in range(random.randrange(6)):
                    _send_odd(random, socket)
                socket.send_text(json.dumps({"seq": last, "settings": {}}))
                while True:
                    answer = socket.receive_json()
                    if answer["seq"] == last:
                        return "taken" if "fault" not in answer else "refused"
                    if "fault" in answer and not answer["fault"].isprintable():
                        raise FuzzFaultError(f"{answer!r:.300}")
            except WebSocketDisconnect:
                return "refused"

    return trial


def _send_odd(random: Random, socket: Any) -> None:  # noqa: ANN401  starlette's
    wish = {"seq": random.randrange(2**32), "settings": {"ring_offset_deg": 4.0, "forward_mm": 1}}
    match random.randrange(4):
        case 0:
            socket.send_bytes(mutated_bytes(random, json.dumps(wish).encode()))
        case 1:
            socket.send_text(odd_text(random).encode("utf-8", "replace").decode()[:4000])
        case _:
            made = mutated_document(random, wish)
            socket.send_text(json.dumps(made)[:5000])


__all__ = ["Pages", "socket_trial"]
