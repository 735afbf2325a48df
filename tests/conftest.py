"""What all tests share: numpy's linear algebra keeps to one thread, as the program itself does (`wiring.one_thread_for_small_matrices`).

Where `CI` is set, property tests try the same examples each time; by hand they try new ones. No property test fails because the machine was busy.
"""

import os

from hypothesis import HealthCheck, settings

from skeinwright.wiring import one_thread_for_small_matrices, wait_without_burning

one_thread_for_small_matrices()
wait_without_burning()

settings.register_profile("ours", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", parent=settings.get_profile("ours"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "ours")
