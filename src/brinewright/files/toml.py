"""Write plain values as TOML."""

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_key(name: str) -> str:
    """Return a key, in quotes where it needs them."""
    return name if _BARE.fullmatch(name) else toml_value(name)


def toml_value(value: Any) -> str:
    """Return a value on one line.

    >>> toml_value({"valve": "TV-110A", "made": "open"})
    '{ valve = "TV-110A", made = "open" }'
    """
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{toml_key(key)} = {toml_value(item)}" for key, item in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml_value(item) for item in value)}]"
    return str(value.isoformat())


def toml_table(header: str, values: Mapping[str, Any]) -> str:
    """Return a table with its header line, or without one where the header is empty."""
    lines = [header] if header else []
    lines += [f"{toml_key(key)} = {toml_value(value)}" for key, value in values.items()]
    return "\n".join(lines) + "\n"


def toml_document(parts: Iterable[str]) -> str:
    """Return tables joined by blank lines."""
    return "\n".join(part for part in parts if part.strip())
