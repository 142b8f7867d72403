"""Property tests have no deadline: a busy bench computer is not a fault."""

import os

from hypothesis import settings

# Under CI hypothesis chooses a profile of its own: the same examples every time, no deadline.
if "CI" not in os.environ:
    settings.register_profile("bench", deadline=None)
    settings.load_profile("bench")
