"""What holds for all tests: none fails because the clock went on while it ran."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("no clock", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("no clock")
