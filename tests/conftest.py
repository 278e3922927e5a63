"""What every test shares: a scrubbed environment, repeatable hypothesis runs, a guard on what is tested."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

import planlint

CHECKOUT = Path(__file__).resolve().parent.parent

# Whatever a developer's shell or a build machine sets must not reach a report.
SCRUBBED = (
    "NO_COLOR",
    "FORCE_COLOR",
    "CLICOLOR",
    "CLICOLOR_FORCE",
    "PY_COLORS",
    "COLUMNS",
    "LINES",
    "TERM",
    "COLORTERM",
    "PAGER",
    "LANG",
    "LANGUAGE",
    "LC_ALL",
    "CI",
    "GITHUB_ACTIONS",
)

# No deadline and no "too slow" check: both read the clock, and a busy machine would fail a sound test.
settings.register_profile(
    "ci",
    deadline=None,
    derandomize=True,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("long", deadline=None, max_examples=1000, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("long" if os.environ.get("PLANLINT_LONG") == "1" else "ci")


def pytest_configure() -> None:
    """Refuse to test the checkout's package where `.ci/run` asks for the installed wheel."""
    imported = Path(planlint.__file__).resolve().parent
    if os.environ.get("PLANLINT_TEST_WHEEL") == "1" and imported == CHECKOUT / "planlint":
        raise pytest.UsageError(
            "the tests import planlint from the checkout, not from the installed wheel; "
            'install it without -e (pip install ".[tests]") and start pytest, not "python -m pytest"'
        )


@pytest.fixture(autouse=True)
def scrubbed_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same environment for every test, whoever starts it."""
    for name in SCRUBBED:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TZ", "UTC")
