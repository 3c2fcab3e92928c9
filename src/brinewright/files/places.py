"""Line and column of every key and value of a TOML text."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

Path = tuple[str | int, ...]
"""Keys and positions from the top of the document, such as ("part", 3, "count")."""


class Places:
    """Where each key and each value of a text stands, counted from 1."""

    def __init__(self, text: str) -> None:
        self._raw = text.encode("utf-8")
        self._lines = self._raw.split(b"\n")
        self._keys: dict[Path, tuple[int, int]] = {}
        self._values: dict[Path, tuple[int, int]] = {}
        self._index()

    def key(self, path: Path) -> tuple[int, int]:
        """Return (line, column) of the key, or of the nearest table around it that is written."""
        return self._nearest(self._keys, path)

    def value(self, path: Path) -> tuple[int, int]:
        """Return (line, column) of the value, or of the nearest table around it that is written."""
        return self._nearest(self._values, path)

    def _nearest(self, table: dict[Path, tuple[int, int]], path: Path) -> tuple[int, int]:
        if path in table:
            return self._in_characters(table[path])
        while path:
            path = path[:-1]
            if path in self._keys:
                return self._in_characters(self._keys[path])
        return 1, 1

    def _in_characters(self, place: tuple[int, int]) -> tuple[int, int]:
        line, column = place
        return line + 1, len(self._lines[line][:column].decode("utf-8", "replace")) + 1

    def _index(self) -> None:
        import tree_sitter
        import tree_sitter_toml

        parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language()))
        arrays: dict[Path, int] = {}
        for node in parser.parse(self._raw).root_node.children:
            if node.type == "pair":
                self._pair(node, ())
            elif node.type in ("table", "table_array_element"):
                self._table(node, arrays)

    def _table(self, node: "Node", arrays: dict[Path, int]) -> None:
        named = [child for child in node.children if child.is_named and child.type != "comment"]
        if not named:
            return
        head, *pairs = named
        path: Path = ()
        keys = list(_key_parts(head))
        for number, key in enumerate(keys):
            path = (*path, key)
            if node.type == "table_array_element" and number == len(keys) - 1:
                arrays[path] = arrays.get(path, -1) + 1
            if path in arrays:
                path = (*path, arrays[path])
            self._mark(path, _point(node))
        for pair in pairs:
            if pair.type == "pair":
                self._pair(pair, path)

    def _mark(self, path: Path, place: tuple[int, int]) -> None:
        self._keys.setdefault(path, place)
        self._values.setdefault(path, place)
        if path and isinstance(path[-1], int):
            self._keys.setdefault(path[:-1], place)
            self._values.setdefault(path[:-1], place)

    def _pair(self, node: "Node", around: Path) -> None:
        # A trailing comment is a child of the pair too.
        named = [child for child in node.children if child.is_named and child.type != "comment"]
        if len(named) < 2:
            return
        path = around
        for key in _key_parts(named[0]):
            path = (*path, key)
            self._keys.setdefault(path, _point(named[0]))
        self._value(named[-1], path)

    def _value(self, node: "Node", path: Path) -> None:
        self._keys.setdefault(path, _point(node))
        self._values[path] = _point(node)
        if node.type == "inline_table":
            for child in node.children:
                if child.type == "pair":
                    self._pair(child, path)
        elif node.type == "array":
            items = [child for child in node.children if child.is_named and child.type != "comment"]
            for number, item in enumerate(items):
                self._value(item, (*path, number))


def _point(node: "Node") -> tuple[int, int]:
    return node.start_point[0], node.start_point[1]


def _key_parts(node: "Node") -> Iterator[str]:
    if node.type == "dotted_key":
        for child in node.children:
            if child.is_named:
                yield from _key_parts(child)
        return
    text = (node.text or b"").decode("utf-8", "replace")
    yield text[1:-1] if node.type == "quoted_key" else text
