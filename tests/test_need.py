"""A test that needs a program of the system: skipped on a bare machine, never in CI."""

import pytest


def test_a_program_that_is_there_is_returned(need):
    assert need("sh").endswith("/sh")


def test_a_missing_program_skips_with_the_reason(need, monkeypatch):
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match="no-such-lamp is not installed"):
        need("no-such-lamp")


def test_a_missing_program_fails_in_ci(need, monkeypatch):
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="CI must not skip"):
        need("no-such-lamp")
