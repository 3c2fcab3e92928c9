"""The page of verbs: the help of the command line."""

from brinewright.cli.app import app


def pages() -> dict[str, str]:
    """Return the page of verbs."""
    return {"verbs.md": app.generate_docs(output_format="markdown", heading_level=1)}
