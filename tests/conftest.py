"""What all tests share: numpy's linear algebra keeps to one thread, as the program itself does (`wiring.one_thread_for_small_matrices`).

Where `CI` is set, property tests try the same examples each time; by hand they try new ones.
"""

import os

from hypothesis import settings

from skeinwright.wiring import one_thread_for_small_matrices, wait_without_burning

one_thread_for_small_matrices()
wait_without_burning()

settings.register_profile("ci", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("ci")
