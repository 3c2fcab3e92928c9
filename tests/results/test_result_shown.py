"""A result says in one line what it is, whatever it holds."""

from tests.results.synthetic import synthetic_result


def test_a_result_is_shown_in_one_short_line():
    shown = repr(synthetic_result())

    assert shown.startswith("<Result of ")
    assert "24 h" in shown
    assert len(shown) < 120
    assert "\n" not in shown
