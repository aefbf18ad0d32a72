"""Settings that every test shares."""

import os

from hypothesis import settings

# No test is timed.  Where nobody watches, the same examples are tried every time.
settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")

# No test finds what another kept, or leaves anything in the user's own folders.
os.environ["XDG_CACHE_HOME"] = os.path.join(os.devnull, "none")
