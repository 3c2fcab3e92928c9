"""Read, migrate and write the files of a person: loops and rulebooks."""

from brinewright.files.edit import set_value, with_value, with_values
from brinewright.files.lookup import find_rulebook, shipped_rulebooks
from brinewright.files.loop import parse_design, parse_loop, read_design, read_loop
from brinewright.files.rulebook import parse_rulebook, read_rulebook
from brinewright.files.whole import whole_folder, write_whole
from brinewright.files.write import loop_text, rulebook_text, write_loop, write_rulebook

__all__ = [
    "find_rulebook",
    "loop_text",
    "parse_design",
    "parse_loop",
    "parse_rulebook",
    "read_design",
    "read_loop",
    "read_rulebook",
    "rulebook_text",
    "set_value",
    "shipped_rulebooks",
    "whole_folder",
    "with_value",
    "with_values",
    "write_loop",
    "write_rulebook",
    "write_whole",
]
