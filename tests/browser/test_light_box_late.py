"""The light box when answers come late: nothing done meanwhile is lost or asked in vain."""

from pathlib import Path

from playwright.sync_api import Route, expect

from tests.browser.conftest import Visit, wait_until
from tests.browser.test_light_box import put_down, rendered

__all__ = ["rendered"]


def test_marks_set_while_the_list_of_films_comes_late_are_kept(
    visit: Visit, rendered: tuple[Path, Path]
) -> None:
    page = visit.page
    late_list: list[Route] = []
    late_pixels: list[Route] = []
    page.route(
        "**/light-box/films",
        lambda route: route.continue_() if late_list else late_list.append(route),
    )
    visit.go("/light-box")
    page.set_input_files("#files", rendered[0])
    expect(page.locator("#film-name")).to_have_text("film")
    page.route("**/pixels", lambda route: late_pixels.append(route))  # noqa: PLW0108  the same film once more
    late_list[0].continue_()
    page.wait_for_timeout(1000)
    page.set_input_files("#load-marks", rendered[1])
    expect(page.locator("#count")).to_contain_text("placed")
    for route in late_pixels:
        route.continue_()
    page.wait_for_timeout(1000)
    expect(page.locator("#places li")).to_have_count(1)
    expect(page.locator("#count")).to_contain_text("placed")
    page.on("dialog", lambda dialog: dialog.accept())
    page.unroute("**/pixels")
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)


def test_of_two_films_on_their_way_the_last_asked_for_is_shown(
    visit: Visit, rendered: tuple[Path, Path], tmp_path: Path
) -> None:
    page = visit.go("/light-box")
    films = [tmp_path / f"{name}.png" for name in ("slow", "quick")]
    for film in films:
        film.write_bytes(rendered[0].read_bytes())
        page.set_input_files("#files", film)
        expect(page.locator("#film-name")).to_have_text(film.stem)
    page.reload()  # the page itself keeps the pixels of the last films
    expect(page.locator("#film-name")).to_have_text("quick")
    held: list[Route] = []
    page.route("**/pixels", lambda route: route.continue_() if held else held.append(route))
    page.locator("#places button", has_text="slow").click()
    wait_until(page, lambda: bool(held))
    page.locator("#places button", has_text="quick").click()
    expect(page.locator("#film-name")).to_have_text("quick")
    held[0].continue_()
    page.wait_for_timeout(1000)
    expect(page.locator("#film-name")).to_have_text("quick")
    page.unroute("**/pixels")
    page.on("dialog", lambda dialog: dialog.accept())
    for count in (1, 0):
        page.locator("#remove-film").click()
        expect(page.locator("#places li")).to_have_count(count)


def test_marks_that_wait_behind_a_slow_save_are_kept_when_another_film_is_chosen(
    visit: Visit, rendered: tuple[Path, Path], tmp_path: Path
) -> None:
    page = visit.go("/light-box")
    for name in ("first", "second"):
        film = tmp_path / f"{name}.png"
        film.write_bytes(rendered[0].read_bytes())
        page.set_input_files("#files", film)
        expect(page.locator("#film-name")).to_have_text(name)
    page.locator("#places button", has_text="first").click()
    expect(page.locator("#film-name")).to_have_text("first")
    page.locator("#view").select_option("right-premolar")
    expect(page.locator("#next")).to_contain_text("Next: the distal edge of 13")
    held: list[Route] = []
    page.route("**/marks", lambda route: route.continue_() if held else held.append(route))
    for column in (300.0, 400.0, 500.0):
        put_down(page, column, 200.0)
    wait_until(page, lambda: bool(held))
    page.locator("#places button", has_text="second").click()
    expect(page.locator("#film-name")).to_have_text("second")
    held[0].continue_()
    page.locator("#places button", has_text="first").click()
    expect(page.locator("#film-name")).to_have_text("first")
    expect(page.locator("#count")).to_contain_text("3 placed")
    page.reload()
    page.locator("#places button", has_text="first").click()
    expect(page.locator("#count")).to_contain_text("3 placed")
    page.unroute("**/marks")
    page.on("dialog", lambda dialog: dialog.accept())
    for count in (1, 0):
        page.locator("#remove-film").click()
        expect(page.locator("#places li")).to_have_count(count)


def test_a_drawing_on_its_way_is_not_waited_for_when_its_film_is_taken_off(
    visit: Visit, rendered: tuple[Path, Path]
) -> None:
    page = visit.go("/light-box")
    page.set_input_files("#files", rendered[0])
    expect(page.locator("#film-name")).to_have_text("film")
    held: list[Route] = []
    page.route("**/drawing?*", lambda route: held.append(route))  # noqa: PLW0108  keeps it waiting
    page.set_input_files("#load-marks", rendered[1])
    wait_until(page, lambda: bool(held))
    ended: list[str] = []
    page.on("requestfailed", lambda request: ended.append(request.url))
    page.on("dialog", lambda dialog: dialog.accept())
    with page.expect_request(lambda asked: asked.method == "DELETE"):
        page.locator("#remove-film").click()
    assert [url for url in ended if "/drawing" in url], "else it is asked of a film that is gone"
    expect(page.locator("#places li")).to_have_count(0)
