"""A user's TOML files, such as a mouth or equipment: text in and out, no judgement of content."""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomli_w

from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import read_file, write_file
from bitewright.kept_text import not_kept, place_words

MOST_BYTES = 1 << 20
MOST_DOTS = 200
"""A key of very many parts would keep the parser busy for hours. Our choice."""


class TomlFileError(BitewrightError):
    """A file is not TOML, or a mapping cannot be written as TOML."""

    def __init__(self, name: str, problem: str) -> None:
        self.name = name
        self.problem = problem
        super().__init__(f"The file {name} is not valid TOML, because {problem}: correct that.")


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of a TOML file.

    Raises
    ------
    FileUnreadableError
        If it cannot be opened.
    TomlFileError
        If it is not UTF-8 or not TOML, or holds what cannot be kept; the place is named.
    """
    return toml_from_bytes(read_file(path, most_bytes=MOST_BYTES), name=str(path))


def toml_from_bytes(data: bytes, *, name: str) -> dict[str, Any]:
    """The tables of a TOML file's content; errors as `read_toml`, which call it by its name."""
    content = _parsed(data, name)
    not_allowed = not_kept(content, finite=True)
    if not_allowed is not None:
        raise TomlFileError(name, f"at {place_words(not_allowed[0])} {not_allowed[1]}")
    return content


def _parsed(data: bytes, name: str) -> dict[str, Any]:
    try:
        text = data.decode("utf-8-sig")
        if any(line.count(".") > MOST_DOTS for line in text.splitlines()):
            raise TomlFileError(name, f"a line of it holds more than {MOST_DOTS} dots")
        return tomllib.loads(text)
    except UnicodeDecodeError as error:
        raise TomlFileError(name, "its text is not UTF-8") from error
    except tomllib.TOMLDecodeError as error:
        raise TomlFileError(name, f"the parser says {quoted(str(error))}") from error
    except RecursionError as error:
        raise TomlFileError(name, "it is nested too deeply") from error
    except ValueError as error:
        raise TomlFileError(name, "it holds a number with too many digits") from error


def write_toml(path: Path, content: Mapping[str, Any], *, comment: str = "") -> None:
    """Write tables, lists and plain values, whole or not at all; `read_toml` gives them back.

    Parameters
    ----------
    path : Path
    content : mapping
        Nested tables of text, numbers, booleans, dates and lists; None has no place in TOML.
    comment : str
        Lines to stand at the top, without their number signs.

    Raises
    ------
    TomlFileError
        If a value has no form in TOML.
    FileUnwritableError
        If the file cannot be written; nothing is left behind.
    """
    write_file(Path(path), toml_bytes(content, name=str(path), comment=comment))


def toml_bytes(content: Mapping[str, Any], *, name: str, comment: str = "") -> bytes:
    """What `write_toml` writes."""
    heading = "".join(f"# {line}\n" for line in comment.splitlines())
    try:
        return (heading + tomli_w.dumps(content)).encode("utf-8")
    except (TypeError, ValueError, AttributeError) as error:
        raise TomlFileError(name, "a value to be written has no form in it") from error


__all__ = ["TomlFileError", "read_toml", "toml_bytes", "toml_from_bytes", "write_toml"]
