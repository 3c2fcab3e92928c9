"""Read, migrate and write the files of a person: briefs, loops and rulebooks."""

from brinewright.files.brief import parse_brief, parse_needs, read_brief, read_needs
from brinewright.files.edit import set_value, with_value, with_values
from brinewright.files.lookup import find_rulebook, shipped_rulebooks
from brinewright.files.loop import parse_design, parse_loop, read_design, read_loop
from brinewright.files.rulebook import parse_rulebook, read_rulebook
from brinewright.files.whole import whole_folder, write_whole
from brinewright.files.write import loop_text, rulebook_text, write_loop, write_rulebook
from brinewright.files.write_brief import brief_text, write_brief

__all__ = [
    "brief_text",
    "find_rulebook",
    "loop_text",
    "parse_brief",
    "parse_design",
    "parse_loop",
    "parse_needs",
    "parse_rulebook",
    "read_brief",
    "read_design",
    "read_loop",
    "read_needs",
    "read_rulebook",
    "rulebook_text",
    "set_value",
    "shipped_rulebooks",
    "whole_folder",
    "with_value",
    "with_values",
    "write_brief",
    "write_loop",
    "write_rulebook",
    "write_whole",
]
