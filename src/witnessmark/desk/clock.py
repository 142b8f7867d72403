"""The one place that reads the clock. WITNESSMARK_NOW fixes it, for tests and pictures; the demo's runs apart."""

from datetime import UTC, datetime, timedelta

from django.conf import settings


def now() -> datetime:
    """The present instant, UTC."""
    fixed: str = settings.FIXED_NOW
    if fixed:
        return datetime.fromisoformat(fixed).astimezone(UTC)
    return datetime.now(UTC) + timedelta(seconds=settings.CLOCK_AHEAD)
