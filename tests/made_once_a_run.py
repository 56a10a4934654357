"""What is slow to make is made by one process of a test run, and read by the others."""

import fcntl
import os
import pickle
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

RUN_FOLDER = "BITEWRIGHT_TEST_RUN"
"""Names the folder that the processes of one run share; unset where there is one process."""
FILM_CACHE = "BITEWRIGHT_CACHE"
"""Names the folder where the commands and pages of a run keep film mouths, as a user's would."""

Thing = TypeVar("Thing")


def begin_run(*, is_shared: bool = True) -> Callable[[], None]:
    """Make the folder of a run, for its processes to come; what is to end it.

    Film mouths are kept there too: each is built once a run, and none from before it is read.
    """
    folder = tempfile.mkdtemp(prefix="bitewright-tests-")
    own = {FILM_CACHE: str(Path(folder) / "cache")} | ({RUN_FOLDER: folder} if is_shared else {})
    before = {name: os.environ.get(name) for name in own}
    os.environ.update(own)

    def end_run() -> None:
        for name, value in before.items():
            os.environ.pop(name, None)
            if value is not None:
                os.environ[name] = value
        shutil.rmtree(folder, ignore_errors=True)

    return end_run


def made_once_a_run(name: str, make: Callable[[], Thing]) -> Thing:
    """A thing as ``make`` makes it, of any kind that can be pickled: to be read only.

    Where the run has one process, nothing is kept on disk.
    """
    with own_turn(name) as folder:
        if folder is None:
            return make()
        path = folder / f"{name}.pickle"
        if path.exists():
            kept: Thing = pickle.loads(path.read_bytes())  # noqa: S301 - written below, by ourselves
            return kept
        made = make()
        part = path.with_suffix(".part")
        part.write_bytes(pickle.dumps(made, protocol=5))
        part.rename(path)
        return made


@contextmanager
def own_turn(name: str) -> Iterator[Path | None]:
    """The folder of this run, while no other process of it has a turn of this name; or None."""
    given = os.environ.get(RUN_FOLDER)
    if given is None:
        yield None
        return
    folder = Path(given)
    with (folder / f"{name}.turn").open("w", encoding="utf-8") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield folder
