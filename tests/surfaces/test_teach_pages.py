"""Teach over HTTP: nothing tells the truth before the commit, and a class answers and no more."""

import json
import re
import time
from collections.abc import Iterator
from dataclasses import asdict
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from bitewright.competence.attempts import Attempt, Skill
from bitewright.film.radiograph import Radiograph
from bitewright.store.attempts import attempts_of
from bitewright.store.failures import StoreFullError
from bitewright.store.location import store_location
from bitewright.store.opening import opened_store
from bitewright.tasks.competence.keep_record import add_given_attempts
from bitewright.tasks.teach.exercise_places import PIXEL_MM, ExercisePlace
from bitewright.teaching.fault_names import PlantedFault
from bitewright.web.application import ServerSettings, create_app
from bitewright.web.permissions import may
from bitewright.web.sessions import LASTS_S, Kind, Sessions

HOME = "http://127.0.0.1:8642"
SEED = 918273645
COUNT = 6


@pytest.fixture(scope="module")
def sessions() -> Sessions:
    return Sessions()


@pytest.fixture(scope="module")
def application(sessions: Sessions) -> Iterator[object]:
    """The pages with films that are blank: what they show is tested elsewhere."""

    def blank(_place: ExercisePlace, _exposure: object, **_given: object) -> Radiograph:
        pixels = np.full((60, 80), 30_000, dtype=np.uint16)
        return Radiograph(pixels=pixels, pixel_mm=PIXEL_MM, provenance={})

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ExercisePlace, "film", blank)
        settings = ServerSettings(token="once", sessions=sessions, door="d" * 20)  # noqa: S106
        yield create_app(settings)


def let_in(application: object, sessions: Sessions, kind: Kind) -> TestClient:
    client = TestClient(application, base_url=HOME, headers={"origin": HOME})  # type: ignore[arg-type]
    client.get("/start", params={"token": sessions.add_link(kind)})
    return client


@pytest.fixture(scope="module")
def teacher(application: object, sessions: Sessions) -> TestClient:
    return let_in(application, sessions, Kind.OWN)


@pytest.fixture(scope="module")
def student(application: object, sessions: Sessions) -> TestClient:
    return let_in(application, sessions, Kind.CLASS)


@pytest.fixture(scope="module")
def address(teacher: TestClient) -> str:
    made = teacher.post("/teach/sets", json={"count": COUNT, "seed": SEED})
    assert made.status_code == 201, made.text
    return str(made.json()["address"])


def the_exercise(client: TestClient, address: str, number: int) -> dict[str, object]:
    while True:
        answer = client.get(f"{address}/{number}")
        assert answer.status_code in {200, 202}, answer.text
        if answer.status_code == 200:
            return dict(answer.json())


@pytest.mark.slow
def test_nothing_tells_the_truth_before_the_commit(
    application: object, student: TestClient, address: str
) -> None:
    """Every response that a student's page gets is searched for what the server knows."""
    given = application.state.given_sets.of(address.removeprefix("/teach/"))  # type: ignore[attr-defined]
    seen = [student.get("/teach").text, student.get(address).text]
    for number in range(COUNT):
        document = the_exercise(student, address, number)
        assert set(document) <= {
            *("number", "of", "kind", "title", "question", "choices", "drawing"),
            *("answered", "score", "course"),
        }
        film = student.get(f"{address}/{number}/film.png")
        assert film.status_code == 200
        with Image.open(BytesIO(film.content)) as picture:
            assert picture.text == {"Description": "SIMULATED"}  # type: ignore[attr-defined]
        headers = " ".join(f"{name} {value}" for name, value in film.headers.items())
        seen = [*seen, json.dumps(document), film.content.decode("latin-1"), headers]
        for name in ("best.png", "yours.png"):
            refused = student.get(f"{address}/{number}/{name}")
            assert refused.status_code == 403
            seen.append(refused.text)
        made = given.made(number)
        slips = [value for value in asdict(made.exercise.film.slip).values() if value]
        setting = made.exercise.film.plan.setting
        for text in seen:
            assert str(SEED) not in text
            assert not any(fault.value in text for fault in PlantedFault)
            assert made.item.id not in text
            assert made.place.mouth not in text
            assert not any(sentence in text for sentence in made.item.explanation)
            assert not any(f'"swing_deg": {slip}' in text for slip in slips)
            assert f'"ring_offset_deg": {setting.ring_offset_deg}' not in text
            assert '"key"' not in text


def test_an_answer_is_told_to_who_gave_it_and_to_nobody_else(
    teacher: TestClient, student: TestClient, address: str
) -> None:
    document = the_exercise(student, address, 0)
    assert document["kind"] == "name"
    told = student.post(f"{address}/0/answer", json={"chosen": 0, "sure": 0.5}).json()
    assert told["answered"] == 1
    assert told["told"]["explanation"]
    assert told["told"]["score"] == float(0 in told["told"]["key"])
    again = student.post(f"{address}/0/answer", json={"chosen": 1}).json()
    assert again["told"]["answer"] == {"chosen": 0, "sure": 0.5}
    assert student.get(f"{address}/0/best.png").status_code == 200
    assert teacher.get(f"{address}/0/best.png").status_code == 403
    assert "told" not in the_exercise(teacher, address, 0)


def test_an_answer_that_could_not_be_kept_can_be_given_again(
    application: object, sessions: Sessions, address: str, own_folders: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """A store that is full for a moment costs a student no answer."""
    place = own_folders / "log.sqlite"
    monkeypatch.setenv("BITEWRIGHT_STORE", str(place))
    student = let_in(application, sessions, Kind.CLASS)
    the_exercise(student, address, 0)
    answer = {"chosen": 0, "sure": 1.0, "student": "S77"}
    with pytest.MonkeyPatch.context() as patch:

        def full(*_given: object, **_more: object) -> None:
            raise StoreFullError("log.db")

        patch.setattr("bitewright.web.pages.teach.keep_answer", full)
        refused = student.post(f"{address}/0/answer", json=answer)
        assert refused.status_code >= 400
        assert "told" not in the_exercise(student, address, 0)
    told = student.post(f"{address}/0/answer", json=answer).json()
    assert told["told"]["kept"] == "This answer is kept under S77."
    assert told["said"] == ""
    with opened_store(store_location(str(place))) as opened, opened.reading() as connection:
        assert len(attempts_of(connection, "S77")) == 1
    second_tab = student.post(f"{address}/0/answer", json={**answer, "chosen": 1}).json()
    assert "that answer stands" in second_tab["said"]
    assert second_tab["told"]["answer"]["chosen"] == 0
    with opened_store(store_location(str(place))) as opened, opened.reading() as connection:
        assert len(attempts_of(connection, "S77")) == 1


def test_without_a_code_it_is_said_that_nothing_is_kept(
    application: object, sessions: Sessions, address: str
) -> None:
    student = let_in(application, sessions, Kind.CLASS)
    assert the_exercise(student, address, 0)["course"] == [None] * COUNT
    told = student.post(f"{address}/0/answer", json={"chosen": 0}).json()
    assert told["told"]["kept"] == "No code was given with this answer, so it is kept under none."
    outcome = {name: told["told"][name] for name in ("score", "outcome")}
    assert told["course"] == [outcome] + [None] * (COUNT - 1)


def test_a_set_is_begun_again_by_the_teacher_alone(
    teacher: TestClient, student: TestClient, application: object, address: str
) -> None:
    name = address.removeprefix("/teach/")
    assert f"number {SEED}" in teacher.get("/teach").text
    made = teacher.post("/teach/sets", json={"again": name})
    assert made.status_code == 201
    sets = application.state.given_sets  # type: ignore[attr-defined]
    again = made.json()["address"].removeprefix("/teach/")
    assert again != name
    assert sets.of(again).request == sets.of(name).request
    assert teacher.post("/teach/sets", json={"again": "gone"}).status_code == 404
    assert student.post("/teach/sets", json={"again": name}).status_code == 403


def test_films_are_exposed_before_the_commit_and_tell_nothing_but_themselves(
    application: object, teacher: TestClient, student: TestClient
) -> None:
    asked = {"count": 1, "seed": SEED, "kinds": ["aim"]}
    address = str(teacher.post("/teach/sets", json=asked).json()["address"])
    document = the_exercise(student, address, 0)
    bench = document["bench"]
    assert set(bench) == {"still", "begins", "most_exposures", "exposures", "said"}  # type: ignore[call-overload]
    begins = bench["begins"]  # type: ignore[index]
    settings = json.dumps({**begins, "ring_offset_deg": 0.0})
    laid = student.get(f"{address}/0/laid", params={"settings": settings})
    assert set(laid.json()) == {"moves", "seated", "lingual_mm", "does_not_fit"}
    assert student.get(f"{address}/0/exposed/1.png").status_code == 404
    early = student.post(f"{address}/0/answer", json={"sure": 1.0})
    assert (early.status_code, "expose" in early.text) == (422, True)
    taken = [student.post(f"{address}/0/exposure", json=begins) for _ in range(2)]
    assert [each.json()["exposures"] for each in taken] == [1, 2]
    moved = {**begins, "vertical_deg": 3.0}
    assert student.post(f"{address}/0/exposure", json=moved).json()["exposures"] == 3
    assert the_exercise(student, address, 0)["bench"]["begins"] == moved  # type: ignore[index]
    assert the_exercise(teacher, address, 0)["bench"]["begins"] == begins  # type: ignore[index]
    film = student.get(f"{address}/0/exposed/2.png")
    assert student.get(f"{address}/0/exposed/4.png").status_code == 404
    assert teacher.get(f"{address}/0/exposed/1.png").status_code == 404
    made = application.state.given_sets.of(address.removeprefix("/teach/")).made(0)  # type: ignore[attr-defined]
    for text in (json.dumps(document), laid.text, film.content.decode("latin-1"), early.text):
        assert made.place.mouth not in text
        assert made.item.id not in text
        assert not any(sentence in text for sentence in made.item.explanation)
        assert not any(fault.value in text for fault in PlantedFault)
        assert not {"beam_in_fan", "fans", "overlap_mm"} & set(re.findall(r"\w+", text))
    told = student.post(f"{address}/0/answer", json={"sure": 1.0}).json()["told"]
    assert told["answer"] == {"exposures": 3, "sure": 1.0}
    assert told["score"] < 0.75
    assert set(told["drawing"]) == {"seen", "teeth", "was", "best"}
    late = student.post(f"{address}/0/exposure", json=begins)
    assert (late.status_code, "commit" in late.text) == (409, True)
    assert student.post(f"{address}/0/exposure", json={"truth": 1}).status_code == 400


def test_a_movement_and_an_order_are_scored(teacher: TestClient, address: str) -> None:
    kinds = [the_exercise(teacher, address, number)["kind"] for number in range(COUNT)]
    assert kinds == ["name", "read", "correct", "name", "decide", "order"]
    document = the_exercise(teacher, address, 2)
    assert set(document["drawing"]) == {"teeth", "neutral"}  # type: ignore[call-overload]
    moved = {"swing_deg": 0.0, "forward_mm": 0.0, "sure": 1.0}
    told = teacher.post(f"{address}/2/answer", json=moved).json()["told"]
    assert told["score"] == 0.0
    assert set(told["drawing"]) == {"seen", "teeth", "was", "best", "yours"}
    assert teacher.get(f"{address}/2/yours.png").status_code == 200
    choices = the_exercise(teacher, address, 5)["choices"]
    order = list(range(len(choices)))  # type: ignore[arg-type]
    told = teacher.post(f"{address}/5/answer", json={"order": order}).json()["told"]
    assert sorted(told["key"]) == order
    assert (told["score"] == 1.0) is (told["key"] == order)


@pytest.mark.parametrize(
    ("answer", "word"),
    [
        ({}, "one of the choices"),
        ({"chosen": 99}, "a choice from 0 to"),
        ({"chosen": "1"}, "counted from 0"),
        ({"chosen": 0, "sure": 0.7}, "0, 0.5 or 1"),
        ({"key": 1}, "chosen, or order"),
        ({"swing_deg": 400}, "from -30 to 30"),
    ],
)
def test_an_answer_that_cannot_be_taken_is_refused_in_a_sentence(
    teacher: TestClient, address: str, answer: dict[str, object], word: str
) -> None:
    the_exercise(teacher, address, 3)
    refused = teacher.post(f"{address}/3/answer", json=answer)
    assert refused.status_code == 422
    assert word in refused.json()["error"]


@pytest.mark.parametrize(
    ("asked", "word"),
    [
        ({"count": 0}, "from 1 to 60"),
        ({"count": 61}, "from 1 to 60"),
        ({"kinds": ["guess"]}, "read, name"),
        ({"faults": ["ghost"]}, "tube-too-far-forward"),
        ({"truth": 1}, "count, seed, kinds, faults and own"),
        ({"own": ["film-9"]}, "none is kept yet"),
        ({"kinds": ["correct"], "faults": ["receptor-scratched"]}, "such as tube-too-far-forward"),
        ({"kinds": ["name", "order"], "faults": ["receptor-was-bent"]}, "the kind 'order'"),
    ],
)
def test_a_set_that_cannot_be_made_is_refused_in_a_sentence(
    teacher: TestClient, asked: dict[str, object], word: str
) -> None:
    refused = teacher.post("/teach/sets", json=asked)
    assert refused.status_code in (404, 422)
    assert word in refused.json()["error"]


def test_a_class_answers_and_begins_no_set(student: TestClient, address: str) -> None:
    assert student.post("/teach/sets", json={"count": 1}).status_code == 403
    assert may(Kind.CLASS, "POST", f"{address}/3/answer")
    for method, path in (
        ("POST", f"{address}/3"),
        ("PUT", f"{address}/3/answer"),
        ("POST", f"{address}/3/answer/more"),
        ("POST", "/bench/build/stop"),
    ):
        assert not may(Kind.CLASS, method, path)
    page = student.get("/teach").text
    assert "12 exercises now" not in page
    assert re.search(r"you have answered \d of 6", page)


def test_an_exercise_that_is_not_there_is_told_so(teacher: TestClient, address: str) -> None:
    for path in ("/teach/none/0", f"{address}/59", "/teach/none"):
        assert teacher.get(path).status_code == 404


def test_an_answer_given_with_a_code_is_kept_once_as_an_attempt(
    teacher: TestClient, student: TestClient, address: str, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setenv("BITEWRIGHT_STORE", str(tmp_path / "log.sqlite"))
    refused = student.post(f"{address}/3/answer", json={"chosen": 0, "student": "Mary Smith"})
    assert (refused.status_code, "a student's code" in refused.text) == (400, True)
    assert "told" not in the_exercise(student, address, 3)
    for chosen in (1, 0):
        answer = {"chosen": chosen, "sure": 1.0, "student": "S12"}
        told = student.post(f"{address}/3/answer", json=answer).json()["told"]
    assert student.post(f"{address}/1/answer", json={"chosen": 0}).status_code == 200
    place = store_location(str(tmp_path / "log.sqlite"))
    with opened_store(place) as store, store.reading() as connection:
        (kept,) = attempts_of(connection, "S12")
    assert (kept.skill, kept.sure, kept.score) == (Skill.NAME, 1.0, told["score"])
    of_all = teacher.get("/competence").text
    assert "S12" in of_all
    assert ", 1 exercise<" in of_all
    assert "1 exercise: level" in teacher.get("/competence/S12").text
    assert student.get("/competence").status_code == 403
    assert student.get("/competence/S12").status_code == 403
    assert teacher.get("/competence/S13").status_code == 400
    assert teacher.get("/competence?bar=1").status_code == 400


def test_on_a_shared_computer_another_begins_anew_and_sees_nothing(
    application: object, sessions: Sessions, teacher: TestClient, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setenv("BITEWRIGHT_STORE", str(tmp_path / "log.sqlite"))
    address = teacher.post("/teach/sets", json={"count": 1, "kinds": ["name"]}).json()["address"]
    shared = let_in(application, sessions, Kind.CLASS)
    first_page = shared.get(address).text
    assert 'data-turn=""' in first_page
    assert "Not you? Change" in first_page
    answer = {"chosen": 0, "student": "S12", "turn": ""}
    the_exercise(shared, address, 0)
    assert shared.post(f"{address}/0/answer", json=answer).status_code == 200
    assert "told" in shared.get(f"{address}/0").json()
    assert "you have answered 1 of 1" in shared.get("/teach").text
    assert shared.post("/teach/turn").status_code == 204
    for path in (f"{address}/0", "/teach", address):
        assert "S12" not in shared.get(path).text
    assert "told" not in shared.get(f"{address}/0").json()
    assert "you have answered 0 of 1" in shared.get("/teach").text
    late = shared.post(f"{address}/0/answer", json=answer)
    assert (late.status_code, "Somebody else answers" in late.text) == (409, True)
    assert "told" not in shared.get(f"{address}/0").json()
    assert "you have answered 0 of 1" in teacher.get("/teach").text


def test_no_film_is_taken_from_a_page_of_another_ones_turn(
    application: object, sessions: Sessions, teacher: TestClient
) -> None:
    """The next one would have begun with a film, and a dose, that somebody else had taken."""
    asked = {"count": 1, "seed": SEED, "kinds": ["aim"]}
    address = teacher.post("/teach/sets", json=asked).json()["address"]
    shared = let_in(application, sessions, Kind.CLASS)
    begins = the_exercise(shared, address, 0)["bench"]["begins"]  # type: ignore[index]
    own = shared.post(f"{address}/0/exposure", json={**begins, "turn": ""})
    assert (own.status_code, own.json()["exposures"]) == (201, 1)
    assert shared.post("/teach/turn").status_code == 204
    late = shared.post(f"{address}/0/exposure", json={**begins, "turn": ""})
    assert (late.status_code, "Somebody else answers" in late.text) == (409, True)
    assert the_exercise(shared, address, 0)["bench"]["exposures"] == 0  # type: ignore[index]
    now = re.search(r'data-turn="([^"]+)"', shared.get(address).text)
    assert now is not None
    taken = shared.post(f"{address}/0/exposure", json={**begins, "turn": now[1]})
    assert (taken.status_code, taken.json()["exposures"]) == (201, 1)


def test_a_turn_lasts_as_long_as_any_session_and_is_one_servers_own(
    application: object, sessions: Sessions
) -> None:
    """After twelve hours an owner's browser would have shown the first one's answers again."""
    owners = let_in(application, sessions, Kind.OWN)
    begun = owners.post("/teach/turn").headers["set-cookie"]
    assert int(begun.partition("Max-Age=")[2].partition(";")[0]) >= max(LASTS_S.values())
    elsewhere = owners.post(
        "http://127.0.0.1:8999/teach/turn", headers={"origin": "http://127.0.0.1:8999"}
    )
    names = [each.partition("=")[0] for each in (begun, elsewhere.headers["set-cookie"])]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("typed", ["0.8", "80%", "80", "0,80"])
def test_a_bar_is_repeated_both_ways_in_which_it_may_be_typed(
    teacher: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    """0.8 was typed and 80% told, and 80 refused."""
    monkeypatch.setenv("BITEWRIGHT_STORE", str(tmp_path / "log.sqlite"))
    attempt = Attempt(
        student="S1",
        item="a/1",
        skill=Skill.NAME,
        topic="overlap",
        score=1.0,
        sure=None,
        answered_at="2026-01-31T09:30:00Z",
    )
    add_given_attempts([attempt], None)
    shown = teacher.get("/competence", params={"bar": typed}).text
    assert "against a bar of 80% (a mean score of 0.8)" in shown
    assert 'value="80%"' in shown
    one = teacher.get("/competence/S1", params={"bar": typed}).text
    assert "to pass the bar of 80% (a mean score of 0.8)" in one


def test_what_is_refused_on_competence_leads_back_to_competence(
    teacher: TestClient, student: TestClient
) -> None:
    """It led to the bench."""
    html = {"accept": "text/html"}
    for path in ("/competence?bar=8", "/competence/S99", "/competence/nobody/else"):
        told = teacher.get(path, headers=html)
        assert told.status_code in (400, 404)
        assert '<a href="/competence">Go to what the class can do</a>' in told.text
        assert "Go to the bench" not in told.text
    assert "/competence" not in student.get("/competence", headers=html).text


def test_the_teacher_alone_sees_how_readers_agree(
    application: object, sessions: Sessions, teacher: TestClient, own_folders: Path
) -> None:
    """A set of readings is given out twice: the second time is each reader's second reading."""
    assert own_folders
    asked = {"count": 2, "seed": 77, "kinds": ["read"]}
    address = ""
    for choice in (0, 1):
        time.sleep(choice)  # moments are kept to the second
        address = str(teacher.post("/teach/sets", json=asked).json()["address"])
        for code in ("S1", "S2"):
            client = let_in(application, sessions, Kind.CLASS)
            for number in range(asked["count"]):  # type: ignore[call-overload]
                the_exercise(client, address, number)
                said = {"chosen": 0 if code == "S2" else choice, "sure": 1, "student": code}
                answer = client.post(f"{address}/{number}/answer", json=said)
                assert answer.status_code == 200, answer.text
    page = f"/competence/readers/{address.removeprefix('/teach/')}"
    assert f'href="{page}"' in teacher.get("/teach").text
    told = teacher.get(page).text
    assert "S1 twice, S2 twice." in told
    assert "S1 (2)" in told
    assert "more exercises needed" in told
    client = let_in(application, sessions, Kind.CLASS)
    assert client.get(page).status_code == 403
    assert "/competence/readers" not in client.get("/teach").text
    assert teacher.get("/competence/readers/none-such").status_code == 404
