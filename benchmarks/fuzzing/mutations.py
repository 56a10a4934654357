"""Sound content made unsound: bytes, text, and parsed documents, each by a given generator."""

import json
from random import Random
from typing import Any

ODD_TEXTS = (
    "",
    " ",
    "\0",
    "\x1b[2J\x1b[31m",
    "\ud83d",
    "a\nb\r\nc",
    "x" * 300,
    "x" * 70_000,
    "NaN",
    "-0",
    "1e999",
    "0x10",
    "½",
    "\u00b9\u00b9",
    "١٦",
    "=1+1",
    "../../etc/passwd",
    "/dev/zero",
    "%s%n",
    "{}",
    "'; DROP TABLE films; --",
    "<script>",
    "\u202etxt.exe",
    "\ufeff",
    "\U0010ffff",
)
ODD_NUMBERS = (
    0,
    -1,
    1,
    2**31,
    2**53 + 1,
    2**63,
    -(2**63) - 1,
    10**400,
    -(10**400),
    0.1,
    -0.0,
    1e-320,
    1e308,
    -1e308,
    9.2e18,
    float("nan"),
    float("inf"),
    float("-inf"),
)
ODD_VALUES = (*ODD_TEXTS, *ODD_NUMBERS, None, True, False, [], {}, [[]], [{}], {"": {}})


def mutated_bytes(random: Random, sound: bytes) -> bytes:
    """Bytes flipped, cut, doubled, dropped, overwritten or taken from elsewhere in the content."""
    made = bytearray(sound)
    for _ in range(random.choice((1, 1, 1, 2, 4, 16))):
        _change_bytes(random, made)
    return bytes(made)


def _change_bytes(random: Random, made: bytearray) -> None:
    at = random.randrange(len(made)) if made else 0
    # What a file is, and how large, stands at its beginning.
    at = min(at, random.choice((len(made), len(made), 64, 400)))
    length = random.choice((1, 2, 4, 8, 64, 1000))
    match random.randrange(8):
        case 0 if made:
            made[at % len(made)] ^= 1 << random.randrange(8)
        case 1 if made:
            made[at % len(made)] = random.choice((0, 1, 127, 128, 255, random.randrange(256)))
        case 2:
            del made[at : at + length]
        case 3:
            made[at:at] = made[at : at + length] * random.choice((1, 2, 20))
        case 4:
            del made[at:]
        case 5:
            made[at : at + 4] = random.choice((0, 1, 0x7FFFFFFF, 0xFFFFFFFF, 0xFFFF)).to_bytes(
                4, random.choice(("little", "big"))
            )
        case 6:
            other = random.randrange(len(made) + 1)
            made[at : at + length] = made[other : other + length]
        case _:
            made[at:at] = random.randbytes(length)


def mutated_text(random: Random, sound: str) -> bytes:
    """Text with its lines, words and numbers changed, and now and then its bytes."""
    if random.random() < 0.2:
        return mutated_bytes(random, sound.encode())
    lines = sound.splitlines(keepends=True)
    for _ in range(random.choice((1, 1, 2, 5))):
        _change_lines(random, lines)
    return "".join(lines).encode("utf-8", random.choice(("surrogatepass", "replace")))


def _change_lines(random: Random, lines: list[str]) -> None:
    if not lines:
        lines.append(odd_text(random))
        return
    at = random.randrange(len(lines))
    line = lines[at]
    match random.randrange(8):
        case 0:
            del lines[at]
        case 1:
            lines.insert(at, line)
        case 2:
            lines.insert(at, lines[random.randrange(len(lines))])
        case 3:
            name, mark, _ = line.partition("=")
            lines[at] = f"{name}{mark} {_as_text(random, odd_value(random))}\n"
        case 4:
            start, end = sorted(random.randrange(len(line) + 1) for _ in range(2))
            lines[at] = line[:start] + odd_text(random) + line[end:]
        case 5:
            parts = line.split(random.choice((",", ";", '"', " ")))
            parts[random.randrange(len(parts))] = odd_text(random)
            lines[at] = random.choice((",", ";", '"', " ")).join(parts)
        case 6:
            lines[at] = "".join(
                random.choice("0123456789") if each.isdigit() and random.random() < 0.3 else each
                for each in line
            )
        case _:
            lines[at] = line.upper() if random.random() < 0.5 else line * random.choice((2, 300))


def _as_text(random: Random, value: Any) -> str:  # noqa: ANN401  anything
    try:
        return json.dumps(value) if random.random() < 0.7 else str(value)
    except ValueError:
        return "1" * 5000


def mutated_document(random: Random, sound: Any) -> Any:  # noqa: ANN401  parsed JSON
    """A parsed document with a few of its parts changed, renamed, added or left out."""
    made = json.loads(json.dumps(sound))
    for _ in range(random.choice((1, 1, 1, 2, 3))):
        made = _change_part(random, made)
    return made


def document_text(random: Random, document: object) -> bytes:
    """A document as JSON, now and then as no strict one."""
    text = json.dumps(document, ensure_ascii=random.random() < 0.5)
    if random.random() < 0.05:
        return mutated_bytes(random, text.encode("utf-8", "surrogatepass"))
    return text.encode("utf-8", "surrogatepass")


def _change_part(random: Random, whole: Any) -> Any:  # noqa: ANN401  parsed JSON
    holders = list(_holders(whole))
    if not holders or random.random() < 0.02:
        return odd_value(random)
    part = random.choice(holders)
    if isinstance(part, list):
        _change_list(random, part)
    else:
        _change_object(random, part)
    return whole


def _change_list(random: Random, part: list[Any]) -> None:
    at = random.randrange(len(part))
    match random.randrange(4):
        case 0:
            del part[at]
        case 1:
            part.insert(at, part[at])
        case 2:
            part[at] = odd_value(random)
        case _:
            part *= random.choice((0, 2, 50))


def _change_object(random: Random, part: dict[str, Any]) -> None:
    name = random.choice(list(part))
    match random.randrange(6):
        case 0:
            del part[name]
        case 1:
            part[odd_text(random)] = part.pop(name)
        case 2:
            part[odd_text(random)] = odd_value(random)
        case 3:
            part[name] = part[random.choice(list(part))]
        case _:
            part[name] = odd_value(random)


def _holders(part: Any) -> Any:  # noqa: ANN401  parsed JSON
    """Every object and list that holds something."""
    if isinstance(part, dict | list) and part:
        yield part
        for each in part.values() if isinstance(part, dict) else part:
            yield from _holders(each)


def odd_value(random: Random) -> Any:  # noqa: ANN401  anything
    """A value that nobody expects, or a plain one in the wrong place."""
    if random.random() < 0.2:
        return random.choice((random.uniform(-100, 100), random.randrange(-5, 50), "plate-2", "16"))
    return random.choice(ODD_VALUES)


def odd_text(random: Random) -> str:
    """A text that nobody expects."""
    if random.random() < 0.2:
        return "".join(
            chr(random.choice((random.randrange(32, 127), random.randrange(0x3000))))
            for _ in range(random.randrange(1, 30))
        )
    return random.choice(ODD_TEXTS)


__all__ = [
    "document_text",
    "mutated_bytes",
    "mutated_document",
    "mutated_text",
    "odd_text",
    "odd_value",
]
