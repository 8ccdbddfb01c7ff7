"""Signal words against ANSI Z535.4-2007, section 4.14, as restated by a label maker's guide.

ANSI Z535.6 uses the same four words in manuals (from memory). ISO 3864-2:2016 keeps DANGER, WARNING
and CAUTION for high, medium and low risk (risk levels from memory).
"""

from __future__ import annotations

from booklet.pages.caution import rules, signals


def test_the_words_stand_in_the_order_of_harm() -> None:
    """DANGER, WARNING, CAUTION, then NOTICE (ANSI Z535.4-2007, 4.14)."""
    assert list(signals()) == ["DANGER", "WARNING", "CAUTION", "NOTICE"]


def test_danger_will_and_warning_could_kill_or_seriously_injure() -> None:
    """Will against could is the whole difference (ANSI Z535.4-2007, 4.14)."""
    danger, warning = signals()["DANGER"].meaning, signals()["WARNING"].meaning
    assert danger.startswith("will cause death or serious injury")
    assert "most extreme" in danger
    assert warning.startswith("could cause death or serious injury")


def test_caution_is_for_minor_or_moderate_injury() -> None:
    """No death, nothing serious (ANSI Z535.4-2007, 4.14)."""
    meaning = signals()["CAUTION"].meaning
    assert meaning.startswith("could cause minor or moderate injury")
    assert "serious" not in meaning


def test_notice_is_not_about_injury_and_carries_no_alert_symbol() -> None:
    """The safety-alert symbol belongs to the three words of injury (ANSI Z535.4-2007, 4.14)."""
    assert "not about injury" in signals()["NOTICE"].meaning
    for row in signals().values():
        assert row.alert == row.injury == (row.word != "NOTICE")


def test_no_rule_cries_danger() -> None:
    """DANGER is kept for the most extreme cases, which a paper table has none of."""
    assert all(rule.signal != "DANGER" for rule in rules())
