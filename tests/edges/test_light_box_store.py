"""The light box's file opened by several at once."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

from bitewright.store.light_box import open_light_box


def test_a_new_file_can_be_opened_by_several_at_once(tmp_path: Path) -> None:
    for turn in range(5):
        file, together = tmp_path / f"{turn}.sqlite", Barrier(3)

        def opened(_: int, *, file: Path = file, together: Barrier = together) -> int:
            together.wait()
            return len(open_light_box(file).films())

        with ThreadPoolExecutor(3) as pool:
            assert list(pool.map(opened, range(3))) == [0, 0, 0]
